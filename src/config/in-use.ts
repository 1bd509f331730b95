/**
 * Settings that may be changed in use, by the same checks as the file's. In: the configuration, and texts by key
 * as the file would hold them; out: the configuration with these in it, or what is wrong with them.
 */
import { z } from "zod";
import { contradictions } from "./contradictions.ts";
import { type BoatConfig, configSchema } from "./schema.ts";
import { shown, wording } from "./wording.ts";

/** What is needed on the night; everything else is changed in the file. */
export const IN_USE = [
  "watch.stay",
  "watch.margin",
  "watch.leave_after",
  "watch.wind_limit",
  "watch.gust_limit",
  "watch.shift_limit",
  "watch.least_under_keel",
  "scope.least",
  "tide.rise",
  "tide.high_water",
  "tide.high_water_height",
  "tide.low_water",
  "tide.low_water_height",
  "forecast.wind",
  "page.units",
] as const;

export type SettingKey = (typeof IN_USE)[number];
export type Values = Readonly<Record<string, string>>;

/** Unsets what need not be set. */
export const UNSET = "none";

export type InUse<C> =
  | { ok: true; config: C }
  | { ok: false; key: string; reason: "format" | "range"; problem: string };

export function isSettable(key: string): key is SettingKey {
  return (IN_USE as readonly string[]).includes(key);
}

/** What is wrong with one value by itself, whatever the rest of the configuration says; undefined: nothing. */
export function problemOf(key: string, text: string): string | undefined {
  if (!isSettable(key)) return `${shown(key)} is not set in use; there are ${IN_USE.join(", ")}`;
  const [section = "", name = ""] = key.split(".");
  const read = readOne(section, name, text);
  return read.ok ? undefined : `${key}: ${read.problem}`;
}

/** @param config is not changed */
export function setInUse<C extends BoatConfig>(config: C, values: Values): InUse<C> {
  let next = config;
  for (const [key, text] of Object.entries(values)) {
    const [section = "", name = ""] = key.split(".");
    if (!isSettable(key))
      return { ok: false, key, reason: "format", problem: `${shown(key)} is not set in use` };
    const read = readOne(section, name, text);
    if (!read.ok) return { ok: false, key, reason: "range", problem: read.problem };
    next = withValue(next, section, name, read.value);
  }
  const against = contradictionIn(next, Object.keys(values));
  return against === undefined ? { ok: true, config: next } : { ok: false, ...against, reason: "range" };
}

function schemaOf(section: string, name: string): z.ZodType {
  const table = configSchema.shape[section as "watch"].unwrap() as z.ZodObject;
  return table.shape[name] as unknown as z.ZodType;
}

type Read = { ok: true; value: unknown } | { ok: false; problem: string };

function readOne(section: string, name: string, text: string): Read {
  const schema = schemaOf(section, name);
  const given = text.trim();
  if (given === UNSET)
    return schema instanceof z.ZodOptional
      ? { ok: true, value: undefined }
      : { ok: false, problem: "cannot be left unset" };
  const read = schema.safeParse(given, { error: wording });
  if (read.success) return { ok: true, value: read.data };
  // A bare number stands in the file without quotes.
  const asNumber = /^\d+(?:\.\d+)?$/.test(given) ? schema.safeParse(Number(given), { error: wording }) : read;
  if (asNumber.success) return { ok: true, value: asNumber.data };
  return { ok: false, problem: asNumber.error.issues[0]?.message ?? "is not understood" };
}

function withValue<C extends BoatConfig>(config: C, section: string, name: string, value: unknown): C {
  // Kept in its place: two that say the same are written the same.
  const table: Record<string, unknown> = { ...config[section as "watch"], [name]: value };
  if (value === undefined) delete table[name];
  return { ...config, [section]: table };
}

const whole = z.unknown().superRefine((config, context) => contradictions(config, context));

/** Told of the key that has just been set, where it is one of two. */
function contradictionIn(
  config: BoatConfig,
  keys: readonly string[],
): { key: string; problem: string } | undefined {
  const read = whole.safeParse(config);
  const issue = read.success
    ? undefined
    : read.error.issues.find(({ path }) => keys.some((key) => key.split(".")[0] === path[0]));
  if (issue === undefined) return undefined;
  const path = issue.path.join(".");
  const key = keys.at(-1) ?? path;
  return { key, problem: path === key ? issue.message : `${path}: ${issue.message}` };
}
