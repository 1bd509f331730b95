/** The built program's own modules, loaded by Node itself: transformed sources would be timed with the transform. */
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import type * as LogClockModule from "../../src/cli/log-clock.ts";
import type * as ReplayModule from "../../src/cli/replay.ts";
import type * as ReadModule from "../../src/config/read.ts";
import type * as SettingsModule from "../../src/config/settings.ts";
import type * as CoreModule from "../../src/core.ts";
import type * as TableModule from "../../src/nmea/table.ts";

const load = (path: string) => import(pathToFileURL(resolve("dist", path)).href);

export const { advance, begin } = (await load("core.js")) as typeof CoreModule;
export const { decode, encode } = (await load("nmea/table.js")) as typeof TableModule;
export const { coreSettings } = (await load("config/settings.js")) as typeof SettingsModule;
export const { readConfigFile } = (await load("config/read.js")) as typeof ReadModule;
export const { createLogClock } = (await load("cli/log-clock.js")) as typeof LogClockModule;
export const { replay } = (await load("cli/replay.js")) as typeof ReplayModule;

/** A boat of our own, for all benchmarks. */
export function boat() {
  const read = readConfigFile("fixtures/boats/grey-plover.toml");
  if (!read.ok) throw new Error(read.problems.join("\n"));
  return read.config;
}
