/** Problems in words: what was found and what would be right. The reader puts the key's path in front. */
import type { z } from "zod";
import { formatInstant } from "../units/time.ts";

const LONGEST_SHOWN = 40;

/** A value as it stands in the file, cut short where it is long. */
export function shown(value: unknown): string {
  const text = value instanceof Date ? formatInstant(value.getTime()) : plain(value);
  return text.length > LONGEST_SHOWN ? `${text.slice(0, LONGEST_SHOWN)}…` : text;
}

function plain(value: unknown): string {
  return typeof value === "number" ? String(value) : (JSON.stringify(value) ?? String(value));
}

/** For a value that is a text of a certain form: what is wrong when there is none, or another kind of value. */
export function unlike(found: unknown, example: string): string {
  const right = `write it like ${JSON.stringify(example)}`;
  return found === undefined ? `is missing; ${right}` : `${shown(found)} found; ${right}`;
}

/** Words for what the schema itself finds. Values with a form of their own bring their own words. */
export function wording(issue: z.core.$ZodRawIssue): string | undefined {
  const found = issue.input === undefined ? "is missing;" : `${shown(issue.input)} found;`;
  switch (issue.code) {
    case "invalid_type":
      return `${found} ${EXPECTED[issue.expected] ?? issue.expected} wanted`;
    case "invalid_value":
      return `${found} ${oneOf(issue.values)} wanted`;
    case "invalid_union":
      return unionProblem(issue.input, issue);
    case "too_small":
      return `${found} ${least(issue.origin, issue.minimum)} wanted`;
    case "too_big":
      return `${found} at most ${issue.maximum} wanted`;
    default:
      return undefined;
  }
}

const EXPECTED: Readonly<Record<string, string>> = {
  string: "a text in quotes",
  object: "one table of keys",
  array: "a list",
  number: "a bare number",
  int: "a whole number",
  boolean: "true or false",
};

interface Choice {
  readonly discriminator?: string | undefined;
  readonly options?: readonly unknown[];
}

function unionProblem(input: unknown, { discriminator, options }: Choice): string {
  const chosen = Object.entries(input ?? {}).find(([key]) => key === discriminator)?.[1];
  return `${chosen === undefined ? "is missing;" : `${shown(chosen)} found;`} ${oneOf(options ?? [])} wanted`;
}

function oneOf(values: readonly unknown[]): string {
  return values.length === 1 ? shown(values[0]) : `one of ${values.map(shown).join(", ")}`;
}

function least(origin: string, minimum: number | bigint): string {
  if (origin === "string") return "some text";
  return origin === "array" ? "at least one entry" : `${minimum} or more`;
}
