import { describe, expect, test } from "vitest";
import { type Boat, UNKNOWN_BOAT } from "../../src/tackle/boat.ts";
import {
  acrossCoefficient,
  combinedLoad,
  currentForceN,
  currentLoad,
} from "../../src/tackle/current-load.ts";
import { windLoadN } from "../../src/tackle/wind-load.ts";
import { fromKn } from "../../src/units/speed.ts";

const boat: Boat = { ...UNKNOWN_BOAT, lengthM: 9.2, beamM: 3.1, draughtM: 0.8, windageAreaM2: 9 };
const deep = { headingDeg: undefined, depthM: undefined };

test("½·1025·V² per square metre", () => {
  expect(currentForceN(fromKn(1), 1, 1)).toBeCloseTo(135.635, 3);
  expect(currentForceN(fromKn(2), 1, 1)).toBeCloseTo(542.539, 2);
});

// UFC 4-159-03 table 4-6 (worked, 1.5 m/s): force 0.55, 0.66, 1.03, 1.30, 1.90 MN at these draught/depth
test.each([
  [0.288, 0.66],
  [0.576, 1.03],
  [0.72, 1.3],
  [0.96, 1.9],
])("across the hull, draught/depth %d: grows as the worked table", (share, forceMn) => {
  const deepest = acrossCoefficient(4.39, 4.39 / 0.096);
  const ratio = acrossCoefficient(4.39, 4.39 / share) / deepest;
  expect(Math.abs(ratio / (forceMn / 0.55) - 1)).toBeLessThan(0.005);
});

describe("the stream on the hull", () => {
  const east2kn = { speedMps: fromKn(2), towardDeg: 90 };

  test("lying head to it: little, and straight down stream", () => {
    const load = currentLoad(boat, east2kn, deep);
    expect(load?.north).toBeCloseTo(0, 9);
    expect(load?.east).toBeCloseTo(0.15 * 3.1 * 0.8 * 542.539, 2);
  });

  test("across the hull: many times as much", () => {
    const across = currentLoad(boat, east2kn, { headingDeg: 0, depthM: 100 });
    expect(across?.north).toBeCloseTo(0, 9);
    expect((across?.east ?? 0) / (0.851 * 9.2 * 0.8 * 542.539)).toBeCloseTo(1, 3);
  });

  test("a hull askew is pushed sideways too", () => {
    const askew = currentLoad(boat, { speedMps: 1, towardDeg: 0 }, { headingDeg: 210, depthM: undefined });
    // Bow points 210, stream comes on the port bow: pushes her stern-wards (north) and to starboard (120 + 180 = 300)
    expect(askew?.north).toBeGreaterThan(0);
    expect(askew?.east).toBeLessThan(0);
  });

  test("unknown hull, unknown load", () => {
    expect(currentLoad({ ...boat, draughtM: undefined }, east2kn, deep)).toBeUndefined();
  });
});

describe("wind and stream together", () => {
  const wind = { speedMps: fromKn(15), fromDeg: 270 };
  const windN = windLoadN(boat, wind.speedMps) ?? 0;

  test("no stream: the wind alone, and its own speed", () => {
    const got = combinedLoad(boat, wind, undefined, deep);
    expect(got?.loadN).toBeCloseTo(windN, 9);
    expect(got?.towardDeg).toBeCloseTo(90, 9);
    expect(got?.equivalentWindMps).toBeCloseTo(wind.speedMps, 9);
  });

  test("with it they add, against it they take away, across it they make a triangle", () => {
    const streamN = 0.15 * 3.1 * 0.8 * currentForceN(1, 1, 1);
    const at = (towardDeg: number) => combinedLoad(boat, wind, { speedMps: 1, towardDeg }, deep);
    expect(at(90)?.loadN).toBeCloseTo(windN + streamN, 6);
    expect(at(270)?.loadN).toBeCloseTo(windN - streamN, 6);
    expect(at(0)?.loadN).toBeCloseTo(Math.hypot(windN, streamN), 6);
    expect(at(90)?.equivalentWindMps).toBeGreaterThan(wind.speedMps);
    expect(at(0)?.towardDeg).toBeLessThan(90);
  });

  test("a strong stream against a light air turns her round", () => {
    const light = { speedMps: 1.5, fromDeg: 270 };
    const got = combinedLoad(boat, light, { speedMps: fromKn(4), towardDeg: 270 }, deep);
    expect(got?.towardDeg).toBeCloseTo(270, 6);
  });

  test("wind of unknown direction is added outright, and no direction is claimed", () => {
    const got = combinedLoad(boat, { ...wind, fromDeg: undefined }, { speedMps: 1, towardDeg: 0 }, deep);
    expect(got?.loadN).toBeGreaterThan(windN);
    expect(got?.towardDeg).toBeUndefined();
  });

  test("no wind known, or no boat: nothing said", () => {
    expect(combinedLoad(boat, undefined, { speedMps: 1, towardDeg: 0 }, deep)).toBeUndefined();
    expect(combinedLoad(UNKNOWN_BOAT, wind, undefined, deep)).toBeUndefined();
  });
});
