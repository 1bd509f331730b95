import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  cosineShare,
  depthAtLowM,
  heightAboveLowM,
  leastDepthM,
  riseByTimesM,
  riseToComeM,
  tideByTable,
  twelfthsShare,
} from "../../src/tackle/tide.ts";

const HOUR = 3_600_000;

// Published comparison of the rule of twelfths with the cosine
test.each([
  [0, 0, 0],
  [1, 0.06699, 1 / 12],
  [2, 0.25, 3 / 12],
  [3, 0.5, 0.5],
  [4, 0.75, 0.75],
  [5, 0.93301, 11 / 12],
  [6, 1, 1],
])("after %d sixths: cosine %d, twelfths %d", (sixth, cosine, twelfths) => {
  expect(cosineShare(sixth / 6)).toBeCloseTo(cosine, 5);
  expect(twelfthsShare(sixth / 6)).toBeCloseTo(twelfths, 9);
});

test("the two never differ by more than 2.56 % of the range", () => {
  let largest = 0;
  for (let i = 0; i <= 6000; i++) {
    largest = Math.max(largest, Math.abs(cosineShare(i / 6000) - twelfthsShare(i / 6000)));
  }
  expect(largest).toBeCloseTo(0.0256, 4);
});

describe("by the times: low water 1.2 m at 10:00, high 5.2 m at 16:00", () => {
  const tide = { lowMs: 10 * HOUR, highMs: 16 * HOUR, rangeM: 4 };

  test.each([
    [10, 1.2],
    [11, 1.468],
    [12, 2.2],
    [16, 5.2],
  ])("at %d:00 %d m", (hour, heightM) => {
    expect(1.2 + (heightAboveLowM(tide, hour * HOUR) ?? 0)).toBeCloseTo(heightM, 3);
  });

  test("the twelfths say 1.533 m at 11:00", () =>
    expect(1.2 + 4 * twelfthsShare(1 / 6)).toBeCloseTo(1.533, 3));

  // π·range/2T
  test("runs at 1.047 m an hour half-way", () => {
    const step = HOUR / 100;
    const before = heightAboveLowM(tide, 13 * HOUR - step) ?? 0;
    const after = heightAboveLowM(tide, 13 * HOUR + step) ?? 0;
    expect((after - before) / 0.02).toBeCloseTo(1.047, 3);
  });

  test("rise to come, and depth at low water", () => {
    expect(riseByTimesM(tide, 12 * HOUR)).toBeCloseTo(3, 9);
    expect(riseByTimesM(tide, 16 * HOUR)).toBeCloseTo(0, 9);
    expect(depthAtLowM(tide, 6, 12 * HOUR)).toBeCloseTo(5, 9);
    expect(depthAtLowM(tide, 6, 16 * HOUR)).toBeCloseTo(2, 9);
  });

  test("goes on after high water with the same period", () => {
    expect(heightAboveLowM(tide, 22 * HOUR)).toBeCloseTo(0, 9);
    expect(riseByTimesM(tide, 19 * HOUR)).toBeCloseTo(2, 9);
  });

  test("least depth until the anchor is weighed", () => {
    expect(leastDepthM(tide, 6, 12 * HOUR, 14 * HOUR)).toBeCloseTo(6, 9);
    expect(leastDepthM(tide, 6, 17 * HOUR, 19 * HOUR)).toBeCloseTo(
      6 - (heightAboveLowM(tide, 17 * HOUR) ?? 0) + 2,
      9,
    );
    expect(leastDepthM(tide, 6, 16 * HOUR, 30 * HOUR)).toBeCloseTo(2, 9);
  });

  test("is never less than any depth on the way", () => {
    const hours = fc.double({ min: -30, max: 60, noNaN: true });
    fc.assert(
      fc.property(hours, fc.double({ min: 0, max: 20, noNaN: true }), (from, lasting) => {
        const at = (hour: number) => heightAboveLowM(tide, hour * HOUR) ?? 0;
        const least = leastDepthM(tide, 10, from * HOUR, (from + lasting) * HOUR) ?? 0;
        let walked = Number.POSITIVE_INFINITY;
        for (let i = 0; i <= 400; i++) {
          walked = Math.min(walked, 10 - at(from) + at(from + (lasting * i) / 400));
        }
        expect(least).toBeLessThanOrEqual(walked + 1e-9);
        expect(least).toBeGreaterThan(walked - 0.01);
      }),
    );
  });

  test("two times that are the same are no tide", () => {
    expect(heightAboveLowM({ lowMs: 5, highMs: 5, rangeM: 4 }, 7)).toBeUndefined();
    expect(leastDepthM({ lowMs: 5, highMs: 5, rangeM: 4 }, 6, 7, 8)).toBeUndefined();
  });
});

