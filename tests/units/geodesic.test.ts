/**
 * Distances, bearings and places against another's geodesic on WGS84: geographiclib-geodesic (Karney 2013,
 * "Algorithms for geodesics", J. Geodesy 87), which is used in tests only.
 */
import fc from "fast-check";
import geodesic from "geographiclib-geodesic";
import { expect, test } from "vitest";
import { turnDeg, vectorOf } from "../../src/units/angle.ts";
import { bearingDeg, distanceM, moved, type Position } from "../../src/units/position.ts";

const { WGS84 } = geodesic.Geodesic;

function theirs(from: Position, to: Position): { metres: number; deg: number } {
  const { s12, azi1 } = WGS84.Inverse(from.latDeg, from.lonDeg, to.latDeg, to.lonDeg);
  return { metres: s12 ?? Number.NaN, deg: azi1 ?? Number.NaN };
}

const places = fc.record({
  latDeg: fc.double({ min: -72, max: 72, noNaN: true }),
  lonDeg: fc.double({ min: -180, max: 180, noNaN: true }),
});
const bearings = fc.double({ min: 0, max: 360, noNaN: true });

test("within an anchorage, to 300 m: distance to a millimetre, bearing to a hundredth of a degree", () => {
  fc.assert(
    fc.property(places, bearings, fc.double({ min: 1, max: 300, noNaN: true }), (from, deg, metres) => {
      const to = moved(from, vectorOf(metres, deg));
      const found = theirs(from, to);
      expect(Math.abs(found.metres - metres)).toBeLessThan(0.001);
      expect(Math.abs(distanceM(from, to) - found.metres)).toBeLessThan(0.001);
      expect(Math.abs(turnDeg(found.deg, bearingDeg(from, to) ?? Number.NaN))).toBeLessThan(0.01);
    }),
    { numRuns: 500 },
  );
});

test("out to five miles, as far as an act may reach: within 0.1 %", () => {
  fc.assert(
    fc.property(places, bearings, fc.double({ min: 300, max: 9260, noNaN: true }), (from, deg, metres) => {
      const to = moved(from, vectorOf(metres, deg));
      const found = theirs(from, to);
      expect(Math.abs(found.metres - metres)).toBeLessThan(0.001 * metres);
      expect(Math.abs(distanceM(from, to) - found.metres)).toBeLessThan(0.001 * metres);
    }),
    { numRuns: 500 },
  );
});

test("the boat and her anchor of the examples: 45.883 m", () => {
  const boat = { latDeg: 50 + 45.612 / 60, lonDeg: -(1 + 18.234 / 60) };
  const anchor = { latDeg: 50 + 45.631 / 60, lonDeg: -(1 + 18.209 / 60) };
  const found = theirs(boat, anchor);
  expect(distanceM(boat, anchor)).toBeCloseTo(found.metres, 4);
  expect(bearingDeg(boat, anchor)).toBeCloseTo(found.deg, 3);
});
