/**
 * Our own sentences, `$PRDW,<verb>,…`: what the operator does, what the edges report, and our answers. Each
 * verb is a row of fields. The maker code RDW is not registered.
 */
import { code, decimal, direction, type Field, lengthWithUnit, speedTold, text } from "../field.ts";
import { isRefused } from "../frame.ts";
import { position } from "../position-field.ts";
import { type Fields, readFields, row, type ValuesOf, writeFields } from "../row.ts";

/** A direction, `T`, a range, `M`: a place as seen from here. */
interface Aim {
  bearingDeg: number;
  rangeM: number;
}

const range = decimal(1, { min: 0 });

const aim: Field<Aim> = {
  width: 4,
  read: (places, at) => {
    const bearingDeg = direction.read(places, at);
    const rangeM = range.read(places, at + 2);
    if (isRefused(bearingDeg)) return bearingDeg;
    if (isRefused(rangeM)) return rangeM;
    if (bearingDeg === undefined || rangeM === undefined) return undefined;
    return places[at + 1] === "T" && places[at + 3] === "M" ? { bearingDeg, rangeM } : undefined;
  },
  write: (value) =>
    value === undefined
      ? ["", "", "", ""]
      : [...direction.write(value.bearingDeg), "T", ...range.write(value.rangeM), "M"],
};

/** PLACE takes a position or an aim; which one is told by the letter in its second place. */
const positionOrAim: Field<{ position: ReturnType<typeof position.read>; aim: Aim | undefined }> = {
  width: 4,
  read: (places, at) => {
    if (places[at + 1] === "T") {
      const value = aim.read(places, at);
      return isRefused(value) || value === undefined ? undefined : { position: undefined, aim: value };
    }
    const value = position.read(places, at);
    return isRefused(value) || value === undefined ? undefined : { position: value, aim: undefined };
  },
  write: (value) => {
    if (value?.aim !== undefined) return aim.write(value.aim);
    return position.write(isRefused(value?.position) ? undefined : (value?.position as never));
  },
};

const required = <F extends Fields>(fields: F, ...needs: (keyof F & string)[]) => ({ fields, needs });

const VERBS = {
  LETGO: required({ position }),
  RODE: required({ lengthM: lengthWithUnit }, "lengthM"),
  BROUGHTUP: required({}),
  PLACE: required({ at: positionOrAim }, "at"),
  UNDO: required({}),
  WEIGH: required({ ball: code({ BALL: "ball" }) }),
  AWEIGH: required({}),
  SLIP: required({}),
  RISE: required({ riseM: lengthWithUnit }, "riseM"),
  SPLICE: required({}),
  BOTTOM: required({}),
  KEEPOFF: required({ aim, name: text }, "aim"),
  EXPECT: required({ speedMps: speedTold }, "speedMps"),
  NEUTRAL: required({}),
  LIE: required({ position }, "position"),
  WIND: required({ speedMps: speedTold, fromDeg: direction }, "speedMps"),
  SET: required({ key: text, value: text }, "key", "value"),
  FACT: required({ key: text, on: code({ "1": "on", "0": "off" }), text }, "key", "on"),
  // "answered", not "verb": an answer that comes back to us must never read as the act that it answers.
  ACK: required({ answered: text }),
  NAK: required({ answered: text, reason: text }),
} as const;

export type Verb = keyof typeof VERBS;
export const ALL_VERBS = Object.keys(VERBS) as Verb[];

export type Order = { [V in Verb]: { verb: V } & ValuesOf<(typeof VERBS)[V]["fields"]> }[Verb];

/** What a PRDW sentence says: an order, or a verb that is unknown or badly filled in. */
export type OwnContent =
  | { order: Order; problem: undefined }
  | { order: undefined; problem: "format"; verb: string };

function isVerb(verb: string): verb is Verb {
  return Object.hasOwn(VERBS, verb);
}

function bad(verb: string): OwnContent {
  return { order: undefined, problem: "format", verb: verb.replace(/[^A-Z]/g, "").slice(0, 10) };
}

function readOrder(places: readonly string[], at: number): OwnContent {
  const verb = places[at] ?? "";
  if (!isVerb(verb)) return bad(verb);
  const { fields, needs }: { fields: Fields; needs: readonly string[] } = VERBS[verb];
  const values = readFields(fields, places, at + 1);
  if (isRefused(values)) return bad(verb);
  if (needs.some((key) => (values as Record<string, unknown>)[key] === undefined)) return bad(verb);
  // A place that is filled but says nothing (an unknown letter, half a position) is a mistake, not an absence.
  const told = places.slice(at + 1).some((given) => given !== "");
  const heard = Object.values(values).some((value) => value !== undefined);
  if (told && !heard) return bad(verb);
  const width = Object.values(fields).reduce((sum, field) => sum + Number(field.width), 0);
  if (places.slice(at + 1 + width).some((given) => given !== "")) return bad(verb);
  return { order: { verb, ...values } as Order, problem: undefined };
}

const content: Field<OwnContent> = {
  width: "rest",
  read: readOrder,
  write: (value) => {
    if (value?.order === undefined) return [value?.verb ?? ""];
    const { verb, ...values } = value.order;
    const places = writeFields(VERBS[verb].fields, values);
    while (places.length > 0 && places[places.length - 1] === "") places.pop();
    return [verb, ...places];
  },
};

export const ownSentences = [
  row("PRDW", "rodeward's own", { content }, { least: 1, example: "$PRDW,RODE,35.0,M*74" }),
] as const;
