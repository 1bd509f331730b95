import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { chainStrength, ROPE_KINDS, ropeStrength } from "../../src/tackle/strengths.ts";

// Trade table to DIN 766 / ISO 4565, grade 30; weight in water = mass × 0.86943 × 9.80665
describe("chain by the table", () => {
  test.each([
    [6, 0.8, 6.821, 18],
    [7, 1.15, 9.805, 25],
    [8, 1.4, 11.937, 32],
    [10, 2.25, 19.184, 50],
    [12, 3.25, 27.71, 71],
    [13, 3.9, 33.252, 80],
    [14, 4.25, 36.236, 100],
    [16, 5.8, 49.452, 125],
  ])("%d mm", (mm, massKgPerM, wetNPerM, breakKn) => {
    const chain = chainStrength(mm / 1000);
    expect(chain.massKgPerM).toBeCloseTo(massKgPerM, 9);
    expect(chain.wetWeightNPerM).toBeCloseTo(wetNPerM, 2);
    expect(chain.breakingN).toBeCloseTo(breakKn * 1000, 6);
    expect(chain.workingN).toBeCloseTo(breakKn * 250, 6);
  });

  test("outside it goes on as d², close to the rule 0.0222·d² kg/m", () => {
    for (const mm of [5, 20]) {
      expect(chainStrength(mm / 1000).massKgPerM / (0.0222 * mm * mm)).toBeCloseTo(1, 1);
      expect(chainStrength(mm / 1000).massKgPerM).not.toBe(chainStrength(0.006).massKgPerM);
    }
  });

  // 85.6e9·d² (NREL MoorProps): 8.6 MN for 10 mm
  test("stretch", () => expect(chainStrength(0.01).stiffnessN / 1e6).toBeCloseTo(8.56, 2));
});

// Industrial table, Cordage Institute 1303 type: lb per 100 ft and lbf
describe("three-strand nylon by the table", () => {
  test.each([
    [3 / 8, 3.5, 3340],
    [7 / 16, 5.0, 4500],
    [1 / 2, 6.5, 5750],
    [9 / 16, 8.15, 7200],
    [5 / 8, 10.5, 9350],
    [3 / 4, 14.5, 12800],
    [7 / 8, 20.0, 18000],
  ])("%d in", (inches, lbPer100Ft, breakLbf) => {
    const rope = ropeStrength("nylon-three-strand", inches * 0.0254);
    expect(rope.massKgPerM / ((lbPer100Ft * 0.45359237) / 30.48)).toBeCloseTo(1, 2);
    expect(rope.breakingN / (breakLbf * 4.4482216)).toBeCloseTo(1, 2);
  });

  test("12 mm weighs about 0.083 N/m in water: 0.101 of its weight in air", () => {
    const rope = ropeStrength("nylon-three-strand", 0.012);
    expect(rope.wetWeightNPerM / (rope.massKgPerM * 9.80665)).toBeCloseTo(0.101, 3);
    expect(rope.wetWeightNPerM).toBeGreaterThan(0.08);
    expect(rope.wetWeightNPerM).toBeLessThan(0.09);
  });
});

describe("other rope", () => {
  // UFC 4-159-03 table 6-8: 1 in double braid 33.6 kip, AE 118.9 kip
  test("nylon braid of 1 in breaks at 149.5 kN and has EA 529 kN", () => {
    const rope = ropeStrength("nylon-braid", 0.0254);
    expect(rope.breakingN / 149.5e3).toBeCloseTo(1, 2);
    expect(rope.stiffnessN / 529e3).toBeCloseTo(1, 2);
  });

  // NREL MoorProps: 585·d² kg/m; 207e6·d² + 230e6·d³ N
  test.each([
    [12, 0.0842, 30.21],
    [16, 0.1498, 53.93],
    [20, 0.234, 84.64],
  ])("nylon braid of %d mm against the mooring fit", (mm, massKgPerM, breakKn) => {
    const rope = ropeStrength("nylon-braid", mm / 1000);
    expect(rope.massKgPerM).toBeCloseTo(massKgPerM, 4);
    expect(Math.abs(rope.breakingN / 1000 / breakKn - 1)).toBeLessThan(0.12);
  });

  test("polyester stretches less than nylon and weighs more in water", () => {
    for (const construction of ["three-strand", "braid"] as const) {
      const nylon = ropeStrength(`nylon-${construction}`, 0.014);
      const polyester = ropeStrength(`polyester-${construction}`, 0.014);
      expect(polyester.stiffnessN).toBeGreaterThan(1.5 * nylon.stiffnessN);
      expect(polyester.wetWeightNPerM).toBeGreaterThan(2 * nylon.wetWeightNPerM);
    }
  });
});

// ABYC H-40 as quoted in the trade: strength 8 × load; UFC 4-159-03: nylon loses 15 % when wet
test("rope may be loaded with an eighth of its break, nylon with an eighth of its wet break", () => {
  const nylon = ropeStrength("nylon-three-strand", 0.014);
  const polyester = ropeStrength("polyester-three-strand", 0.014);
  expect(nylon.workingN).toBeCloseTo((0.85 * nylon.breakingN) / 8, 6);
  expect(polyester.workingN).toBeCloseTo(polyester.breakingN / 8, 6);
});

test("thicker is heavier, stronger and stiffer, at every size and kind", () => {
  const sizes = fc.double({ min: 0.004, max: 0.03, noNaN: true });
  fc.assert(
    fc.property(sizes, fc.double({ min: 1.001, max: 2, noNaN: true }), (diameterM, factor) => {
      const thick = diameterM * factor;
      const pairs = [
        [chainStrength(diameterM), chainStrength(thick)] as const,
        ...ROPE_KINDS.map((kind) => [ropeStrength(kind, diameterM), ropeStrength(kind, thick)] as const),
      ];
      for (const [thin, thicker] of pairs) {
        expect(thicker.massKgPerM).toBeGreaterThan(thin.massKgPerM);
        expect(thicker.breakingN).toBeGreaterThan(thin.breakingN);
        expect(thicker.workingN).toBeGreaterThan(thin.workingN);
        expect(thicker.stiffnessN).toBeGreaterThan(thin.stiffnessN);
      }
    }),
  );
});
