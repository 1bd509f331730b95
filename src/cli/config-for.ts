/** The configuration a command goes by: the one named, or the first of the usual places. Read only when asked for. */
import { stateDirectoryFromShell } from "../aboard/state-directory.ts";
import type { Config } from "../config/schema.ts";
import { Problem } from "./problem.ts";

export interface FoundConfig {
  file: string;
  config: Config;
}

/** Undefined when there is none. Throws a `Problem` (2) with every fault of one that is there. */
export async function configFor(named: string | undefined): Promise<FoundConfig | undefined> {
  const { findConfig, readConfigFile } = await import("../config/read.ts");
  const file = findConfig(named);
  if (file === undefined) return undefined;
  const read = readConfigFile(file);
  if (!read.ok) throw new Problem(read.problems.join("\n"), 2);
  return { file, config: read.config };
}

/** The same for a command that cannot do without. */
export async function needConfig(named: string | undefined): Promise<FoundConfig> {
  const found = await configFor(named);
  if (found !== undefined) return found;
  throw new Problem("no configuration: give --config FILE, or put rodeward.toml here or in /etc/rodeward", 2);
}

/** Where state is kept, by the configuration that is found, or without one. */
export async function directoryFor(named: string | undefined): Promise<string> {
  return stateDirectoryFromShell((await configFor(named))?.config.log.directory, process.env);
}
