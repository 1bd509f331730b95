/** The tide told reaches the watch: rise to come, scope at high water, depth at low water, shoal-coming. */
import { describe, expect, test } from "vitest";
import type { WatchSettings } from "../../src/watch/settings.ts";
import { EVENING_MS } from "../instruments/aboard.ts";
import { PHASES, seen, watchOf } from "./aboard.ts";

const HOUR = 3_600_000;
/** Low water 1.0 m as the watch begins, high 4.0 m in 6 h, low 0.4 m 6 h later. */
const TURNS = [
  { atMs: EVENING_MS, heightM: 1 },
  { atMs: EVENING_MS + 6 * HOUR, heightM: 4 },
  { atMs: EVENING_MS + 12 * HOUR, heightM: 0.4 },
];

function lying(settings: Partial<WatchSettings> = { tideTurns: TURNS }) {
  const watch = watchOf(PHASES.riding(), settings);
  return {
    watch,
    at: (atS: number, depthM: number) =>
      watch.second(atS, seen.fix(atS, -30), seen.heading(atS, 0), seen.depth(atS, depthM)).figures,
  };
}

describe("by the table", () => {
  test("rise to come, scope at high water and depth at low water go with the clock, not with the sounder", () => {
    const boat = lying();
    const now = boat.at(1, 5);
    expect(now.tide).toMatchObject({ riseFrom: "table", lacks: undefined });
    expect(now.tide.riseM).toBeCloseTo(3, 3);
    // 35 m out; 5 m of water and 1.1 m of roller, and 3 m to come.
    expect(now.scope.atHighWater).toBeCloseTo(35 / (6.1 + 3), 2);
    // Two hours on, a quarter of the range has come: cosine and rule of twelfths both (1 + 2)/12.
    const later = boat.at(2 * 3600, 5.75);
    expect(later.tide.riseM).toBeCloseTo(2.25, 3);
    expect(later.scope.atHighWater).toBeCloseTo(35 / (5.75 + 1.1 + 2.25), 2);
    expect(later.tide.depthAtLowM).toBeCloseTo(5.75 - (1.75 - 0.4), 3);
    // She swings over a hole: that is no tide.
    expect(boat.at(2 * 3600 + 1, 9).tide.riseM).toBeCloseTo(2.25, 3);
  });

  test("an act RISE overrides it", () => {
    const boat = lying();
    boat.watch.act(1, "RISE,1.0,M", seen.depth(1, 5));
    expect(boat.at(2, 5).tide).toMatchObject({ riseM: 1, riseFrom: "told" });
    expect(boat.at(3, 5).tide.depthAtLowM).toBeCloseTo(5 - 0.6, 3);
  });

  test("beyond the table it is said, and the rise as configured stands in where there is one", () => {
    const boat = lying();
    const after = boat.at(13 * 3600, 5);
    expect(after.tide).toMatchObject({ riseM: undefined, riseFrom: undefined, depthAtLowM: undefined });
    expect(after.tide.lacks).toMatch(/^The tide as set ended 20.*: not known now$/);
    expect(after.scope.atHighWater).toBe(after.scope.now);
    const withRise = lying({ tideTurns: TURNS, tideRiseM: 1.5 });
    expect(withRise.at(13 * 3600, 5).tide).toMatchObject({ riseM: 1.5, riseFrom: "configured" });
    const early = lying({ tideTurns: TURNS.map((turn) => ({ ...turn, atMs: turn.atMs + HOUR })) });
    expect(early.at(1, 5).tide.lacks).toMatch(/^The tide as set begins /);
    expect(lying({ tideTurns: TURNS.slice(0, 2) }).at(1, 5).tide.lacks).toBe(
      "The tide as set ends before low water",
    );
  });

  test("shoal-coming by the least depth in the swing: what she has lain over counts, one false echo does not", () => {
    const boat = lying();
    // 5 m at low water's 1.0 m is 4.4 m at 0.4 m: enough.
    for (let s = 1; s <= 1800; s += 1) boat.at(s, 5);
    expect(boat.at(1801, 5).tide.leastAtLowM).toBeCloseTo(5 - 0.6 - 0.05, 1);
    expect(boat.watch.found()).not.toContain("warning shoal-coming");
    // A bank at the end of her swing: 2.2 m, for a quarter of an hour; then back over the hole.
    // A fish, as the sounding is taken.
    boat.at(2101, 1);
    expect(boat.at(2102, 5).tide.leastAtLowM).toBeGreaterThan(4);
    for (let s = 2402; s <= 3400; s++) boat.at(s, 2.2);
    for (let s = 3401; s <= 3500; s++) boat.at(s, 5.2);
    const { leastAtLowM, depthAtLowM } = boat.at(3501, 5.2).tide;
    expect(depthAtLowM).toBeGreaterThan(4);
    expect(leastAtLowM).toBeLessThan(1.6);
    expect(boat.watch.found()).toContain("warning shoal-coming");
    expect(boat.watch.textOf("shoal-coming")).toMatch(/^0\.\d m under the keel at low water$/);
  });
});

test("times without heights serve their own tide and the one before and after it, then it is said", () => {
  const times = { highWaterMs: EVENING_MS + 3 * HOUR, lowWaterMs: EVENING_MS - 3 * HOUR };
  const boat = lying({ tideTurns: [], tideTimes: times });
  boat.watch.act(1, "RISE,1.5,M", seen.depth(1, 5));
  expect(boat.at(2, 5).tide.depthAtLowM).toBeCloseTo(3.5, 2);
  expect(boat.at(8 * 3600, 5).tide.lacks).toBeUndefined();
  const over = boat.at(10 * 3600, 5).tide;
  expect(over.depthAtLowM).toBeUndefined();
  expect(over.lacks).toBe("High and low water as set are of another tide");
});

test("what the published design load is too much for is told with the guidance", () => {
  const watch = watchOf(PHASES.riding(), { windlassPullN: 600 });
  const blowing = (kn: number) =>
    watch.second(1, seen.fix(1, -30), seen.depth(1, 5), seen.wind(1, kn, kn * 1.3)).figures;
  // ABYC H-40 for 30 ft, 175 lbf at 15 kn: 9.2 m in gusts of 10 kn is some 350 N, of 26 kn some 2,400 N.
  expect(blowing(8).guidance.weak).toEqual([]);
  const hard = blowing(20);
  expect(hard.tackle.designLoadN).toBeGreaterThan(2_000);
  expect(hard.guidance.weak).toEqual([{ link: "windlass", workingN: 600 }]);
});

test("a surge factor goes on to the load, and nowhere else", () => {
  const loadN = (surge: number) => {
    const watch = watchOf(PHASES.riding(), { surge });
    return watch.second(1, seen.fix(1, -30), seen.depth(1, 5), seen.wind(1, 15, 20)).figures.tackle;
  };
  expect((loadN(1.5).loadN ?? 0) / (loadN(1).loadN ?? 1)).toBeCloseTo(1.5, 6);
  expect(loadN(1.5).designLoadN).toBe(loadN(1).designLoadN);
  expect(loadN(1.5).equivalentWindMps).toBeCloseTo(loadN(1).equivalentWindMps ?? 0, 6);
});
