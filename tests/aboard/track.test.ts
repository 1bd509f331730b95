import { describe, expect, test } from "vitest";
import { createTrack, MOST_POINTS } from "../../src/aboard/track.ts";
import type { Alert } from "../../src/alerts/life-cycle.ts";
import type { Advance, Second } from "../../src/core.ts";

const START_MS = Date.UTC(2026, 5, 14, 20);

/** Only what the track reads. */
function second(atS: number, rangeM: number | undefined, latDeg = 54): Second {
  const atMs = START_MS + atS * 1000;
  return {
    atMs,
    picture: {
      utcOffsetMs: 0,
      position: rangeM === undefined ? undefined : { value: { latDeg, lonDeg: 10 }, source: "gps", atMs },
      wind: undefined,
      windMean: undefined,
    },
    figures: { circle: rangeM === undefined ? undefined : { rangeM, radiusM: 60 }, scope: { now: 5 } },
  } as unknown as Second;
}

const advanced = (seconds: Second[], changes: Partial<Alert>[] = []) =>
  ({ seconds, changes, out: [] }) as unknown as Advance;

function ranges(count: number, rangeAt: (s: number) => number | undefined) {
  const track = createTrack();
  for (let s = 0; s < count; s++) track.take(advanced([second(s, rangeAt(s))]));
  return track;
}

describe("the track", () => {
  test("ten seconds are one point, with the least and the greatest within", () => {
    const answer = ranges(31, (s) => (s === 14 ? 55 : 40)).answer(0);
    expect(answer.atMs.map((at) => (at - START_MS) / 1000)).toEqual([9, 19, 29]);
    expect(answer.rangeMaxM).toEqual([40, 55, 40]);
    expect(answer.rangeMinM).toEqual([40, 40, 40]);
  });

  test("one stray second of ten hours is still there when 600 points show them all", () => {
    const answer = ranges(36_000, (s) => (s === 20_004 ? 71.5 : 40)).answer(0);
    expect(answer.atMs.length).toBeLessThanOrEqual(MOST_POINTS);
    expect(Math.max(...answer.rangeMaxM.map((value) => value ?? 0))).toBe(71.5);
    expect(answer.atMs.every((at, i) => i === 0 || at > (answer.atMs[i - 1] ?? 0))).toBe(true);
  });

  test("asked again, only what is new is told, and nothing twice", () => {
    const track = ranges(100, () => 40);
    const first = track.answer(0);
    const lastMs = first.atMs.at(-1) ?? 0;
    expect(track.answer(lastMs).atMs).toEqual([]);
    for (let s = 100; s < 121; s++) track.take(advanced([second(s, 41)]));
    expect(track.answer(lastMs).atMs.map((at) => (at - START_MS) / 1000)).toEqual([99, 109, 119]);
  });

  test("without a position there is no distance, and no place", () => {
    const answer = ranges(21, () => undefined).answer(0);
    expect([answer.rangeMaxM, answer.lat]).toEqual([
      [null, null],
      [null, null],
    ]);
  });

  test("memory ends at fourteen hours", () => {
    const track = ranges(60_000, () => 40);
    const spanMs = START_MS + 59_999_000 - (track.answer(0).atMs[0] ?? 0);
    expect(spanMs).toBeLessThan(14.1 * 3_600_000);
  });

  test("an alert is marked when raised and when it becomes an alarm, not when it repeats", () => {
    const track = createTrack();
    const alert = { key: "scope-short", priority: "warning", status: "unacknowledged" } as const;
    const raisedMs = START_MS;
    const tell = (change: Partial<Alert>) => track.take(advanced([], [{ ...alert, raisedMs, ...change }]));
    tell({ changedMs: START_MS });
    tell({ changedMs: START_MS + 60_000 });
    tell({ changedMs: START_MS + 90_000, status: "acknowledged" });
    tell({ changedMs: START_MS + 120_000, priority: "alarm" });
    tell({ changedMs: START_MS + 150_000, status: "normal" });
    tell({ changedMs: START_MS + 200_000, raisedMs: START_MS + 200_000 });
    expect(track.answer(0).marks.map(({ atMs, priority }) => [(atMs - START_MS) / 1000, priority])).toEqual([
      [0, "warning"],
      [120, "alarm"],
      [200, "warning"],
    ]);
  });
});
