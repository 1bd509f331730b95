import { describe, expect, test } from "vitest";
import { chanceOf } from "../../src/rehearsal/chance.ts";
import {
  type Fix,
  type ReceiverForm,
  receive,
  receiverOf,
  sigmaBoundsM,
} from "../../src/rehearsal/receiver.ts";
import { USUAL_FAULTS } from "../../src/rehearsal/receiver-fault.ts";

const STILL = { north: 0, east: 0 };

function listen(form: ReceiverForm, seconds: number, seed: number, velocity = STILL): Fix[] {
  const fixAt = receive(form, chanceOf(seed));
  return Array.from({ length: seconds }, (_, atS) => {
    const antenna = { north: velocity.north * atS, east: velocity.east * atS };
    return fixAt(atS, antenna, velocity);
  });
}

function rms(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

describe("a receiver's error", () => {
  test.each(["good", "mid", "poor"] as const)("of grade %s has its size", (grade) => {
    // Six receivers' hours together, excursions left out: they come on top.
    const ratios = Array.from({ length: 6 }, (_, seed) => {
      const form = receiverOf(grade, chanceOf(seed).fork("form"));
      const [least, most] = sigmaBoundsM(grade);
      expect(form.sigmaM).toBeGreaterThanOrEqual(least);
      expect(form.sigmaM).toBeLessThanOrEqual(most);
      const fixes = listen({ ...form, excursion: undefined }, 10_000, seed);
      return rms(fixes.flatMap(({ at }) => [at.north, at.east])) / form.sigmaM;
    });
    const together = rms(ratios);
    expect(together).toBeGreaterThan(0.75);
    expect(together).toBeLessThan(1.3);
  });

  test("is slow: a minute later it is still much the same, an hour later it is not", () => {
    const form = { ...receiverOf("mid", chanceOf(5)), excursion: undefined };
    const north = listen(form, 40_000, 5).map(({ at }) => at.north);
    const alike = (lagS: number): number => {
      const products = north.slice(lagS).map((later, i) => later * (north[i] ?? 0));
      return products.reduce((sum, product) => sum + product, 0) / products.length / rms(north) ** 2;
    };
    expect(alike(60)).toBeGreaterThan(0.6);
    expect(Math.abs(alike(3600))).toBeLessThan(0.4);
  });

  test("excursions come, stay within their bounds, and go within 15 min", () => {
    const quiet = { ...receiverOf("mid", chanceOf(1)), sigmaM: 0.01, breathing: 0 };
    const form = { ...quiet, excursion: { everyS: 3000, leastM: 20, mostM: 30 } };
    const away = listen(form, 40_000, 3).map(({ at }) => Math.hypot(at.north, at.east));
    expect(Math.max(...away)).toBeGreaterThan(19);
    expect(Math.max(...away)).toBeLessThan(30.2);
    let longest = 0;
    let run = 0;
    for (const metres of away) {
      run = metres > 1 ? run + 1 : 0;
      longest = Math.max(longest, run);
    }
    expect(longest).toBeGreaterThan(60);
    // One may follow another at once; three in a row would be past belief.
    expect(longest).toBeLessThanOrEqual(1800);
  });

  test("the velocity does not know it", () => {
    const form = { ...receiverOf("poor", chanceOf(2)), excursion: undefined, courseFromKn: undefined };
    const fixes = listen(form, 5000, 2);
    const speedMps = fixes.map(({ speedKn }) => speedKn * 0.514444);
    // Two axes of 0.2 m/s: rms √2 · 0.2.
    expect(rms(speedMps)).toBeGreaterThan(0.26);
    expect(rms(speedMps)).toBeLessThan(0.31);
  });
});

describe("a receiver's habits", () => {
  const good = receiverOf("good", chanceOf(9));

  test("pinned: nothing below its limit, everything above", () => {
    const form = { ...good, pinnedBelowKn: 0.4, courseFromKn: 0.8 };
    const still = listen(form, 500, 1);
    expect(still.every(({ speedKn, courseDeg }) => speedKn === 0 && courseDeg === undefined)).toBe(true);
    const moving = listen(form, 500, 1, { north: 2, east: 0 });
    expect(moving.every(({ speedKn }) => speedKn > 3)).toBe(true);
    for (const { courseDeg = 90 } of moving) expect(Math.min(courseDeg, 360 - courseDeg)).toBeLessThan(10);
  });

  test("static hold: exact repeats, then a step", () => {
    const fixes = listen({ ...good, sigmaM: 3, pinnedBelowKn: 0.4, holdsForM: 4 }, 3000, 2);
    const steps = fixes.slice(1).map(({ at }, i) => {
      const before = fixes[i]?.at ?? at;
      return Math.hypot(at.north - before.north, at.east - before.east);
    });
    const moved = steps.filter((step) => step > 0);
    expect(moved.length).toBeGreaterThan(2);
    expect(moved.length).toBeLessThan(100);
    expect(Math.min(...moved)).toBeGreaterThanOrEqual(4);
  });

  test("faults: a jump, no fix, and a frozen fix with its clock running or standing", () => {
    const faults = [
      USUAL_FAULTS.jump(100, 90),
      USUAL_FAULTS.void(200),
      USUAL_FAULTS.frozen(600, false),
      USUAL_FAULTS.frozen(2000, true),
    ];
    const fixes = listen({ ...good, faults }, 3500, 3);
    const sound = listen(good, 3500, 3);
    const at = (i: number): Fix => fixes[i] as Fix;
    for (let i = 100; i < 140; i++) expect(at(i).at.east - (sound[i]?.at.east ?? 0)).toBeCloseTo(147, 6);
    expect(at(99)).toEqual(sound[99]);
    expect(at(140)).toEqual(sound[140]);
    expect(fixes.filter(({ valid }) => !valid).map(({ timeS }) => timeS)).toHaveLength(300);
    expect([at(199).valid, at(200).valid, at(499).valid, at(500).valid]).toEqual([true, false, false, true]);
    expect(fixes.slice(600, 1800)).toEqual(
      Array.from({ length: 1200 }, (_, i) => ({ ...at(599), timeS: 600 + i })),
    );
    expect(fixes.slice(2000, 3200)).toEqual(Array.from({ length: 1200 }, () => at(1999)));
    expect(at(3200)).toEqual(sound[3200]);
  });
});
