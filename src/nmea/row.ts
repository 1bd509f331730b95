/**
 * A sentence as a row of a table: id, name, fields in the order of their places. One generic reader and
 * writer serve every row.
 */
import { type Packet, parseNmeaSentence } from "nmea-simple";
import type { Field } from "./field.ts";
import { isRefused, type Refusal, refused } from "./frame.ts";
import { seal } from "./seal.ts";

// The one `any` of the tree: a record of fields of different types has no other common name.
// biome-ignore lint/suspicious/noExplicitAny: see above
export type Fields = Readonly<Record<string, Field<any>>>;

export type ValuesOf<F extends Fields> = {
  -readonly [K in keyof F]: F[K] extends Field<infer T> ? T | undefined : never;
};

type PartVoid<F extends Fields> = Readonly<Partial<Record<keyof F, readonly (keyof F)[]>>>;

export interface Row<Id extends string, F extends Fields> {
  readonly id: Id;
  readonly name: string;
  readonly fields: F;
  /** Fewest places a real talker sends; fewer is a damaged sentence. */
  readonly least: number;
  /** A sealed example with every field filled, for the test that walks the table. */
  readonly example: string;
  /** When true of the values, all but `kept` are absent. */
  readonly voidWhen: ((values: ValuesOf<F>) => boolean) | undefined;
  readonly kept: readonly (keyof F)[];
  /** Status places that void a part of the values only. */
  readonly partVoid: PartVoid<F> | undefined;
  /** Values taken from the general codec, by its property names. */
  readonly library: Readonly<Partial<Record<keyof F, string>>> | undefined;
}

export type ReadingOf<R> =
  R extends Row<infer Id, infer F> ? { id: Id; talker: string } & ValuesOf<F> : never;

interface RowRule<F extends Fields> {
  least: number;
  example: string;
  voidWhen?: (values: ValuesOf<F>) => boolean;
  kept?: readonly (keyof F)[];
  partVoid?: PartVoid<F>;
}

export function row<const Id extends string, const F extends Fields>(
  id: Id,
  name: string,
  fields: F,
  rule: RowRule<F>,
): Row<Id, F> {
  return {
    id,
    name,
    fields,
    kept: [],
    partVoid: undefined,
    voidWhen: undefined,
    library: undefined,
    ...rule,
  };
}

type PacketOf<Id extends string> = Extract<Packet, { sentenceId: Id }>;

/**
 * A row whose numbers nmea-simple decodes. Our fields stand before it as gates: a place that is empty or no
 * strict number never reaches its value (it would make 0 of the first and a guess of the second).
 */
export function simple<const Id extends Packet["sentenceId"], const F extends Fields>(
  id: Id,
  name: string,
  fields: F,
  rule: RowRule<F> & { library: Partial<Record<keyof F, keyof PacketOf<Id> & string>> },
): Row<Id, F> {
  return { id, name, fields, kept: [], partVoid: undefined, voidWhen: undefined, ...rule };
}

// biome-ignore lint/suspicious/noExplicitAny: rows of every type, erased at the table
export type AnyRow = Row<string, any>;

/** Reads a row's values from the places of a frame. */
export function readRow(
  row: AnyRow,
  talker: string,
  places: readonly string[],
): Record<string, unknown> | Refusal {
  if (places.length < row.least) return refused("too-few-fields");
  const values = readFields(row.fields, places, 0);
  if (isRefused(values)) return values;
  if (row.library !== undefined) takeFromLibrary(row, talker, places, values);
  takeAwayVoid(row, values);
  values.id = row.id;
  values.talker = talker;
  return values;
}

function takeAwayVoid(row: AnyRow, values: Record<string, unknown>): void {
  if (row.voidWhen?.(values)) {
    for (const key of Object.keys(values)) if (!row.kept.includes(key)) values[key] = undefined;
  }
  if (row.partVoid === undefined) return;
  for (const [statusKey, keys] of Object.entries(row.partVoid)) {
    if (values[statusKey] !== "valid") for (const key of keys ?? []) values[String(key)] = undefined;
  }
}

/** Reads fields one after another; the first refusal ends it. A wrong unit letter voids the number before it. */
export function readFields(
  fields: Fields,
  places: readonly string[],
  from: number,
): Record<string, unknown> | Refusal {
  const values: Record<string, unknown> = {};
  let at = from;
  let before = "";
  for (const [key, field] of listOf(fields)) {
    const value = field.read(places, at);
    if (isRefused(value)) return value;
    values[key] = value;
    if (field.unit !== undefined && value !== undefined && value !== field.unit) values[before] = undefined;
    before = key;
    at += field.width === "rest" ? places.length : field.width;
  }
  return values;
}

const lists = new WeakMap<Fields, [string, Fields[string]][]>();

/** The fields in order, as a list made once: this is the hottest loop there is. */
function listOf(fields: Fields): [string, Fields[string]][] {
  let list = lists.get(fields);
  if (list === undefined) {
    list = Object.entries(fields);
    lists.set(fields, list);
  }
  return list;
}

export function writeFields(fields: Fields, values: Readonly<Record<string, unknown>>): string[] {
  return Object.entries(fields).flatMap(([key, field]) => field.write(values[key]));
}

function takeFromLibrary(
  row: AnyRow,
  talker: string,
  places: readonly string[],
  values: Record<string, unknown>,
): void {
  // Sealed anew: the frame has been checked, and the library demands a checksum even where a port does not.
  const packet = parseNmeaSentence(seal(`${talker}${row.id},${places.join(",")}`)) as unknown as Record<
    string,
    unknown
  >;
  for (const [key, property] of Object.entries(row.library ?? {})) {
    if (values[key] !== undefined && property !== undefined) values[key] = packet[property];
  }
}
