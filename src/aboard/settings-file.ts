/** Settings changed in use, kept in the state directory beside the configuration: a restart goes on with them. */
import { existsSync, readFileSync } from "node:fs";
import { setInUse, type Values } from "../config/in-use.ts";
import type { Config } from "../config/schema.ts";
import type { Core } from "../core.ts";
import { writeWhole } from "./whole-file.ts";

interface Log {
  info(fields: object, text: string): void;
  warn(fields: object, text: string): void;
}

export interface SettingsFile {
  /** The configuration with what was kept in it. */
  config: Config;
  /** The same with what has been set since. */
  now(): Config;
  /** Keeps what has been set since. */
  take(core: Core): void;
  /** All that differs from the configuration's own. */
  values(): Values;
  settled(): Promise<void>;
}

/** What no longer passes the checks is left out, and said. */
export function openSettingsFile(file: string, filed: Config, log: Log): SettingsFile {
  const damaged = (error: unknown) =>
    log.warn({ err: error, file }, "settings changed in use cannot be read: the configuration's stand again");
  let kept = passing(readValues(file, damaged), filed, (key, problem) =>
    log.warn({ file, key, problem }, "a setting kept from before is left out"),
  );
  const now = (): Config => {
    const set = setInUse(filed, kept);
    return set.ok ? set.config : filed;
  };
  if (Object.keys(kept).length > 0) log.info({ ...kept }, "settings changed in use stand before the file's");
  let taken: Values | undefined;
  let writing = Promise.resolve();
  return {
    config: now(),
    now,
    take({ tuned }) {
      if (tuned === undefined || tuned.values === taken) return;
      taken = tuned.values;
      kept = differing({ ...kept, ...taken }, filed);
      const text = `${JSON.stringify(kept, undefined, 2)}\n`;
      writing = writing
        .then(() => writeWhole(file, text))
        .catch((error: unknown) => log.warn({ err: error, file }, "settings changed in use are not kept"));
    },
    values: () => kept,
    settled: () => writing,
  };
}

/** @param damaged told where what was kept cannot be read: the limits of the file stand again, and that must be known */
function readValues(file: string, damaged: (error: unknown) => void): Values {
  if (!existsSync(file)) return {};
  try {
    const data: unknown = JSON.parse(readFileSync(file, "utf8"));
    if (typeof data !== "object" || data === null) throw new Error("it holds no settings");
    return Object.fromEntries(Object.entries(data).filter(([, value]) => typeof value === "string"));
  } catch (error) {
    damaged(error);
    return {};
  }
}

function passing(values: Values, filed: Config, left: (key: string, problem: string) => void): Values {
  let good: Values = {};
  for (const [key, value] of Object.entries(values)) {
    const set = setInUse(filed, { ...good, [key]: value });
    if (set.ok) good = { ...good, [key]: value };
    else left(key, set.problem);
  }
  return good;
}

/** Without those that say what the file says. */
function differing(values: Values, filed: Config): Values {
  const own = JSON.stringify(filed);
  return Object.fromEntries(
    Object.entries(values).filter(([key, value]) => {
      const set = setInUse(filed, { [key]: value });
      return !set.ok || JSON.stringify(set.config) !== own;
    }),
  );
}
