import { describe, expect, it } from "vitest";
import { frames } from "../../src/nmea/frame.ts";
import type { NightKind } from "../../src/rehearsal/nights/night.ts";
import { DRAGS, nightOf, WEATHERS } from "../../src/rehearsal/nights/night.ts";
import { rehearse } from "../../src/rehearsal/rehearsal.ts";
import { partOf, plannedInRow, plannedNight, withRowsReceiver } from "./plan.ts";
import { playNight } from "./play.ts";
import { poissonInterval, quantile } from "./table.ts";
import { TWISTS } from "./twists.ts";

/** A few nights of the big run, whole core, as sentences; `npm run nights` plays the rest. */
describe("seeded nights through the whole core", () => {
  const drag = (grade: NightKind["grade"], velocity: NightKind["velocity"]): NightKind => ({
    grade,
    velocity,
    event: { drag: "drag" },
  });

  it.each([
    ["a good receiver", drag("good", "alive"), 10, 15],
    // Without a witness: the circle ends it at the latest.
    ["a middling one whose speed stands at 0", drag("mid", "pinned-0.4"), 30, 60],
  ] as const)(
    "%s: a drag is told in time, and nothing before it",
    (_, kind, seed, mostM) => {
      const result = playNight(kind, seed);
      expect(result.falseAlarms).toEqual([]);
      expect(result.drag?.alarm?.movedM).toBeLessThan(mostM);
    },
    60_000,
  );

  it("a front on a middling receiver alarms nobody", () => {
    // Of this seed the wind goes round in the first 3 h 15 min.
    const untilS = 4 * 3600;
    const result = playNight({ grade: "mid", velocity: "alive", event: { weather: "front" } }, 3, { untilS });
    expect(result.falseAlarms).toEqual([]);
    expect(result.arcDeg).toBeGreaterThan(120);
    expect(result.hours).toBeCloseTo(4, 2);
  }, 60_000);
});

describe("the nights that are drawn", () => {
  it("are the same for a seed, and others for another", () => {
    const kind: NightKind = { grade: "poor", velocity: "alive", event: { weather: "gale" } };
    expect(nightOf(kind, 5)).toEqual(nightOf(kind, 5));
    expect(nightOf(kind, 5).papers).not.toEqual(nightOf(kind, 6).papers);
  });

  it("lie within the ranges that they are said to be drawn from", () => {
    for (const weather of WEATHERS)
      for (let seed = 1; seed <= 40; seed++) {
        const { papers, scene } = nightOf({ grade: "good", velocity: "alive", event: { weather } }, seed);
        expect(papers.lengthM).toBeGreaterThanOrEqual(7.5);
        expect(papers.lengthM).toBeLessThanOrEqual(13);
        expect(papers.rollerToAntennaM).toBeLessThan(papers.lengthM);
        expect(papers.chainM + papers.ropeM).toBeGreaterThan(22);
        expect(scene.rodeTruth).toBeGreaterThan(0.949);
        expect(scene.rodeTruth).toBeLessThan(1.051);
        expect(scene.lengthS).toBe(36_000);
      }
  });

  it("begin their drags within the night", () => {
    for (const kind of DRAGS)
      for (let seed = 1; seed <= 40; seed++) {
        const { dragS, scene } = nightOf({ grade: "mid", velocity: "alive", event: { drag: kind } }, seed);
        expect(dragS).toBeGreaterThan(3600);
        expect(dragS).toBeLessThan(scene.lengthS);
      }
  });

  it("of twenty are twelve in weathers, three with faults, five with drags", () => {
    const parts = Array.from({ length: 20 }, (_, i) => partOf(plannedNight("mixed", "alive", i + 1)));
    const count = (part: string) => parts.filter((one) => one === part).length;
    expect([count("weather"), count("fault"), count("drag")]).toEqual([12, 3, 5]);
  });
});

describe("twisted nights and rows of nights", () => {
  const good: NightKind = { grade: "good", velocity: "alive", event: { weather: "breeze" } };

  it("oftener fixes lie on the way between those of the seconds, each at its own time", () => {
    const { night, lines } = TWISTS["5-hz"]?.(nightOf(good, 3)) ?? { night: nightOf(good, 3) };
    const rehearsal = rehearse(night.scene, 3);
    const taken = [0, 1, 2].flatMap((atS) => lines?.(rehearsal.next()?.lines ?? [], atS) ?? []);
    const fixes = taken.filter((line) => line.includes("$GPRMC"));
    expect(fixes).toHaveLength(3 + 2 * 4);
    for (const line of fixes)
      expect(frames(line, { checksum: "required" })).toMatchObject({
        pieces: [{ kind: "frame" }],
        tagDropped: 0,
      });
    const times = fixes.map((line) => Number(/RMC,([\d.]+)/.exec(line)?.[1]));
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(new Set(times).size).toBe(times.length);
    const stamps = taken.map((line) => Number(/c:(\d+)/.exec(line)?.[1]));
    expect(stamps).toEqual([...stamps].sort((a, b) => a - b));
  });

  it("a row keeps its receiver, whatever befalls it, and another has another", () => {
    const fault: NightKind = { ...good, event: { fault: "void" } };
    const first = withRowsReceiver(nightOf(good, 11), good, 1).scene.receiver;
    const other = withRowsReceiver(nightOf(fault, 12), fault, 1).scene.receiver;
    expect({ ...other, faults: first.faults }).toEqual(first);
    expect(other.faults).toHaveLength(1);
    expect(withRowsReceiver(nightOf(good, 21), good, 2).scene.receiver.sigmaM).not.toBe(first.sigmaM);
  });

  it("each place of a row of ten meets every event", () => {
    for (let nth = 0; nth < 10; nth++) {
      const seeds = Array.from({ length: 20 }, (_, row) => row * 10 + nth + 1);
      const events = seeds.map((seed) => JSON.stringify(plannedInRow("good", "alive", seed, 10).kind.event));
      expect(new Set(events).size).toBe(14);
    }
  });
});

describe("the figures of the table", () => {
  it("are exact Poisson limits", () => {
    // Tabulated 95 % limits: 0 → 0–3.689, 2 → 0.2422–7.225, 10 → 4.795–18.39 (Pearson & Hartley's tables, from memory).
    expect(poissonInterval(0)).toEqual([0, expect.closeTo(3.689, 2)]);
    expect(poissonInterval(2)).toEqual([expect.closeTo(0.2422, 3), expect.closeTo(7.225, 2)]);
    expect(poissonInterval(10)).toEqual([expect.closeTo(4.795, 2), expect.closeTo(18.39, 2)]);
  });

  it("count a missed drag as endlessly late", () => {
    expect(quantile([3, 1, Number.POSITIVE_INFINITY, 2], 0.5)).toBe(3);
    expect(quantile([], 0.5)).toBeNaN();
  });
});
