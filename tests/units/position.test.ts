import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { lengthOf } from "../../src/units/angle.ts";
import { bearingDeg, distanceM, moved, offsetM, type Position } from "../../src/units/position.ts";

const at = (latDeg: number, lonDeg: number): Position => ({ latDeg, lonDeg });

test("boat to anchor, 46 m: Vincenty on WGS84 gives 45.883336 m, 39.84711°", () => {
  const boat = at(50 + 45.612 / 60, -(1 + 18.234 / 60));
  const anchor = at(50 + 45.631 / 60, -(1 + 18.209 / 60));
  expect(distanceM(boat, anchor)).toBeCloseTo(45.883336, 5);
  expect(bearingDeg(boat, anchor)).toBeCloseTo(39.84711, 3);
});

describe("a minute of latitude and of longitude, m (WGS84 radii; 1842.9 and 1861.57 are the published ends)", () => {
  test.each([
    [0, 1842.9046, 1855.3248],
    [15, 1844.1449, 1792.5081],
    [30, 1847.5407, 1608.1047],
    [45, 1852.1963, 1314.1139],
    [50, 1853.8177, 1194.9292],
    [60, 1856.8715, 930.0],
    [75, 1860.3064, 481.7001],
    [-60, 1856.8715, 930.0],
  ])("at %d°", (latDeg, latMinuteM, lonMinuteM) => {
    const half = 0.5 / 60;
    expect(distanceM(at(latDeg - half, 7), at(latDeg + half, 7))).toBeCloseTo(latMinuteM, 3);
    expect(distanceM(at(latDeg, 7), at(latDeg, 7 + 1 / 60))).toBeCloseTo(lonMinuteM, 3);
  });

  test("at the pole", () => expect(distanceM(at(90 - 1 / 60, 0), at(90, 0))).toBeCloseTo(1861.566, 2));
});

describe("longer lines, within the 0.1 % that is claimed", () => {
  test.each([
    // Published in Geoscience Australia's tests of Vincenty's formulas.
    ["Flinders Peak to Buninyong", at(-37.95103342, 144.4248679), at(-37.65282114, 143.9264955), 54972.271],
    // Equator and meridian: computed from WGS84's radii.
    ["a degree of the equator", at(0, 0), at(0, 1), 111319.491],
    ["a degree of the meridian", at(0, 0), at(1, 0), 110574.389],
  ])("%s", (_, from, to, metres) => {
    expect(Math.abs(distanceM(from, to) / metres - 1)).toBeLessThan(1e-3);
  });
});

test("over the date line the short way", () => {
  const west = at(-17, 179.9999);
  const east = at(-17, -179.9999);
  expect(distanceM(west, east)).toBeCloseTo(21.29, 1);
  expect(bearingDeg(west, east)).toBeCloseTo(90, 6);
  expect(moved(west, { north: 0, east: 30 }).lonDeg).toBeLessThan(-179.99);
});

test("no bearing from a place to itself", () => {
  expect(bearingDeg(at(50, -1), at(50, -1))).toBeUndefined();
});

test("moved by an offset, that offset away", () => {
  const metres = fc.double({ min: -2000, max: 2000, noNaN: true });
  const degrees = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
  fc.assert(
    fc.property(degrees(75), degrees(180), metres, metres, (latDeg, lonDeg, north, east) => {
      const from = at(latDeg, lonDeg);
      const got = offsetM(from, moved(from, { north, east }));
      expect(lengthOf({ north: got.north - north, east: got.east - east })).toBeLessThan(1e-3);
    }),
  );
});
