/** Kinds of configuration values: strings with units in, SI out, each with a description and an example. */
import { z } from "zod";
import { type QuantityKind, readQuantity } from "../units/quantity.ts";
import { parseInstant } from "../units/time.ts";

/** A quantity with its unit. `least` refuses nonsense such as a rode of -3 m. */
export function quantity(kind: QuantityKind, description: string, example: string, least = 0) {
  return z
    .string()
    .transform((text, context) => {
      const read = readQuantity(text, kind);
      if (read.ok && read.value >= least) return read.value;
      const message = read.ok ? `"${text}" is too small` : read.problem;
      context.addIssue({ code: "custom", message });
      return z.NEVER;
    })
    .meta({ description, examples: [example] });
}

export const length = (description: string, example: string) => quantity("length", description, example);
export const speed = (description: string, example: string) => quantity("speed", description, example);

export const instant = (description: string, example: string) =>
  z
    .string()
    .transform((text, context) => {
      const atMs = parseInstant(text);
      if (atMs !== undefined) return atMs;
      context.addIssue({ code: "custom", message: `"${text}" is no time; write it like "${example}"` });
      return z.NEVER;
    })
    .meta({ description, examples: [example] });

/** `host:port`, `[v6]:port`. */
export const address = (description: string, example: string) =>
  z
    .string()
    .transform((text, context) => {
      const match = /^(\[[0-9a-fA-F:.]+\]|[^:\s]+):(\d{1,5})$/.exec(text);
      const port = Number(match?.[2]);
      if (match?.[1] !== undefined && port <= 65535) return { host: match[1].replace(/^\[|\]$/g, ""), port };
      context.addIssue({ code: "custom", message: `"${text}" is no address; write it like "${example}"` });
      return z.NEVER;
    })
    .meta({ description, examples: [example] });

export const said = (description: string, example: unknown) => ({ description, examples: [example] });
