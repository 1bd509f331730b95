import { describe, expect, test } from "vitest";
import { chanceOf, wander } from "../../src/rehearsal/chance.ts";

function moments(values: readonly number[]): { mean: number; sd: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const square = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
  return { mean, sd: Math.sqrt(square) };
}

function many(draw: () => number, count = 50_000): number[] {
  return Array.from({ length: count }, draw);
}

describe("chance", () => {
  test("the same seed gives the same stream, another seed another", () => {
    const first = many(chanceOf(7).uniform, 100);
    expect(many(chanceOf(7).uniform, 100)).toEqual(first);
    expect(many(chanceOf(8).uniform, 100)).not.toEqual(first);
  });

  test("a fork is a stream of its own, whatever the parent has drawn", () => {
    const parent = chanceOf(3);
    const early = many(parent.fork("wind").uniform, 20);
    many(parent.uniform, 5);
    expect(many(parent.fork("wind").uniform, 20)).toEqual(early);
    expect(many(parent.fork("receiver").uniform, 20)).not.toEqual(early);
  });

  // Moments of the distributions: textbook. Even over [0, 1): mean 1/2, sd 1/√12. Bounds are about 5 standard errors.
  test("even draws are even", () => {
    const values = many(chanceOf(1).uniform);
    const { mean, sd } = moments(values);
    expect(mean).toBeCloseTo(0.5, 2);
    expect(sd).toBeCloseTo(1 / Math.sqrt(12), 2);
    for (let tenth = 0; tenth < 10; tenth++) {
      const inside = values.filter((value) => Math.floor(value * 10) === tenth).length;
      expect(inside / values.length).toBeGreaterThan(0.093);
      expect(inside / values.length).toBeLessThan(0.107);
    }
    expect(Math.min(...values)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...values)).toBeLessThan(1);
  });

  // Table of the normal distribution: 68.27 % within one, 95.45 % within two standard deviations.
  test("normal draws are normal", () => {
    const values = many(chanceOf(2).normal);
    const { mean, sd } = moments(values);
    expect(Math.abs(mean)).toBeLessThan(0.023);
    expect(sd).toBeCloseTo(1, 1);
    const within = (bound: number): number =>
      values.filter((value) => Math.abs(value) < bound).length / values.length;
    expect(within(1)).toBeCloseTo(0.6827, 1);
    expect(Math.abs(within(2) - 0.9545)).toBeLessThan(0.006);
  });

  // Ornstein-Uhlenbeck: variance as asked, autocorrelation exp(−lag/τ) (Gillespie 1996), whatever the step.
  test.each([1, 5])("a wander keeps its size and forgets itself in its time, in steps of %s s", (stepS) => {
    const chance = chanceOf(4);
    let value = 0;
    const values = many(() => {
      value = wander(value, 3, 50, stepS, chance);
      return value;
    }, 100_000);
    const { sd } = moments(values);
    expect(sd).toBeGreaterThan(2.7);
    expect(sd).toBeLessThan(3.3);
    const lag = 50 / stepS;
    const products = values.slice(lag).map((later, i) => later * (values[i] ?? 0));
    const correlation = moments(products).mean / sd ** 2;
    expect(Math.abs(correlation - Math.exp(-1))).toBeLessThan(0.08);
  });
});
