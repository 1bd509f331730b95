/**
 * An act as the page sends it (JSON) → the body of our own sentence. The shape is checked here; whether the
 * values can be a sentence at all is left to the one reader of sentences, by reading back what was written.
 */
import { z } from "zod";
import type { Order } from "../nmea/sentences/own.ts";
import { decode, encode } from "../nmea/table.ts";
import { type QuantityKind, readQuantity } from "../units/quantity.ts";

export type ReadAct = { ok: true; verb: string; body: string } | { ok: false; problem: string };

/** A quantity as text with its unit, "35 m" → SI. */
function quantity(kind: QuantityKind) {
  return z
    .string()
    .max(40)
    .transform((text, ctx) => {
      const read = readQuantity(text, kind);
      if (read.ok) return read.value;
      ctx.addIssue({ code: "custom", message: read.problem });
      return z.NEVER;
    });
}

/** 2 cm: finer than any receiver. */
const MINUTE_DECIMALS = 5;

const length = quantity("length");
const speed = quantity("speed");
const position = z
  .strictObject({ lat: z.number(), lon: z.number() })
  .transform(({ lat, lon }) => ({ latDeg: lat, lonDeg: lon, decimals: MINUTE_DECIMALS }));
const name = z
  .string()
  .max(20)
  .regex(/^[\x20-\x7e\xa0-\xff]*$/, "Latin letters only");

const plain = <const V extends Order["verb"]>(verb: V) => z.strictObject({}).transform(() => ({ verb }));

/** Verbs that may come from the page. What the edges report (FACT), settings and answers may not. */
const ACTS = new Map<string, z.ZodType<Order>>(
  Object.entries({
    LETGO: z
      .strictObject({ position: position.optional() })
      .transform((given) => ({ verb: "LETGO" as const, position: given.position })),
    RODE: z.strictObject({ length }).transform((given) => ({ verb: "RODE" as const, lengthM: given.length })),
    BROUGHTUP: plain("BROUGHTUP"),
    PLACE: z
      .union([z.strictObject({ position }), z.strictObject({ bearingDeg: z.number(), range: length })])
      .transform((given) => ({ verb: "PLACE" as const, at: placeOf(given) })),
    UNDO: plain("UNDO"),
    WEIGH: z
      .strictObject({ ball: z.boolean().optional() })
      .transform((given) => ({ verb: "WEIGH" as const, ball: given.ball ? ("ball" as const) : undefined })),
    AWEIGH: plain("AWEIGH"),
    SLIP: plain("SLIP"),
    RISE: z.strictObject({ length }).transform((given) => ({ verb: "RISE" as const, riseM: given.length })),
    SPLICE: plain("SPLICE"),
    BOTTOM: plain("BOTTOM"),
    KEEPOFF: z
      .strictObject({ bearingDeg: z.number(), range: length, name: name.optional() })
      .transform((given) => ({
        verb: "KEEPOFF" as const,
        aim: { bearingDeg: given.bearingDeg, rangeM: given.range },
        name: given.name,
      })),
    EXPECT: z
      .strictObject({ speed })
      .transform((given) => ({ verb: "EXPECT" as const, speedMps: given.speed })),
    NEUTRAL: plain("NEUTRAL"),
    LIE: z
      .strictObject({ position })
      .transform((given) => ({ verb: "LIE" as const, position: given.position })),
    WIND: z.strictObject({ speed, fromDeg: z.number().optional() }).transform((given) => ({
      verb: "WIND" as const,
      speedMps: given.speed,
      fromDeg: given.fromDeg,
    })),
  }),
);

type Place =
  | { position: { latDeg: number; lonDeg: number; decimals: number } }
  | { bearingDeg: number; range: number };

function placeOf(given: Place) {
  return "position" in given
    ? { position: given.position, aim: undefined }
    : { position: undefined, aim: { bearingDeg: given.bearingDeg, rangeM: given.range } };
}

/** `{ verb: "RODE", length: "35 m" }` → `PRDW,RODE,35.0,M`. */
export function readAct(json: unknown): ReadAct {
  if (typeof json !== "object" || json === null || !("verb" in json) || typeof json.verb !== "string")
    return { ok: false, problem: "an act is an object with a verb" };
  const { verb, ...values } = json;
  const shape = ACTS.get(verb);
  if (shape === undefined)
    return { ok: false, problem: `no act of that name; there are ${[...ACTS.keys()].join(", ")}` };
  const parsed = shape.safeParse(values);
  if (!parsed.success) return { ok: false, problem: wordsOf(verb, parsed.error) };
  const body = bodyOf(parsed.data);
  return body === undefined
    ? { ok: false, problem: `${verb}: a value is outside what its sentence can hold` }
    : { ok: true, verb, body };
}

function wordsOf(verb: string, error: z.ZodError): string {
  return error.issues
    .map((issue) => `${[verb, ...issue.path.map(String)].join(".")}: ${issue.message}`)
    .join("; ");
}

/** Undefined when what would be written could not be read again as the same verb. */
function bodyOf(order: Order): string | undefined {
  let text: string;
  try {
    text = encode({ id: "PRDW", talker: "P", content: { order, problem: undefined } });
  } catch {
    return undefined; // longer than a sentence may be
  }
  const [piece] = decode(text, { checksum: "required" }).pieces;
  const heard =
    piece?.kind === "sentence" && piece.sentence.id === "PRDW" ? piece.sentence.content : undefined;
  if (heard?.order?.verb !== order.verb) return undefined;
  return text.slice(1, text.lastIndexOf("*"));
}
