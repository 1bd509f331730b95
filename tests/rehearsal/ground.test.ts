import { describe, expect, test } from "vitest";
import { chanceOf } from "../../src/rehearsal/chance.ts";
import {
  type Anchor,
  breakOut,
  type DragKind,
  drawDrag,
  letGoAt,
  pullOn,
} from "../../src/rehearsal/ground.ts";

const FORM = { creepM: 2, diggingN: 1000, holdingN: 9000 };

/** Pulls east for so long by a pull that varies; the anchor's travel after each second. */
function pull(anchor: Anchor, seconds: number, pullN: (atS: number) => number, bearingDeg = 90): number[] {
  return Array.from({ length: seconds }, (_, atS) => {
    pullOn(anchor, FORM, pullN(atS), bearingDeg, 1);
    return anchor.draggedM;
  });
}

/** Steady with a gust of half as much again every three minutes. */
function gusty(atS: number): number {
  return atS % 180 < 60 ? 600 : 400;
}

function dug(): Anchor {
  const anchor = letGoAt({ north: 0, east: 0 });
  pull(anchor, 600, () => 1000);
  pull(anchor, 1200, gusty);
  return anchor;
}

describe("the anchor", () => {
  test("creeps while it digs in, by what the pull has come to, and no further", () => {
    const anchor = letGoAt({ north: 0, east: 0 });
    pull(anchor, 60, () => 500);
    expect(anchor.creptM).toBeCloseTo(1, 6);
    pull(anchor, 60, () => 400);
    expect(anchor.creptM).toBeCloseTo(1, 6);
    pull(anchor, 60, () => 5000);
    expect(anchor.creptM).toBeCloseTo(2, 6);
    expect(anchor.at.east).toBeCloseTo(2, 6);
    expect(anchor.draggedM).toBe(0);
  });

  test("turns over when the pull comes round, with half the creep again", () => {
    const anchor = dug();
    pull(anchor, 60, () => 2000, 270);
    expect(anchor.creptM).toBeCloseTo(3, 6);
  });

  test("drags past its holding power, scene or not", () => {
    const anchor = dug();
    pull(anchor, 60, () => 8900);
    expect(anchor.draggedM).toBe(0);
    pull(anchor, 60, () => 12_000);
    expect(anchor.draggedM).toBeGreaterThan(10);
  });

  test.each(["creep", "drag", "runaway"] as const)("%s: goes at its mean speed, toward the boat", (kind) => {
    const anchor = dug();
    const from = anchor.at;
    const drag = { kind, speedMps: 0.05, resetsAfterM: undefined };
    breakOut(anchor, drag);
    pull(anchor, 3600, gusty);
    expect(anchor.draggedM / 3600 / drag.speedMps).toBeGreaterThan(0.85);
    expect(anchor.draggedM / 3600 / drag.speedMps).toBeLessThan(1.05);
    expect(anchor.at.east - from.east).toBeCloseTo(anchor.draggedM, 6);
    expect(anchor.at.north - from.north).toBeCloseTo(0, 6);
  });

  test("a creeping anchor stands between the gusts", () => {
    const anchor = dug();
    breakOut(anchor, { kind: "creep", speedMps: 0.01, resetsAfterM: undefined });
    const travel = pull(anchor, 1800, gusty);
    const standing = travel.slice(1).filter((metres, i) => metres === travel[i]).length;
    expect(standing).toBeGreaterThan(900);
    expect(anchor.draggedM).toBeGreaterThan(10);
  });

  test.each(["creep", "drag", "runaway"] as const)("%s: a slack rode drags nothing", (kind) => {
    const anchor = dug();
    breakOut(anchor, { kind, speedMps: 0.5, resetsAfterM: undefined });
    pull(anchor, 600, () => 0);
    expect(anchor.draggedM).toBeLessThan(0.01);
  });

  test("drag and reset: bites again after its distance", () => {
    const anchor = dug();
    breakOut(anchor, { kind: "drag", speedMps: 0.1, resetsAfterM: 15 });
    pull(anchor, 1000, () => 500);
    expect(anchor.draggedM).toBeGreaterThanOrEqual(15);
    expect(anchor.draggedM).toBeLessThan(15.2);
    expect(anchor.drag).toBeUndefined();
  });
});

describe("drawn drags", () => {
  // Metres a minute, the ranges that the kinds are named for; a runaway is 0.3-1 m/s.
  const bounds: Record<DragKind, readonly [number, number]> = {
    creep: [0.2, 1],
    drag: [2, 10],
    runaway: [18, 60],
    "drag-and-reset": [2, 10],
    "drag-at-turn": [1, 8],
  };

  test.each(Object.entries(bounds))("%s has a speed within %s m/min", (kind, [least, most]) => {
    for (let seed = 0; seed < 50; seed++) {
      const drag = drawDrag(kind as DragKind, chanceOf(seed));
      expect(drag.speedMps * 60).toBeGreaterThanOrEqual(least);
      expect(drag.speedMps * 60).toBeLessThanOrEqual(most);
      expect(drag.resetsAfterM !== undefined).toBe(kind === "drag-and-reset");
    }
  });
});
