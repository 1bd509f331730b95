import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { LONGEST } from "../../src/nmea/frame.ts";
import type { Verb } from "../../src/nmea/sentences/own.ts";
import { encode, type Sentence } from "../../src/nmea/table.ts";
import { sentenceIn } from "./sentence-in.ts";

/** Plain objects, as the table makes them. */
const record = <T>(values: { [K in keyof T]: fc.Arbitrary<T[K]> }) =>
  fc.record<T>(values, { noNullPrototype: true });

/** Values exactly as a place can carry them, so that writing loses nothing. */
const maybe = <T>(values: fc.Arbitrary<T>) => fc.option(values, { nil: undefined, freq: 6 });
const tenths = (min: number, max: number) => fc.integer({ min: min * 10, max: max * 10 }).map((n) => n / 10);
const whole = (min: number, max: number) => fc.integer({ min, max });
const bearing = tenths(0, 360);
const latin1 = fc.integer({ min: 0, max: 255 }).map((code) => String.fromCharCode(code));
const words = (maxLength: number) =>
  fc.oneof(
    fc.string({ unit: latin1, minLength: 1, maxLength: Math.ceil(maxLength / 3) }),
    fc.string({
      unit: fc.constantFrom(..."ABC xyz.0159±,*$!\\^~"),
      minLength: 1,
      maxLength: Math.ceil(maxLength / 2),
    }),
    fc.string({ unit: fc.constantFrom(..."ANCHOR DGI4."), minLength: 1, maxLength }),
  );
const clock = fc
  .tuple(whole(0, 23), whole(0, 59), whole(0, 5999))
  .map(([h, m, hundredths]) => h * 3600 + m * 60 + hundredths / 100);
/** Degrees as two or three digits and minutes of so many decimals give them. */
const degrees = (limit: number, decimals: number) =>
  fc
    .tuple(whole(0, limit - 1), whole(0, 60 * 10 ** decimals - 1), fc.boolean())
    .map(
      ([deg, units, negative]) =>
        (deg + units / 10 ** decimals / 60) * (negative && deg + units > 0 ? -1 : 1),
    );
const place = whole(0, 6).chain((decimals) =>
  record({
    latDeg: degrees(90, decimals),
    lonDeg: degrees(180, decimals),
    decimals: fc.constant(decimals),
  }),
);
const talker = fc.constantFrom("II", "IN", "GP", "U0");
const maker = fc.constantFrom("RDW", "XYZ");
const is = fc.constant;

function outgoing<Id extends Sentence["id"]>(
  id: Id,
  values: { [K in keyof Omit<Extract<Sentence, { id: Id }>, "id" | "talker">]: fc.Arbitrary<unknown> },
): { id: Id; arbitrary: fc.Arbitrary<Sentence> } {
  return { id, arbitrary: record({ id: is(id), talker, ...values }) as unknown as fc.Arbitrary<Sentence> };
}

const OUTGOING = [
  outgoing("ALR", {
    timeOfDayS: maybe(clock),
    alertId: maybe(whole(0, 999)),
    condition: maybe(fc.constantFrom("exceeded", "normal")),
    acknowledged: maybe(fc.constantFrom("yes", "no")),
    text: maybe(words(40)),
  }),
  outgoing("ALF", {
    total: whole(1, 2),
    number: whole(1, 2),
    sequence: maybe(whole(0, 9)),
    timeOfDayS: maybe(clock),
    category: maybe(fc.constantFrom("A", "B", "C")),
    priority: maybe(fc.constantFrom("emergency", "alarm", "warning", "caution")),
    state: maybe(
      fc.constantFrom("unacknowledged", "silenced", "acknowledged", "transferred", "rectified", "normal"),
    ),
    maker: maybe(maker),
    alertId: whole(0, 99999),
    instance: maybe(whole(0, 9)),
    revision: whole(0, 99),
    escalation: whole(0, 9),
    text: maybe(words(31)),
  }),
  outgoing("ALC", {
    total: whole(1, 99),
    number: whole(1, 99),
    sequence: whole(0, 99),
    count: whole(0, 9),
    entries: fc.array(
      record({
        maker,
        id: whole(0, 99999),
        instance: maybe(whole(0, 9)),
        revision: maybe(whole(0, 99)),
      }),
      { maxLength: 4 },
    ),
  }),
  outgoing("HBT", {
    intervalS: maybe(whole(0, 999)),
    status: fc.constantFrom("normal", "not-normal"),
    sequence: whole(0, 9),
  }),
  outgoing("ARC", {
    timeOfDayS: maybe(clock),
    maker: maybe(maker),
    alertId: maybe(whole(0, 9999999)),
    instance: maybe(whole(0, 999999)),
    command: maybe(fc.constantFrom("acknowledge", "request", "transfer", "silence")),
  }),
  outgoing("TXT", {
    total: whole(1, 99),
    number: whole(1, 99),
    identifier: whole(0, 99),
    text: maybe(words(57)),
  }),
  outgoing("WPL", { position: maybe(place), name: maybe(words(20)) }),
  outgoing("BWC", {
    timeOfDayS: maybe(clock),
    position: maybe(place.filter((at) => at.decimals <= 4)),
    bearingDeg: maybe(bearing),
    trueLetter: is("T"),
    bearingMagneticDeg: maybe(bearing),
    magneticLetter: is("M"),
    distanceNm: maybe(whole(0, 9999).map((n) => n / 1000)),
    mileLetter: is("N"),
    name: maybe(words(6)),
    mode: maybe(fc.constantFrom("autonomous", "differential", "estimated", "none")),
  }),
  outgoing("XDR", {
    measurements: fc.array(
      whole(0, 3).chain((decimals) =>
        record({
          type: fc.constantFrom("D", "G", "A", "U"),
          value: whole(-99999, 99999).map((n) => n / 10 ** decimals),
          unit: fc.constantFrom("M", "", "D", "V"),
          name: words(7),
          decimals: is(decimals),
        }),
      ),
      { minLength: 1, maxLength: 3 },
    ),
  }),
];

