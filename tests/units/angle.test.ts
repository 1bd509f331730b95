import { describe, expect, test } from "vitest";
import {
  circularMean,
  directionOf,
  lengthOf,
  turnDeg,
  vectorOf,
  wrap180,
  wrap360,
} from "../../src/units/angle.ts";

test.each([
  [0, 0, 0],
  [360, 0, 0],
  [-45, 315, -45],
  [180, 180, 180],
  [-180, 180, 180],
  [181, 181, -179],
  [725, 5, 5],
  [-1e-15, 0, 0],
])("%d° as a direction is %d°, as a turn %d°", (deg, direction, turn) => {
  expect(wrap360(deg)).toBeCloseTo(direction, 9);
  expect(wrap180(deg)).toBeCloseTo(turn, 9);
});

test("the shorter way round", () => {
  expect(turnDeg(350, 10)).toBe(20);
  expect(turnDeg(10, 350)).toBe(-20);
  expect(turnDeg(0, 180)).toBe(180);
});

test("a vector has length and direction; none has no direction", () => {
  const vector = vectorOf(5, 233.13010235415598);
  expect(vector.north).toBeCloseTo(-3, 12);
  expect(vector.east).toBeCloseTo(-4, 12);
  expect(lengthOf(vector)).toBeCloseTo(5, 12);
  expect(directionOf(vector)).toBeCloseTo(233.1301, 4);
  expect(directionOf({ north: 0, east: 0 })).toBeUndefined();
});

// Computed from the formulas, mean atan2(Σ sin, Σ cos) and Yamartino (1984); 1, 0, 359 → 0 is the usual published example.
describe("circular mean: directions, mean, resultant, Yamartino's spread", () => {
  test.each([
    [[350, 10], 0, 0.984808, 10.0081],
    [[1, 0, 359], 0, 0.999898, 0.8165],
    [[350, 0, 10], 0, 0.989872, 8.1651],
    [[80, 90, 100, 110], 95, 0.98106, 11.1815],
    [[0, 90], 45, Math.SQRT1_2, 47.4613],
    [[350, 355, 0, 5, 10, 15], 2.5, 0.98893, 8.5376],
  ])("%j → %d°", (directions, meanDeg, resultant, spreadDeg) => {
    const mean = circularMean(directions);
    expect(wrap180((mean.meanDeg ?? Number.NaN) - meanDeg)).toBeCloseTo(0, 4);
    expect(mean.resultant).toBeCloseTo(resultant, 6);
    expect(mean.spreadDeg).toBeCloseTo(spreadDeg, 4);
  });

  test("opposite directions have no mean, and the greatest spread there is, π/√3 rad", () => {
    const { meanDeg, resultant, spreadDeg } = circularMean([0, 180]);
    expect(meanDeg).toBeUndefined();
    expect(resultant).toBeCloseTo(0, 12);
    expect(spreadDeg).toBeCloseTo(103.923, 3);
  });

  test("no directions, no mean", () => expect(circularMean([]).meanDeg).toBeUndefined());

  test("it turns with its inputs", () => {
    for (let by = 0; by < 360; by += 7) {
      const turned = circularMean([80 + by, 90 + by, 100 + by, 110 + by].map(wrap360)).meanDeg ?? Number.NaN;
      expect(turnDeg(95 + by, turned)).toBeCloseTo(0, 9);
    }
  });
});
