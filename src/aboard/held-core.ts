/**
 * The core as the daemon holds it: begun at the first time that is known, resumed from what was saved, and told
 * anew the facts of the edges (a port down) whenever it begins. In: inputs; out: what each advanced.
 */
import {
  type Advance,
  advance,
  begin,
  type Core,
  type CoreSettings,
  type Input,
  resume,
  type SavedWatch,
} from "../core.ts";
import { SECOND_MS } from "../units/time.ts";
import { isDown } from "../watch/state.ts";
import { loadState, setAside } from "./state-file.ts";

export interface HeldCore {
  /** Reads the state file: when the watch that is there to be resumed was saved. To be called once, first. */
  load(): number | undefined;
  /** Undefined until its time has begun. */
  begun(): Core | undefined;
  /** For who looks: before its time has begun, one that knows nothing. Looking begins nothing. */
  shown(): Core;
  /** Takes a line or a tick, and with it begins where nothing has begun. */
  take(input: Input): Advance;
  /** Takes a fact of the edges, kept for later where nothing has begun. */
  fact(text: string): Advance | undefined;
  /** The first stamp of a recorder: time begins there, even when something came before it. */
  beginAt(stampMs: number): void;
}

interface HeldCorePlan {
  settings: CoreSettings;
  /** The state file. */
  file: string;
  nowMs: () => number;
  /** Told of a core that begins with nothing saved. */
  begun?: (core: Core) => void;
  log: { info(fields: object, text: string): void; error(fields: object, text: string): void };
}

/** A recorder set back a little is the same night. Not for long: till it has caught up, no second is walked. */
const MOST_BACK_MS = 15 * SECOND_MS;

/** A state file that cannot be gone on with is set aside and said. */
export function createHeldCore({ settings, file, nowMs, begun, log }: HeldCorePlan): HeldCore {
  let core: Core | undefined;
  const facts = new Map<string, string>();
  let saved: SavedWatch | undefined;
  const sayAside = (aside: string) =>
    log.error({ setAside: aside }, "the state file was damaged and is set aside: no watch is resumed");

  const open = (atMs: number): Core => {
    const tuned = core?.tuned;
    const past = atMs < (saved?.atMs ?? atMs) - MOST_BACK_MS;
    if (past) log.error({}, "the recorder's time lies before the saved watch: no watch is resumed");
    const resumed = past ? undefined : tryToResume(atMs);
    core = { ...(resumed ?? begin(settings, atMs)), tuned };
    const own = core;
    if (resumed === undefined) begun?.(own);
    for (const text of facts.values()) advance(own, { kind: "line", text, port: "edge", atMs }, settings);
    return own;
  };
  const tryToResume = (atMs: number): Core | undefined => {
    if (saved === undefined) return undefined;
    try {
      const resumed = resume(saved, settings, atMs);
      // A second is walked for trial: a file that reads well may still be no watch.
      const trial: Input = { kind: "tick", atMs: resumed.atMs + SECOND_MS };
      advance(structuredClone(resumed), trial, settings);
      log.info({ phase: resumed.watch.stay.phase }, "watch resumed");
      return resumed;
    } catch {
      saved = undefined;
      sayAside(setAside(file));
      return undefined;
    }
  };
  const take = (input: Input): Advance => {
    const advanced = advance(core ?? open(input.atMs), input, settings);
    core = advanced.core;
    return advanced;
  };
  return {
    load() {
      const loaded = loadState(file);
      if (loaded.setAside !== undefined) sayAside(loaded.setAside);
      saved = loaded.saved;
      return saved?.atMs;
    },
    begun: () => core,
    shown: () => core ?? begin(settings, nowMs()),
    take,
    fact(text) {
      facts.set(factKey(text), text);
      return core === undefined ? undefined : take({ kind: "line", text, port: "edge", atMs: nowMs() });
    },
    beginAt(stampMs) {
      // Past recordings lie before what the wall clock began; a watch that is being kept is not thrown away.
      if (core === undefined || (stampMs < core.atMs && !isDown(core.watch.stay.phase))) open(stampMs);
    },
  };
}

/** `$PRDW,FACT,port-down,1,…` → `port-down`. */
function factKey(text: string): string {
  return text.split(/[,*]/)[2] ?? text;
}