const KNOT = 1852 / 3600;
const aim = record({ bearingDeg: bearing, rangeM: tenths(0, 999) });
const speed = tenths(0, 99).map((knots) => knots * KNOT);
const length = tenths(-9, 200);

/** One arbitrary for each verb of the design's list: the compiler asks for all of them. */
const VERBS: Readonly<Record<Verb, Record<string, fc.Arbitrary<unknown>>>> = {
  LETGO: { position: maybe(place) },
  RODE: { lengthM: length },
  BROUGHTUP: {},
  PLACE: {
    at: fc.oneof(record({ position: place, aim: is(undefined) }), record({ position: is(undefined), aim })),
  },
  UNDO: {},
  WEIGH: { ball: maybe(is("ball")) },
  AWEIGH: {},
  SLIP: {},
  RISE: { riseM: length },
  SPLICE: {},
  BOTTOM: {},
  KEEPOFF: { aim, name: maybe(words(30)) },
  EXPECT: { speedMps: speed },
  NEUTRAL: {},
  LIE: { position: place },
  WIND: { speedMps: speed, fromDeg: maybe(bearing) },
  SET: { key: words(20), value: words(30) },
  FACT: { key: words(15), on: fc.constantFrom("on", "off"), text: maybe(words(30)) },
  ACK: { answered: maybe(fc.constantFrom("RODE", "WEIGH", "AWEIGH")) },
  NAK: { answered: maybe(fc.constantFrom("RODE", "LETGO")), reason: maybe(fc.constantFrom("phase", "far")) },
};

const ORDERS = Object.entries(VERBS).map(([verb, values]) => ({
  verb,
  arbitrary: record({ verb: is(verb), ...values }).map(
    (order) => ({ id: "PRDW", talker: "P", content: { order, problem: undefined } }) as unknown as Sentence,
  ),
}));

/** Decoding what was encoded gives the same; what would be too long is never sent. */
function checkThereAndBack(sentence: Sentence): boolean {
  let text: string;
  try {
    text = encode(sentence);
  } catch (error) {
    expect(String(error)).toMatch(/is longer than 82 characters/);
    return false;
  }
  expect(text.length + 2).toBeLessThanOrEqual(LONGEST);
  expect(sentenceIn(text)).toStrictEqual(sentence);
  return true;
}

describe("what is sent comes back as it was", () => {
  function checkMostly(sentences: fc.Arbitrary<Sentence>): void {
    let sent = 0;
    fc.assert(
      fc.property(sentences, (sentence) => {
        if (checkThereAndBack(sentence)) sent++;
      }),
      { numRuns: 120 },
    );
    expect(sent, "enough of them fit into 82 characters").toBeGreaterThan(60);
  }

  test.each(OUTGOING)("$id", ({ arbitrary }) => checkMostly(arbitrary));

  test.each(ORDERS)("PRDW,$verb", ({ arbitrary }) => checkMostly(arbitrary));

  test("too long a sentence is a mistake of the program", () => {
    const name = "A".repeat(80);
    expect(() => encode({ id: "WPL", talker: "II", position: undefined, name })).toThrow(/longer than 82/);
  });
});
