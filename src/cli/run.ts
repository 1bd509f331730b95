/** `rodeward run`: the daemon, until it is told to stop. */
import { openDoors } from "../aboard/exposure.ts";
import { openLifeSigns } from "../aboard/life-signs.ts";
import { openLog } from "../aboard/log-destination.ts";
import { openServiceManager } from "../aboard/service-manager.ts";
import { stateDirectory } from "../aboard/state-directory.ts";
import { fileProblem } from "../config/read.ts";
import type { Config } from "../config/schema.ts";
import { startDaemon } from "../daemon.ts";
import type { Console } from "./console.ts";
import { Problem, told } from "./problem.ts";

export const CAUTION =
  "An aid, not a substitute for a watch-keeper; not a certified alarm system. Keep a look-out.";

/** Starts and waits for SIGTERM or SIGINT, then stops cleanly. */
export async function run(config: Config, file: string, console: Console): Promise<void> {
  const log = openLog(process.env);
  const manager = openServiceManager(process.env, (why) => {
    if (why === undefined) log.info({}, "the service manager hears again");
    else log.warn({ why }, "the service manager cannot be told");
  });
  const directory = stateDirectory(config.log.directory, process.env);
  const daemon = await startDaemon({ config, configFile: file, stateDirectory: directory, log })
    .catch((error) => toldOfState(error, directory))
    .catch(told);
  console.err(`${CAUTION}\npage: ${daemon.pageUrl ?? "none yet"}\nstate: ${directory}`);
  if (daemon.firstPin !== undefined)
    console.err(`PIN for acting from the page: ${daemon.firstPin} (shown this once)`);
  for (const door of openDoors(config)) log.warn({ door }, "open to the network");
  const status = () => `${daemon.core().watch.stay.phase}; page ${daemon.pageUrl ?? "not served"}`;
  manager.ready(status());
  const signs = openLifeSigns({ manager, health: daemon.health, status, log });
  const signal = await new Promise<string>((resolve) => {
    process.once("SIGTERM", resolve);
    process.once("SIGINT", resolve);
  });
  log.info({ signal }, "stopping");
  signs.close();
  await Promise.all([manager.stopping(), daemon.stop()]);
}

/** Whoever starts it as another user than the one the directory belongs to is told which directory. */
function toldOfState(error: unknown, directory: string): never {
  const { path, address = path } = error as { path?: unknown; address?: unknown };
  if (typeof address !== "string" || !address.startsWith(directory)) throw error;
  throw new Problem(
    `the state directory ${directory} cannot be used: ${fileProblem(error, "writable")} (log.directory names another)`,
    1,
  );
}
