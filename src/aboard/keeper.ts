/** Keeps the state file: at once on acts, phases and alert changes, else every 5 s on watch. */
import type { Advance, Core } from "../core.ts";
import { savedFrom } from "../core.ts";
import { seal } from "../nmea/seal.ts";
import { SECOND_MS } from "../units/time.ts";
import { isDown } from "../watch/state.ts";
import { openStateFile } from "./state-file.ts";

const EVERY_MS = 5 * SECOND_MS;

export interface Keeper {
  take(advanced: Advance): void;
  /** @param core undefined: nothing has begun, so what was saved stands */
  close(core: Core | undefined): Promise<void>;
}

/** @param fact takes the fact line that the log is failing, or works again */
export function createKeeper(
  file: string,
  fact: (text: string) => void,
  log: { warn(fields: object, text: string): void; info(fields: object, text: string): void },
): Keeper {
  let failing: string | undefined;
  const state = openStateFile(file, (why) => {
    if (why === failing) return;
    failing = why;
    if (why === undefined) log.info({ file }, "the state file is kept again");
    else log.warn({ file, why }, "the state file cannot be written");
    fact(
      seal(
        why === undefined
          ? "PRDW,FACT,log-failing,0"
          : "PRDW,FACT,log-failing,1,State file cannot be written",
      ),
    );
  });
  let keptMs = 0;
  return {
    take({ core, changes, out }) {
      const acted = out.some((one) => one.class === "acts");
      const due = isDown(core.watch.stay.phase) && core.atMs - keptMs >= EVERY_MS;
      if (!acted && changes.length === 0 && !due) return;
      keptMs = core.atMs;
      state.save(savedFrom(core));
    },
    async close(core) {
      if (core !== undefined) state.save(savedFrom(core));
      await state.settled();
    },
  };
}
