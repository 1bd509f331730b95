/** When a place that stands is a receiver that hangs, and when it is an honest one at rest. */
import { describe, expect, test } from "vitest";
import { hungSinceMs, type Standing, standingNow } from "../../src/instruments/standing.ts";

const PLACE = { latDeg: 50.4731, lonDeg: -0.2107 };
const FAST = 4;

/** The second at which it is found to hang; undefined: not within the time. */
function hangsAt(
  seconds: number,
  motion: (s: number) => { sogMps: number; cogDeg: number | undefined } | undefined,
  { decimals = 4, everyS = 1, place = (_: number) => PLACE } = {},
): number | undefined {
  let standing: Standing | undefined;
  for (let s = 0; s <= seconds; s += everyS) {
    standing = standingNow(standing, place(s), motion(s), s * 1000);
    if (hungSinceMs(standing, decimals) !== undefined) return s;
  }
  return undefined;
}

describe("a receiver that hangs while its clock runs", () => {
  test("at 0.3 knots, as a boat at anchor has: after 15 s at a resolution of 0.0001 minutes", () => {
    expect(hangsAt(60, () => ({ sogMps: 0.154, cogDeg: 213.4 }))).toBe(15);
  });

  test("steps of 1.9 m (0.001 minutes) may hide three of them", () => {
    const found = hangsAt(120, () => ({ sogMps: 0.154, cogDeg: 213.4 }), { decimals: 3 });
    expect(found).toBe(Math.ceil((3 * 1.852) / 0.154));
  });

  test("under way, and with no course told", () => {
    expect(hangsAt(60, () => ({ sogMps: FAST, cogDeg: undefined }))).toBe(15);
  });
});

describe("an honest one", () => {
  test("holds its place at no speed for as long as it likes", () => {
    expect(hangsAt(3600, () => ({ sogMps: 0, cogDeg: 90 }))).toBeUndefined();
  });

  test("without a course and at 0.1 knots says it is still", () => {
    expect(hangsAt(3600, () => ({ sogMps: 0.051, cogDeg: undefined }))).toBeUndefined();
  });

  test("without any speed is none that says she moves", () => {
    expect(hangsAt(3600, () => undefined)).toBeUndefined();
  });

  test("has a speed or a course that trembles in its last digit", () => {
    expect(hangsAt(600, (s) => ({ sogMps: 0.15, cogDeg: s % 10 }))).toBeUndefined();
    expect(hangsAt(600, (s) => ({ sogMps: s % 7 === 0 ? 0.1 : 0.15, cogDeg: 9 }))).toBeUndefined();
  });

  test("moves when it says so", () => {
    const place = (s: number) => ({ ...PLACE, latDeg: PLACE.latDeg + s * 1e-6 });
    expect(hangsAt(600, () => ({ sogMps: FAST, cogDeg: 0 }), { place })).toBeUndefined();
  });

  test("heard so seldom that nothing can be said begins anew", () => {
    expect(hangsAt(600, () => ({ sogMps: FAST, cogDeg: 0 }), { everyS: 12 })).toBeUndefined();
  });
});
