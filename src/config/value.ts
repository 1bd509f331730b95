/** Kinds of configuration values: texts with units in, SI out, each with a description and an example. */
import { z } from "zod";
import { type QuantityKind, readQuantity } from "../units/quantity.ts";
import { parseInstant } from "../units/time.ts";
import { shown, unlike } from "./wording.ts";

/** Description and example: what the JSON Schema and the commented example say of a value. */
export const said = (description: string, example: unknown) => ({ description, examples: [example] });

/**
 * A text of a certain form. The example is told of the text, not of what is made of it: the JSON Schema of the
 * input leaves out what is told of a transform.
 */
function formed(description: string, example: string, otherwise: (found: unknown) => string) {
  return z.string({ error: ({ input }) => otherwise(input) }).meta(said(description, example));
}

/** A quantity with its unit. `least` (SI) refuses nonsense such as a rode of -3 m. */
export function quantity(kind: QuantityKind, description: string, example: string, least = 0) {
  // A bare number gets the same answer as a text without unit: the two likely readings.
  const otherwise = (found: unknown): string => {
    const read = typeof found === "number" ? readQuantity(String(found), kind) : undefined;
    return read === undefined || read.ok ? unlike(found, example) : read.problem;
  };
  return formed(description, example, otherwise).transform((text, context) => {
    const read = readQuantity(text, kind);
    if (read.ok && read.value >= least) return read.value;
    const message = read.ok ? `${shown(text)} is too small; write it like "${example}"` : read.problem;
    context.addIssue({ code: "custom", message });
    return z.NEVER;
  });
}

const LOWEST_M = -20;

export const length = (description: string, example: string) => quantity("length", description, example);
/** Above a datum, which the lowest tides go below. */
export const height = (description: string, example: string) =>
  quantity("length", `${description}, above any one datum`, example, LOWEST_M);
export const speed = (description: string, example: string) => quantity("speed", description, example);

export const instant = (description: string, example: string) =>
  formed(description, example, (found) => unlike(found, example)).transform((text, context) => {
    const atMs = parseInstant(text);
    if (atMs !== undefined) return atMs;
    context.addIssue({ code: "custom", message: `${shown(text)} is no time; write it like "${example}"` });
    return z.NEVER;
  });

export interface Address {
  host: string;
  port: number;
}

export function formatAddress({ host, port }: Address): string {
  return host.includes(":") ? `[${host}]:${port}` : `${host}:${port}`;
}

/** `host:port`, `[v6]:port`. */
export const address = (description: string, example: string) =>
  formed(description, example, (found) => unlike(found, example)).transform((text, context) => {
    const match = /^(\[[0-9a-fA-F:.]+\]|[^:\s]+):(\d{1,5})$/.exec(text);
    const port = Number(match?.[2]);
    if (match?.[1] !== undefined && port <= 65535) return { host: match[1].replace(/^\[|\]$/g, ""), port };
    context.addIssue({ code: "custom", message: `${shown(text)} is no address; write it like "${example}"` });
    return z.NEVER;
  });
