import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { pullN, type RodeForm, reachM, tautReachM } from "../../src/rehearsal/rode-law.ts";

const ROPE: RodeForm = { chainM: 8, ropeM: 60, chainNPerM: 11.9, ropeNPerM: 0.11, stretchN: 50e3 };
const CHAIN: RodeForm = { chainM: 80, ropeM: 0, chainNPerM: 12, ropeNPerM: 0, stretchN: 20e6 };

describe("the rehearsal's rode", () => {
  // Geometry: reach of a straight rode = h·√(s² − 1), by scope s.
  test.each([
    [2, 1.7321],
    [5, 4.899],
    [7, 6.9282],
    [10, 9.9499],
  ])("a taut rode of scope %s reaches %s times the height", (scope, share) => {
    expect(tautReachM(8 * scope, 8) / 8).toBeCloseTo(share, 4);
  });

  test("a rode that does not come to the bottom reaches nothing", () => {
    expect(tautReachM(6, 7.7)).toBe(0);
  });

  test("the pull belongs to the reach, and the reach to the pull", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 20_000, noNaN: true }),
        fc.integer({ min: 15, max: 68 }),
        (pull, lengthM) => {
          const distance = reachM(ROPE, lengthM, 7.7, pull);
          expect(Math.abs(pullN(ROPE, lengthM, 7.7, distance) - pull)).toBeLessThan(1);
        },
      ),
    );
  });

  test("more pull reaches further, and never past the straight rode and its stretch", () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 20_000, noNaN: true }), (pull) => {
        const reach = reachM(ROPE, 42, 7.7, pull);
        expect(reachM(ROPE, 42, 7.7, pull + 1)).toBeGreaterThan(reach);
        expect(reach).toBeLessThanOrEqual(tautReachM(42, 7.7) + (pull * 42) / ROPE.stretchN);
      }),
    );
  });

  // The published catenary, as a measure of how far the simple law is off: inextensible chain of 12 N/m, 70 m in
  // 10 m, at 2000 N reaches 68.856 m and at 4000 N 69.158 m (TU Delft form of the catenary, computed).
  test.each([
    [2000, 68.856],
    [4000, 69.158],
  ])("chain at %s N lies within 5 %% of the catenary", (pull, reach) => {
    expect(Math.abs(reachM(CHAIN, 70, 10, pull) / reach - 1)).toBeLessThan(0.05);
  });
});
