import { describe, expect, it } from "vitest";
import { type Vector, vectorOf } from "../../src/units/angle.ts";
import {
  expectedM,
  expectedVar,
  fitFrom,
  loosen,
  newReach,
  placeKnownTo,
  placeSdM,
  settled,
  teach,
} from "../../src/watch/anchor-fit.ts";

/** Lying so, the rope hardly stretched. */
const slack = (u: Vector) => ({ u, stretchM: 0 });
const PRIOR = { reachSdM: 2, placeSdM: 3, delta: { north: 0, east: 0 }, mostC: 5 };

describe("the circle fit", () => {
  it("finds reach and place from exact measurements all round", () => {
    const fit = fitFrom(PRIOR);
    for (let deg = 0; deg < 360; deg += 5) {
      const u = vectorOf(1, deg);
      teach(fit, slack(u), 1.5 + 2 * u.north - 1 * u.east, 0.01);
    }
    expect(fit.state[0]).toBeCloseTo(1.5, 2);
    expect(fit.state[1]).toBeCloseTo(2, 2);
    expect(fit.state[2]).toBeCloseTo(-1, 2);
    expect(placeSdM(fit)).toBeLessThan(0.05);
  });

  it("of a first guess that proves better than thought comes to what it would have from the better one", () => {
    const late = fitFrom({ ...PRIOR, placeSdM: 3, delta: { north: 1, east: -1 } });
    const early = fitFrom({ ...PRIOR, placeSdM: 1.2, delta: { north: 1, east: -1 } });
    for (const fit of [late, early])
      for (const deg of [10, 40, 200]) teach(fit, slack(vectorOf(1, deg)), 1.1 + deg / 400, 2);
    placeKnownTo(late, 9, 1.44);
    late.state.forEach((value, i) => {
      expect(value).toBeCloseTo(early.state[i] ?? NaN, 9);
    });
    late.cov.forEach((value, i) => {
      expect(value).toBeCloseTo(early.cov[i] ?? NaN, 9);
    });
  });

  it("of a first guess that proves worse is less sure, and may go farther from it", () => {
    const fit = fitFrom({ ...PRIOR, placeSdM: 1 });
    for (let i = 0; i < 50; i++) teach(fit, slack({ north: 1, east: 0 }), 20, 1);
    const before = { sdM: placeSdM(fit), north: fit.state[1] };
    placeKnownTo(fit, 1, 36);
    expect(placeSdM(fit)).toBeGreaterThan(before.sdM);
    for (let i = 0; i < 50; i++) teach(fit, slack({ north: 1, east: 0 }), 20, 1);
    expect(fit.state[1]).toBeGreaterThan(before.north + 5);
  });

  it("moves the anchor toward the boat when it digs in, whichever way she lies", () => {
    const fit = fitFrom(PRIOR);
    settled(fit, { north: 0, east: -0.5 }, 1.5, 1);
    expect(fit.state).toEqual([0, expect.closeTo(0, 12), expect.closeTo(-1.5, 12), 0]);
    expect(fit.guess).toEqual({ north: 0, east: -1.5 });
    expect([fit.cov[5], fit.cov[10]]).toEqual([9, 10]);
    const nowhere = fitFrom(PRIOR);
    settled(nowhere, { north: 0, east: 0 }, 1.5, 1);
    expect([...nowhere.state, nowhere.cov[5], nowhere.cov[10]]).toEqual([0, 0, 0, 0, 10.625, 10.625]);
  });

  it("agrees with the normal equations of Bayesian least squares, from one bearing", () => {
    // One measurement, e = c + δn, variances 4, 9 and 1: by hand, gain (4, 9, 0) / 14.
    const fit = fitFrom(PRIOR);
    teach(fit, slack({ north: 1, east: 0 }), 1.4, 1);
    expect(fit.state).toEqual([expect.closeTo(0.4, 12), expect.closeTo(0.9, 12), 0, 0]);
    expect(fit.cov[0]).toBeCloseTo(4 - 16 / 14, 12);
    expect(fit.cov[1]).toBeCloseTo(-36 / 14, 12);
    expect(fit.cov[5]).toBeCloseTo(9 - 81 / 14, 12);
    expect(fit.cov[10]).toBe(9);
  });

  it("knows that it does not know an unseen bearing", () => {
    const fit = fitFrom(PRIOR);
    for (let i = 0; i < 200; i++) teach(fit, slack(vectorOf(1, 10)), 0.5, 4);
    expect(expectedVar(fit, slack(vectorOf(1, 10)))).toBeLessThan(0.1);
    expect(expectedVar(fit, slack(vectorOf(1, 100)))).toBeGreaterThan(4);
    expect(expectedVar(fit, slack(vectorOf(1, 190)))).toBeGreaterThan(8);
  });

  it("learns what the rope gives from lighter and harder winds, and doubts it under a load never met", () => {
    const fit = fitFrom(PRIOR);
    const unmet = { u: vectorOf(1, 40), stretchM: 8 };
    const doubted = expectedVar(fit, unmet);
    // A rope half as stiff as reckoned, on a reach 1 m too long.
    for (let i = 0; i < 300; i++) {
      const lying = { u: vectorOf(1, 40 + (i % 30)), stretchM: 1 + (i % 5) / 2 };
      teach(fit, lying, 1 + lying.stretchM, 1);
    }
    expect(doubted).toBeGreaterThan(16);
    expect(expectedM(fit, unmet)).toBeCloseTo(9, 0);
    expect(expectedVar(fit, unmet)).toBeLessThan(2);
    newReach(fit, 2, 6);
    expect(fit.state[3]).toBeCloseTo(1, 1);
    expect(expectedVar(fit, unmet)).toBeGreaterThan(4);
  });

  it("never learns past its limits", () => {
    const fit = fitFrom(PRIOR);
    for (let i = 0; i < 500; i++) teach(fit, slack(vectorOf(1, 40)), 100, 0.1);
    expect(Math.abs(fit.state[0])).toBeLessThanOrEqual(5);
    expect(Math.hypot(fit.state[1], fit.state[2])).toBeLessThanOrEqual(9 + 1e-9);
    expect(expectedM(fit, slack(vectorOf(1, 40)))).toBeLessThanOrEqual(14 + 1e-9);
  });

  it("keeps the place and forgets the reach when rode is veered", () => {
    const fit = fitFrom(PRIOR);
    for (let deg = 0; deg < 360; deg += 10)
      teach(fit, slack(vectorOf(1, deg)), 1 + vectorOf(1, deg).north, 0.1);
    newReach(fit, 2, 6);
    expect(fit.state[0]).toBe(0);
    expect(fit.state[1]).toBeCloseTo(1, 1);
    expect(fit.cov[0]).toBe(4);
    loosen(fit, 1, 2);
    expect(fit.cov[0]).toBe(5);
  });
});
