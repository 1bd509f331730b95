/** The shoal line by low water: sounded on the way in, kept off when she has swung. */
import { describe, expect, test } from "vitest";
import type { WatchSettings } from "../../src/watch/settings.ts";
import { EVENING_MS } from "../instruments/aboard.ts";
import { PHASES, seen, watchOf } from "./aboard.ts";

const HOUR = 3_600_000;
/** High water 4 m as the watch begins, low water 1 m in six hours. */
const FALLING: Partial<WatchSettings> = {
  tideTurns: [
    { atMs: EVENING_MS, heightM: 4 },
    { atMs: EVENING_MS + 6 * HOUR, heightM: 1 },
    { atMs: EVENING_MS + 12 * HOUR, heightM: 4 },
  ],
};

/** Comes in from the south over a bar 75 m off where she lets go, with this much water over it now. */
function cameIn(barM: number, settings: Partial<WatchSettings>) {
  const watch = watchOf(PHASES.underway(), settings);
  for (let s = 0; s < 120; s++) {
    const north = -120 + s;
    const depthM = Math.abs(north + 75) < 5 ? barM : 9;
    watch.second(s, seen.fix(s, north), seen.heading(s, 0), seen.depth(s, depthM), seen.wind(s, 10, 14, 0));
  }
  const still = (s: number, north = 0) => [seen.fix(s, north), seen.heading(s, 0), seen.depth(s, 9)] as const;
  watch.act(120, "LETGO", ...still(120));
  watch.act(120, "RODE,50.0,M", ...still(120));
  let last = watch.second(121, ...still(121));
  for (let s = 122; s <= 140; s++) last = watch.second(s, ...still(s, -40), seen.wind(s, 10, 14, 0));
  return last.figures.guidance.room;
}

describe("a bar astern of her", () => {
  test("with 4 m on it at high water it has 0.2 m under the keel at low water: no veering on to it", () => {
    const room = cameIn(4, FALLING);
    expect(room?.limitedBy).toBe("shoal");
    // The anchor lies at the roller, 6 m north; the bar from 70 m south of there on; her stern 9.2 m, and two sigma.
    expect(room?.mostRodeM).toBeGreaterThan(40);
    expect(room?.mostRodeM).toBeLessThan(80 + 6 - 9.2);
    expect(room?.leeward?.name).toBe("shoal");
  });
  test("with 6 m on it there are 2.2 m: no mark", () => expect(cameIn(6, FALLING)).toBeUndefined());
  test("with no tide told nothing is claimed of low water", () => expect(cameIn(4, {})).toBeUndefined());
});
