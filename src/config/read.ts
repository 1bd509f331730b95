/**
 * Reading a configuration. In: a file or its text; out: the configuration, or all its problems at once as data,
 * each with the key's path, what was found and what would be right.
 */
import { existsSync, readFileSync } from "node:fs";
import { parse, TomlError } from "smol-toml";
import type { z } from "zod";
import { type Config, configSchema } from "./schema.ts";

export type ReadConfig = { ok: true; config: Config } | { ok: false; problems: string[] };

/** Where a configuration is looked for when none is named. */
export const USUAL_FILES = ["rodeward.toml", "/etc/rodeward/rodeward.toml"] as const;

/** The file named, else the first of the usual ones that is there, else undefined. */
export function findConfig(named: string | undefined): string | undefined {
  return named ?? USUAL_FILES.find((file) => existsSync(file));
}

export function readConfigFile(file: string): ReadConfig {
  let text: string;
  try {
    text = readFileSync(file, "utf8");
  } catch (error) {
    return { ok: false, problems: [`${file}: ${fileProblem(error)}`] };
  }
  const read = readConfig(text);
  return read.ok ? read : { ok: false, problems: read.problems.map((problem) => `${file}: ${problem}`) };
}

const FILE_PROBLEMS: Readonly<Record<string, string>> = {
  ENOENT: "no such file",
  EACCES: "permission denied: it must be readable for the user rodeward runs as",
  EISDIR: "is a directory, not a file",
};

/** What went wrong with a file, in words. */
export function fileProblem(error: unknown): string {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return FILE_PROBLEMS[code] ?? (error instanceof Error ? error.message : String(error));
}

export function readConfig(text: string): ReadConfig {
  let data: unknown;
  try {
    data = parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const [what] = error.message.split("\n");
    return { ok: false, problems: [`line ${error.line}, column ${error.column}: ${what}`] };
  }
  const parsed = configSchema.safeParse(data);
  if (parsed.success) return { ok: true, config: parsed.data };
  return { ok: false, problems: parsed.error.issues.flatMap((issue) => problemsOf(issue, data)) };
}

type Issue = z.core.$ZodIssue;

function problemsOf(issue: Issue, data: unknown): string[] {
  const path = pathText(issue.path);
  switch (issue.code) {
    case "unrecognized_keys":
      return issue.keys.map((key) => `${pathText([...issue.path, key])}: no such key`);
    case "invalid_type": {
      const found = valueAt(data, issue.path);
      if (found === undefined) return [`${path}: is missing; it wants ${wanted(issue.expected)}`];
      return [`${path}: ${JSON.stringify(found)} found, ${wanted(issue.expected)} wanted`];
    }
    case "invalid_value":
      return [
        `${path}: ${found(data, issue.path)} found; one of ${issue.values.map((v) => JSON.stringify(v)).join(", ")} wanted`,
      ];
    case "invalid_union":
      return [`${path}: ${found(data, issue.path)} found; ${KINDS} wanted`];
    default:
      return [`${path}: ${issue.message}`];
  }
}

const KINDS = 'one of "serial", "tcp-client", "tcp-server", "udp", "stdin"';

const EXPECTED: Readonly<Record<string, string>> = {
  string: 'a text in quotes, such as "10 m"',
  object: "a table of keys",
  array: "a list in brackets",
  number: "a bare number",
  int: "a whole number",
  boolean: "true or false",
};

function wanted(expected: string): string {
  return EXPECTED[expected] ?? expected;
}

function found(data: unknown, path: readonly PropertyKey[]): string {
  const value = valueAt(data, path);
  return value === undefined ? "nothing" : JSON.stringify(value);
}

function valueAt(data: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>((at, key) => (at as Record<PropertyKey, unknown> | undefined)?.[key], data);
}

function pathText(path: readonly PropertyKey[]): string {
  const text = path.reduce<string>(
    (before, key) => before + (typeof key === "number" ? `[${key}]` : `.${String(key)}`),
    "",
  );
  return text.replace(/^\./, "") || "the file";
}
