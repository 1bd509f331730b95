/** `rodeward run`: the daemon, until it is told to stop. */
import { pino } from "pino";
import { stateDirectory } from "../aboard/state-directory.ts";
import type { Config } from "../config/schema.ts";
import { startDaemon } from "../daemon.ts";
import type { Console } from "./console.ts";
import { told } from "./problem.ts";

export const CAUTION =
  "An aid, not a substitute for a watch-keeper; not a certified alarm system. Keep a look-out.";

/** Starts and waits for SIGTERM or SIGINT, then stops cleanly. */
export async function run(config: Config, console: Console): Promise<void> {
  const log = pino(
    { base: null, timestamp: pino.stdTimeFunctions.isoTime },
    pino.destination({ dest: 2, sync: true }),
  );
  const directory = stateDirectory(config.log.directory, process.env);
  const daemon = await startDaemon({ config, stateDirectory: directory, log }).catch(told);
  console.err(`${CAUTION}\npage: ${daemon.pageUrl ?? "none yet"}\nstate: ${directory}`);
  if (daemon.firstPin !== undefined)
    console.err(`PIN for acting from the page: ${daemon.firstPin} (shown this once)`);
  const signal = await new Promise<string>((resolve) => {
    process.once("SIGTERM", resolve);
    process.once("SIGINT", resolve);
  });
  log.info({ signal }, "stopping");
  await daemon.stop();
}
