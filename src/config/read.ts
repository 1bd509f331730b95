/**
 * Reading a configuration. In: a file or its text; out: the configuration, or all its problems at once as data,
 * each with the key's path, what was found and what would be right.
 */
import { readFileSync, statSync } from "node:fs";
import { dirname } from "node:path";
import { parse, TomlError } from "smol-toml";
import type { z } from "zod";
import { jsonSchema, keysAt } from "./json-schema.ts";
import { type Config, configSchema } from "./schema.ts";
import { readTideFile } from "./tide-table.ts";
import { unknownKey } from "./unknown-key.ts";
import { wording } from "./wording.ts";

export type ReadConfig = { ok: true; config: Config } | { ok: false; problems: string[] };

/** Where a configuration is looked for when none is named. */
export const USUAL_FILES = ["rodeward.toml", "/etc/rodeward/rodeward.toml"] as const;

/**
 * The file named, else the first of the usual ones that is there, else the last that this user may not look for: reading
 * it says why. Undefined: there is none. A shell may stand in a folder that is closed to the service's user.
 */
export function findConfig(
  named: string | undefined,
  usual: readonly string[] = USUAL_FILES,
): string | undefined {
  return (
    named ??
    usual.find((file) => isThere(file) === "yes") ??
    usual.findLast((file) => isThere(file) === "closed")
  );
}

function isThere(file: string): "yes" | "no" | "closed" {
  try {
    statSync(file);
    return "yes";
  } catch (error) {
    const code = error instanceof Error && "code" in error ? error.code : undefined;
    return code === "ENOENT" || code === "ENOTDIR" ? "no" : "closed";
  }
}

export function readConfigFile(file: string): ReadConfig {
  let text: string;
  try {
    text = readFileSync(file, "utf8");
  } catch (error) {
    return { ok: false, problems: [`${file}: ${configProblem(file, error)}`] };
  }
  const read = withTide(readConfig(text), dirname(file));
  return read.ok ? read : { ok: false, problems: read.problems.map((problem) => `${file}: ${problem}`) };
}

/** With the tide table that it names, from beside it: a night then keeps the tide it was reckoned by. */
function withTide(read: ReadConfig, folder: string): ReadConfig {
  if (!read.ok || read.config.tide.table === undefined) return read;
  const tide = readTideFile(read.config.tide.table, folder, fileProblem);
  if (!tide.ok) return { ok: false, problems: [`tide.table: ${tide.problem}`] };
  return { ok: true, config: { ...read.config, tide: { ...read.config.tide, turns: tide.turns } } };
}

/** What went wrong with a configuration that was to be read: the service's is for its group, and a person can join. */
export function configProblem(file: string, error: unknown): string {
  const isClosed = error instanceof Error && "code" in error && error.code === "EACCES";
  if (!isClosed || file !== USUAL_FILES[1]) return fileProblem(error);
  return "permission denied: be in the group rodeward and log in anew, or use sudo -u rodeward";
}

/** What went wrong with a file that was to be read or written, in words. */
export function fileProblem(error: unknown, wanted: "readable" | "writable" = "readable"): string {
  switch (error instanceof Error && "code" in error ? error.code : undefined) {
    case "ENOENT":
      return wanted === "readable" ? "no such file" : "no such directory";
    case "EACCES":
      return `permission denied: it must be ${wanted} for the user this runs as`;
    case "EISDIR":
      return "is a directory, not a file";
    case "Z_DATA_ERROR":
      return "is damaged, or not compressed with gzip";
    case "Z_BUF_ERROR":
      return "is cut off before its end";
    default:
      return error instanceof Error ? error.message : String(error);
  }
}

export function readConfig(text: string): ReadConfig {
  let data: unknown;
  try {
    data = parse(text.replace(/^\uFEFF/, ""));
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    return { ok: false, problems: [tomlProblem(error, text)] };
  }
  const parsed = configSchema.safeParse(data, { error: wording });
  if (parsed.success) return { ok: true, config: parsed.data };
  return { ok: false, problems: parsed.error.issues.flatMap((issue) => problemsOf(issue, data)) };
}

/** A quantity without quotes is the usual slip, and a TOML reader's words for it help nobody. */
const UNQUOTED = /=\s*([+-]?[\d.]+\s*[A-Za-z°/]+\d?)\s*(?:#.*)?$/;

/** The same for other usual slips. */
const SLIPS: readonly (readonly [RegExp, string])[] = [
  [/control characters are not allowed in strings/, "a text without its closing quote"],
  [/trying to redefine/, "this key or table is there twice"],
];

function tomlProblem(error: TomlError, text: string): string {
  const place = `line ${error.line}, column ${error.column}`;
  const unquoted = UNQUOTED.exec(text.split(/\r?\n/)[error.line - 1] ?? "")?.[1];
  if (unquoted !== undefined) return `${place}: ${unquoted} found; write it in quotes: "${unquoted}"`;
  const what = (error.message.split("\n")[0] ?? "").replace(/^Invalid TOML document: /, "");
  const slip = SLIPS.find(([pattern]) => pattern.test(what))?.[1];
  return `${place}: ${slip ?? `not TOML: ${what}`}`;
}

function problemsOf(issue: z.core.$ZodIssue, data: unknown): string[] {
  if (issue.code !== "unrecognized_keys") return [`${pathText(issue.path)}: ${issue.message}`];
  const schema = jsonSchema();
  const known = keysAt(schema, issue.path, data);
  return issue.keys.map((key) => `${pathText([...issue.path, key])}: ${unknownKey(key, known, schema)}`);
}

const BARE_KEY = /^[A-Za-z0-9_-]+$/;

/** A path as TOML would write it, places in a list in brackets. */
export function pathText(path: readonly PropertyKey[]): string {
  const text = path.reduce<string>((before, key) => {
    if (typeof key === "number") return `${before}[${key}]`;
    return `${before}.${BARE_KEY.test(String(key)) ? String(key) : JSON.stringify(key)}`;
  }, "");
  return text.replace(/^\./, "") || "the file";
}
