import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { isRefused, LONGEST, refused } from "../../src/nmea/frame.ts";
import { type AnyRow, type Fields, readRow, writeFields } from "../../src/nmea/row.ts";
import { seal } from "../../src/nmea/seal.ts";
import { decode, encode, TABLE } from "../../src/nmea/table.ts";
import { sentenceIn } from "./sentence-in.ts";

const REQUIRED = { checksum: "required" } as const;

function placesOf(text: string): string[] {
  return text.slice(0, text.lastIndexOf("*")).split(",").slice(1);
}

const ROWS: readonly AnyRow[] = TABLE;

describe("the table", () => {
  test("no sentence stands twice in it", () => {
    const ids = ROWS.map((row) => row.id);
    expect(new Set(ids).size).toBe(ids.length);
  });

  describe.each(ROWS)("$id", (row) => {
    test("the example is within 82 characters, decodes, and encodes back to itself", () => {
      expect(row.example.length + 2).toBeLessThanOrEqual(LONGEST);
      const sentence = sentenceIn(row.example);
      expect(sentence.id).toBe(row.id);
      expect(encode(sentence)).toBe(row.example);
    });

    test("one place fewer than its least is refused, the least is not", () => {
      const places = placesOf(row.example);
      expect(places.length).toBeGreaterThanOrEqual(row.least);
      expect(readRow(row, "II", places.slice(0, row.least - 1))).toEqual({
        kind: "refused",
        reason: "too-few-fields",
      });
      expect(isRefused(readRow(row, "II", places.slice(0, row.least)))).toBe(false);
    });

    test("any places: never throws, no NaN, and what is read is written and read back stably", () => {
      fc.assert(
        fc.property(placesLike(placesOf(row.example)), (places) => {
          const values = readRow(row, "II", places);
          if (isRefused(values)) return;
          expect(JSON.stringify(values, refuseNaN)).toBeTypeOf("string");
          const written = writeFields(row.fields, values);
          const again = readRow(row, "II", written);
          if (isRefused(again)) throw new Error(`${written.join()}: ${again.reason}`);
          expect(writeFields(row.fields, again)).toEqual(written);
        }),
        { numRuns: 200 },
      );
    });

    // Rows of groups are looked at below: an empty group is still a group.
    if (takesAllTheRest(row)) return;
    test("empty places are absent values, never 0", () => {
      const values = readRow(
        row,
        "II",
        placesOf(row.example).map(() => ""),
      );
      if (isRefused(values)) throw new Error(values.reason);
      const { id: _, talker: __, ...rest } = values;
      const saysNothing = [undefined, { command: undefined, isCommand: false }];
      for (const value of Object.values(rest)) expect(saysNothing).toContainEqual(value);
    });
  });

  test("rows of groups, empty", () => {
    expect(sentenceIn(seal("IIXDR,C,,C,"))).toMatchObject({ measurements: [{ value: undefined, name: "" }] });
    expect(sentenceIn(seal("IIALC,,,,0"))).toMatchObject({ count: 0, entries: [] });
    expect(decode(seal("IIALC,01,01,00,1,RDW,,1,2"), REQUIRED).pieces).toEqual([refused("bad-number")]);
  });
});

function takesAllTheRest(row: AnyRow): boolean {
  return Object.values(row.fields as Fields).some((field) => field.width === "rest");
}

function refuseNaN(key: string, value: unknown): unknown {
  if (typeof value === "number" && !Number.isFinite(value)) throw new Error(`${key} is ${value}`);
  return value;
}

/** Places of an example with any of them replaced, the end cut off or lengthened. */
function placesLike(example: readonly string[]): fc.Arbitrary<string[]> {
  const clean = fc.string({ unit: fc.constantFrom(..." 0123456789.+-ABCEFMNRSTVW^abcf") });
  const digits = fc.array(fc.constantFrom(..."0123456789"), { minLength: 1, maxLength: 40 });
  const decimals = fc.tuple(digits, digits).map(([a, b]) => `${a.join("")}.${b.join("")}`);
  // Edges of rounding, of the times and positions, and names that every object knows.
  const odd =
    "0 -0 -0.04 359.97 179.96 180.04 99999999999999999999 . 235960 000000 123519. 0000.0 00000.04 W S";
  const odder = fc.constantFrom("", "constructor", "__proto__", "toString", ...odd.split(" "));
  const place = fc.oneof(
    clean,
    digits.map((d) => d.join("")),
    decimals,
    odder,
  );
  const kept = (at: number) => fc.oneof({ weight: 3, arbitrary: fc.constant(example[at] ?? "") }, place);
  return fc
    .tuple(fc.tuple(...example.map((_, at) => kept(at))), fc.array(place, { maxLength: 3 }), fc.nat(30))
    .map(([places, more, cut]) => [...places, ...more].slice(0, cut > 10 ? 30 : cut));
}