describe("rise as told", () => {
  test("less what has come since, never below nothing", () => {
    expect(riseToComeM(1.2, 4, 4)).toBeCloseTo(1.2, 9);
    expect(riseToComeM(1.2, 4.5, 4)).toBeCloseTo(0.7, 9);
    expect(riseToComeM(1.2, 6, 4)).toBe(0);
    expect(riseToComeM(1.2, 3.5, 4)).toBeCloseTo(1.7, 9);
  });
});

describe("by a table of turns: 1.2 m at 10:00, 5.2 m at 16:00, 0.8 m at 22:00, 5.6 m at 28:00", () => {
  const turns = [
    { atMs: 10 * HOUR, heightM: 1.2 },
    { atMs: 16 * HOUR, heightM: 5.2 },
    { atMs: 22 * HOUR, heightM: 0.8 },
    { atMs: 28 * HOUR, heightM: 5.6 },
  ];
  const at = (hour: number) => tideByTable(turns, hour * HOUR);

  // The published example: at 12:00 cosine and twelfths both 2.20 m; at 11:00 1.468 m and 1.533 m.
  test.each([
    [10, 1.2],
    [11, 1.468],
    [12, 2.2],
    [13, 3.2],
    [16, 5.2],
  ])("at %d:00 %d m", (hour, heightM) => expect(at(hour)?.heightM).toBeCloseTo(heightM, 3));

  test("never further from the rule of twelfths than 2.56 % of the range", () => {
    for (let hour = 10; hour < 28; hour += 0.05) {
      const i = Math.min(2, Math.floor((hour - 10) / 6));
      const [from, to] = [turns[i]?.heightM ?? 0, turns[i + 1]?.heightM ?? 0];
      const byTwelfths = from + (to - from) * twelfthsShare((hour - 10 - 6 * i) / 6);
      expect(Math.abs((at(hour)?.heightM ?? 0) - byTwelfths)).toBeLessThanOrEqual(
        0.0257 * Math.abs(to - from),
      );
    }
  });

  test("the rise to come is to the next high water, or to a higher one within a night", () => {
    // 28:00 is 16 h off at noon, 13 h off at 15:00.
    expect(at(12)?.riseToComeM).toBeCloseTo(5.2 - 2.2, 9);
    expect(at(15)?.riseToComeM).toBeCloseTo(5.6 - (at(15)?.heightM ?? 0), 9);
    expect(at(20)?.riseToComeM).toBeCloseTo(5.6 - (at(20)?.heightM ?? 0), 9);
    expect(at(12)?.fallToComeM).toBeCloseTo(2.2 - 0.8, 9);
    expect(at(16)?.fallToComeM).toBeCloseTo(4.4, 9);
  });

  test("nothing is read into it: before, after, and of a turn that it does not tell", () => {
    expect(at(9.99)).toBeUndefined();
    expect(at(28)).toBeUndefined();
    expect(at(40)).toBeUndefined();
    expect(at(25)?.fallToComeM).toBeUndefined();
    expect(at(25)?.riseToComeM).toBeGreaterThan(0);
    expect(tideByTable([], 0)).toBeUndefined();
  });

  test("heights between neighbours stay between them, for any table", () => {
    const table = fc
      .array(fc.tuple(fc.integer({ min: 3, max: 13 }), fc.double({ min: 0.1, max: 8, noNaN: true })), {
        minLength: 2,
        maxLength: 12,
      })
      .map((steps) => {
        let [atMs, heightM] = [0, 0];
        return steps.map(([hours, way], i) => {
          atMs += hours * HOUR;
          heightM += i % 2 === 0 ? way : -way;
          return { atMs, heightM };
        });
      });
    fc.assert(
      fc.property(table, fc.double({ min: 0, max: 1, noNaN: true }), (some, share) => {
        const [first, last] = [some[0]?.atMs ?? 0, some.at(-1)?.atMs ?? 0];
        const now = first + share * (last - first) * 0.999;
        const next = some.findIndex((turn) => turn.atMs > now);
        const [a, b] = [some[next - 1]?.heightM ?? 0, some[next]?.heightM ?? 0];
        const heightM = tideByTable(some, now)?.heightM ?? Number.NaN;
        expect(heightM).toBeGreaterThanOrEqual(Math.min(a, b) - 1e-9);
        expect(heightM).toBeLessThanOrEqual(Math.max(a, b) + 1e-9);
      }),
    );
  });
});
