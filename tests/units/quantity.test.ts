import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { M_PER_FATHOM, M_PER_FT, M_PER_NM } from "../../src/units/length.ts";
import { type QuantityKind, readQuantity } from "../../src/units/quantity.ts";
import { fromKn, MPS_PER_KN, toKn } from "../../src/units/speed.ts";

function siOf(text: string, kind: QuantityKind): number {
  const read = readQuantity(text, kind);
  if (!read.ok) throw new Error(read.problem);
  return read.value;
}

function problemOf(text: string, kind: QuantityKind): string {
  const read = readQuantity(text, kind);
  if (read.ok) throw new Error(`"${text}" was read as ${read.value}`);
  return read.problem;
}

test("exact by definition: foot, fathom, nautical mile, knot", () => {
  expect([M_PER_FT, M_PER_NM]).toEqual([0.3048, 1852]);
  expect(M_PER_FATHOM).toBeCloseTo(1.8288, 12);
  expect(15 * M_PER_FATHOM).toBeCloseTo(27.432, 12); // a shackle
  expect(MPS_PER_KN).toBeCloseTo(0.514444, 6);
  expect(toKn(1)).toBeCloseTo(1.943844, 6);
  expect(toKn(fromKn(17))).toBeCloseTo(17, 12);
});

describe("SI out", () => {
  test.each<[string, QuantityKind, number]>([
    ["30m", "length", 30],
    ["30 m", "length", 30],
    ["98 ft", "length", 29.8704],
    ["98FT", "length", 29.8704],
    ["5 fathoms", "length", 9.144],
    [" .5 m ", "length", 0.5],
    ["8 mm", "length", 0.008],
    ["-1.4 m", "length", -1.4],
    ["20kn", "speed", 10.28889],
    ["10 m/s", "speed", 10],
    ["15 m/min", "speed", 0.25],
    ["36 km/h", "speed", 10],
    ["8 deg", "angle", 8],
    ["8°", "angle", 8],
    ["10 min", "duration", 600],
    ["2 h", "duration", 7200],
    ["600 N", "force", 600],
    ["1 kN", "force", 1000],
    ["1 lbf", "force", 4.4482216],
    ["4.2 t", "mass", 4200],
    ["9 m2", "area", 9],
    ["9 m²", "area", 9],
    ["11.8 V", "voltage", 11.8],
  ])("%j, %s → %d", (text, kind, value) => expect(siOf(text, kind)).toBeCloseTo(value, 5));
});

describe("a bare number is refused with the two likely readings", () => {
  test.each<[QuantityKind, string]>([
    ["length", 'did you mean "30 m" or "30 ft"?'],
    ["speed", 'did you mean "30 kn" or "30 m/s"?'],
    ["duration", 'did you mean "30 s" or "30 min"?'],
    ["force", 'did you mean "30 N" or "30 kN"?'],
    ["angle", 'did you mean "30 deg"?'],
  ])("%s", (kind, readings) => {
    expect(problemOf("30", kind)).toContain(readings);
    expect(problemOf(" 30 ", kind)).toContain("has no unit");
  });
});

describe("what is no quantity of that kind is refused, with what would be right", () => {
  test.each<[string, QuantityKind, string]>([
    ["30 kn", "length", "no unit of a length; use m, mm, cm"],
    ["30 m", "speed", "no unit of a speed; use kn"],
    ["thirty m", "length", 'is not a length; write it like "10 m"'],
    ["", "length", "is not a length"],
    ["m", "length", "is not a length"],
    ["1e3 m", "length", '"e3 m" is no unit'],
    ["0x10 m", "length", "is no unit"],
    ["1,5 m", "length", 'write decimals with a point, "1.5 m"'],
    ["3 4 m", "length", "is not a length"],
    ["5 constructor", "length", "is no unit"],
    ["5 __proto__", "mass", "is no unit"],
  ])("%j, %s", (text, kind, problem) => expect(problemOf(text, kind)).toContain(problem));

  test("and none is ever read as something that is no number", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 12 }), (text) => {
        const read = readQuantity(text, "length");
        expect(read.ok ? Number.isFinite(read.value) : read.problem.length > 0).toBe(true);
      }),
    );
  });
});
