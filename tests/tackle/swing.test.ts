import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { solveCatenary } from "../../src/tackle/catenary.ts";
import {
  antennaCircleM,
  circleMarginM,
  reachBoundM,
  sternRadiusM,
  stretchShare,
  swingRadiusM,
} from "../../src/tackle/swing.ts";
import { part, twoPart } from "./lines.ts";

// US Navy Quartermaster manual (NAVEDTRA 14221): drag circle = hawsepipe to pelorus + chain out
describe("L 35 m, h 8 m, roller to antenna 9 m", () => {
  test("taut reach 34.073 m, antenna on 43.073 m, inside the Navy's 44 m", () => {
    expect(reachBoundM(35, 0, 8)).toBeCloseTo(34.073, 3);
    expect(swingRadiusM(reachBoundM(35, 0, 8), 9)).toBeCloseTo(43.073, 3);
    expect(swingRadiusM(35, 9)).toBe(44);
  });

  test("margin, wander and stretch widen the circle", () => {
    const circle = { rodeM: 35, stretch: 0, heightM: 8, rollerToAntennaM: 9, marginM: 15, wanderM: 6 };
    expect(antennaCircleM(circle)).toBeCloseTo(64.073, 3);
    expect(antennaCircleM({ ...circle, stretch: 0.1 })).toBeCloseTo(Math.sqrt(38.5 ** 2 - 64) + 30, 9);
  });

  test("the stern swings on reach and length", () => expect(sternRadiusM(34, 9.2)).toBeCloseTo(43.2, 9));
});

test("margin: as set or 5 % of the rode", () => {
  expect(circleMarginM(15, 60)).toBe(15);
  expect(circleMarginM(15, 400)).toBe(20);
});

test("a rode that does not reach the bottom spans nothing", () => expect(reachBoundM(5, 0, 8)).toBe(0));

test("stretch of each part by its own stiffness", () => {
  const line = twoPart(part(10, 12, 1e6), part(30, 0.1, 5e4));
  expect(stretchShare(line, 1000)).toBeCloseTo((10 * 0.001 + 30 * 0.02) / 40, 12);
  expect(stretchShare(twoPart(part(0, 1), part(0, 1)), 1000)).toBe(0);
});

test("in light wind she lies nearer than the bound, in much wind close to it", () => {
  const chain = twoPart(part(40, 12, 5e6), part(0, 0));
  const reach = (loadN: number): number => {
    const answer = solveCatenary(8, chain, loadN);
    return answer.ok ? answer.reachM : Number.NaN;
  };
  const bound = reachBoundM(40, 0, 8);
  expect(reach(20)).toBeLessThan(0.9 * bound);
  expect(reach(5000)).toBeGreaterThan(0.99 * bound);
});

test("more rode or less height, a wider circle", () => {
  const length = fc.double({ min: 1, max: 200, noNaN: true });
  fc.assert(
    fc.property(length, length, length, (rodeM, heightM, moreM) => {
      expect(reachBoundM(rodeM + moreM, 0, heightM)).toBeGreaterThanOrEqual(reachBoundM(rodeM, 0, heightM));
      expect(reachBoundM(rodeM, 0, heightM + moreM)).toBeLessThanOrEqual(reachBoundM(rodeM, 0, heightM));
    }),
  );
});
