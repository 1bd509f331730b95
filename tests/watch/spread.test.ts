import { describe, expect, it } from "vitest";
import { chanceOf, wander } from "../../src/rehearsal/chance.ts";
import {
  grown,
  handedOn,
  isLearnt,
  learnBend,
  learnWindow,
  liveliness,
  strangerShare,
  unknownSpread,
  varianceNow,
  WINDOWS_S,
  wanderSdM,
  windowVariance,
} from "../../src/watch/spread.ts";

describe("variance of a window's mean", () => {
  it("is the process's own for a short window, and 2τ/w of it for a long one", () => {
    expect(windowVariance(2, 300, 0.001)).toBeCloseTo(4, 4);
    expect(windowVariance(2, 300, 3e6)).toBeCloseTo(4 * 2 * 1e-4, 6);
  });

  it("agrees with means of a simulated Gauss-Markov process", () => {
    const chance = chanceOf(3);
    let value = 0;
    let squares = 0;
    const windows = 3000;
    for (let i = 0; i < windows; i++) {
      let sum = 0;
      for (let s = 0; s < 64; s++) {
        value = wander(value, 2, 100, 5, chance);
        sum += value;
      }
      squares += (sum / 64) ** 2;
    }
    const ratio = squares / windows / windowVariance(2, 100, 320);
    expect(ratio).toBeGreaterThan(0.9);
    expect(ratio).toBeLessThan(1.1);
  });
});

describe("learning the wander", () => {
  it("comes down to a good receiver's and up to a poor one's", () => {
    const chance = chanceOf(5);
    for (const sdM of [0.7, 5.5]) {
      const spread = unknownSpread();
      for (let i = 0; i < 900; i++) {
        learnWindow(spread, 0, sdM * chance.normal(), 40);
        grown(spread, 40);
      }
      expect(wanderSdM(spread, false)).toBeGreaterThan(0.8 * sdM);
      expect(wanderSdM(spread, false)).toBeLessThan(1.35 * sdM);
      expect(isLearnt(spread)).toBe(true);
    }
  });

  it("is not carried off by one wild excursion", () => {
    const spread = unknownSpread();
    const before = wanderSdM(spread, false);
    for (let i = 0; i < 10; i++) learnWindow(spread, 0, 40, 40);
    expect(wanderSdM(spread, false)).toBeLessThan(3.5 * before);
  });

  it("takes a livelier hour at once, and within bounds", () => {
    const spread = unknownSpread();
    expect(liveliness(spread)).toBe(1);
    for (let i = 0; i < 300; i++) learnBend(spread, 20, 20, false);
    expect(liveliness(spread)).toBeGreaterThan(8.9);
    expect(varianceNow(spread, 40, undefined)).toBeCloseTo(liveliness(spread) * (spread.variance[0] ?? 0), 6);
    for (let i = 0; i < 3000; i++) learnBend(spread, 0, 20, false);
    expect(liveliness(spread)).toBeCloseTo(0.3, 6);
  });

  it("takes off a stranger's variance what the velocity shows to be the boat's, until she has taught it", () => {
    const spread = unknownSpread();
    expect(strangerShare(spread, undefined)).toBe(1);
    expect(strangerShare(spread, 10)).toBe(1);
    expect(strangerShare(spread, 1)).toBeCloseTo((1 + 1.69) / 6.25, 9);
    expect(varianceNow(spread, 40, 1)).toBeCloseTo((spread.variance[0] ?? 0) * strangerShare(spread, 1), 9);
    for (let i = 0; i < 45; i++) grown(spread, 40);
    expect(strangerShare(spread, 1)).toBeCloseTo((1 + (1 + 1.69) / 6.25) / 2, 9);
    for (let i = 0; i < 45; i++) grown(spread, 40);
    expect(strangerShare(spread, 1)).toBe(1);
  });

  it("hands on what it knows to the next night, with less weight", () => {
    const spread = unknownSpread();
    for (let i = 0; i < 2000; i++) grown(spread, 40);
    const next = handedOn({ ...spread, strayM: 20 });
    expect(next.variance).toEqual(spread.variance);
    expect(next.weightS).toBeLessThan(spread.weightS);
    expect(next.strayM).toBe(19);
    expect(WINDOWS_S).toHaveLength(next.variance.length);
  });
});
