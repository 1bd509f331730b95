import { describe, expect, test } from "vitest";
import type { BoatState, DrawnPlan } from "../../src/page/boat-state.ts";
import {
  bearingOf,
  type Frame,
  groundOf,
  pointAt,
  screenDeg,
  spotOf,
  steppedAxis,
  steppedScale,
  zoomed,
} from "../../src/page/client/frame.ts";
import type { Ink } from "../../src/page/client/ink.ts";
import { layoutOf, NOTHING_HELD } from "../../src/page/client/layout.ts";
import { gridPiece } from "../../src/page/client/plan-grid.ts";
import { planView } from "../../src/page/client/plan-view.ts";
import { drawnState } from "./drawn.ts";

const SPEAK = { lengths: "metric", speeds: "kn" } as const;

/** Which way a line on the screen points, degrees clockwise from right: first point to last. */
function pointing(path: string): number {
  const points = [...path.matchAll(/[ML]([-\d.]+) ([-\d.]+)/g)].map(
    ([, x, y]) => [Number(x), Number(y)] as const,
  );
  const [x0, y0] = points[0] ?? [0, 0];
  const [x1, y1] = points.at(-1) ?? [0, 0];
  return ((Math.atan2(y1 - y0, x1 - x0) * 180) / Math.PI + 360) % 360;
}

const off = (a: number, b: number) => Math.abs(((((a - b) % 360) + 540) % 360) - 180);

function viewOf(state: BoatState, axisDeg: number) {
  const frame: Frame = { axisDeg, pxPerM: 4, originX: 200, originY: 200 };
  return planView(state, { frame, widthPx: 400, heightPx: 400, track: [], grid: false, taken: [] }, SPEAK);
}

function path(inks: readonly Ink[], look: string): string {
  return String(inks.find((ink) => ink.look === look)?.at.d);
}

describe("turning", () => {
  test("north up, a compass is a compass: north is up, east is right", () => {
    const frame: Frame = { axisDeg: 90, pxPerM: 2, originX: 100, originY: 100 };
    const at = (bearingDeg: number) => {
      const { x, y } = spotOf(pointAt(bearingDeg, 10), frame);
      return [Math.round(x), Math.round(y)];
    };
    expect([at(0), at(90), at(180), at(270)]).toEqual([
      [100, 80],
      [120, 100],
      [100, 120],
      [80, 100],
    ]);
  });

  test("every arrow, the boat and the marks agree with one bearing, however the plan is turned", () => {
    for (const axisDeg of [0, 37, 90, 143, 205, 270, 333]) {
      const plan: Partial<DrawnPlan> = {
        wind: { fromDeg: 225, meanKn: 15 },
        current: { setDeg: 100, driftKn: 0.6 },
        headingDeg: 230,
        roller: pointAt(50, 40),
        antenna: pointAt(50, 46),
        keepOffs: [{ name: "rocks", uncertaintyM: 5, ...pointAt(310, 30) }],
      };
      const { inks } = viewOf(drawnState({ plan }), axisDeg);
      // What a bearing looks like on this screen, by the points alone.
      const origin = spotOf({ northM: 0, eastM: 0 }, { axisDeg, pxPerM: 1, originX: 0, originY: 0 });
      const seen = (bearingDeg: number) => {
        const { x, y } = spotOf(pointAt(bearingDeg, 100), { axisDeg, pxPerM: 1, originX: 0, originY: 0 });
        return (Math.atan2(y - origin.y, x - origin.x) * 180) / Math.PI;
      };
      expect(off(pointing(path(inks, "wind")), seen(45))).toBeLessThan(1.5); // blows to the north-east
      expect(off(pointing(path(inks, "current")), seen(100))).toBeLessThan(1.5);
      expect(off(pointing(path(inks, "north")), seen(0))).toBeLessThan(1.5);
      expect(off(pointing(path(inks, "rode thin")), seen(50))).toBeLessThan(1.5); // anchor to bow
      expect(off(screenDeg(310, axisDeg), seen(310))).toBeLessThan(0.001);
      // The deck's outline: from bow (first point) to the middle of the transom is aft, 050.
      const deck = [...path(inks, "deck").matchAll(/[ML]([-\d.]+) ([-\d.]+)/g)].map(([, x, y]) => [
        Number(x),
        Number(y),
      ]);
      const [bow, port, starboard] = [deck[0], deck[6], deck[7]];
      const aft = [
        ((port?.[0] ?? 0) + (starboard?.[0] ?? 0)) / 2,
        ((port?.[1] ?? 0) + (starboard?.[1] ?? 0)) / 2,
      ];
      const aftDeg =
        (Math.atan2((aft[1] ?? 0) - (bow?.[1] ?? 0), (aft[0] ?? 0) - (bow?.[0] ?? 0)) * 180) / Math.PI;
      expect(off(aftDeg, seen(50))).toBeLessThan(1.5);
    }
  });

  test("words: wind by where it comes from, current by where it sets", () => {
    const plan = { wind: { fromDeg: 225, meanKn: 15 }, current: { setDeg: 100, driftKn: 0.6 } };
    const { labels } = viewOf(drawnState({ plan }), 45);
    expect(labels.find(({ id }) => id === "wind")?.texts[0]).toBe("wind 15 kn, SW");
    expect(labels.find(({ id }) => id === "current")?.texts[0]).toBe("current 0.6 kn, sets E");
  });

  test("a bearing out and back", () => {
    for (const bearing of [0, 45, 123, 180, 271, 359])
      expect(off(bearingOf(pointAt(bearing, 30)), bearing)).toBeLessThan(1e-6);
  });
});

describe("the ground under the screen", () => {
  const frame: Frame = { axisDeg: 217, pxPerM: 3.1, originX: 40, originY: 260 };

  test("out and back", () => {
    for (const bearing of [0, 77, 200, 311]) {
      const there = pointAt(bearing, 64);
      const { northM, eastM } = groundOf(spotOf(there, frame), frame);
      expect(northM).toBeCloseTo(there.northM, 9);
      expect(eastM).toBeCloseTo(there.eastM, 9);
    }
  });

  test("closer, about the boat; wider, about the middle; and the bearings stand", () => {
    const middle = { x: 195, y: 180 };
    const boat = pointAt(40, 45);
    const closer = zoomed(frame, 2.5, middle, boat);
    expect(closer.pxPerM).toBeCloseTo(7.75, 9);
    expect(spotOf(boat, closer).x).toBeCloseTo(195, 9);
    expect(closer.axisDeg).toBe(217);
    const wider = zoomed(frame, 0.4, middle, boat);
    expect(groundOf(middle, wider).northM).toBeCloseTo(groundOf(middle, frame).northM, 9);
    expect(zoomed(frame, 1, middle, boat)).toBe(frame);
  });

  test("the grid: crosses where whole steps meet, named in degrees and minutes", () => {
    const places = { frame, widthPx: 390, heightPx: 340, track: [], grid: true, taken: [] };
    const state = drawnState({});
    const plan = state.drawing?.plan;
    if (plan == null) throw new Error("no plan");
    const { inks, labels, dots } = gridPiece(plan, places);
    expect(dots.length).toBeGreaterThan(3);
    expect(path(inks, "grid").match(/M/g)).toHaveLength(2 * dots.length);
    // By hand: 54.46803° is 54° 28.0818′; the first whole hundredths round it are 28.08 and 28.09.
    const [first] = labels;
    expect(first?.texts[0]).toMatch(/^54°28\.\d\d?′N 010°22\.\d\d?′E$/);
    const [deg, min] = (/^(\d+)°([\d.]+)′N/.exec(first?.texts[0] ?? "") ?? []).slice(1).map(Number);
    const northM = ((deg ?? 0) + (min ?? 0) / 60 - plan.lat) * 111_320;
    const near = dots.map((dot) => Math.abs(groundOf(dot, frame).northM - northM));
    expect(Math.min(...near)).toBeLessThan(0.01);
  });

  test("wind up: where the wind comes from is up", () => {
    const state = drawnState({ plan: { wind: { fromDeg: 226, meanKn: 13 } } });
    const { drawing } = state;
    if (drawing === null) throw new Error("no drawing");
    const { plan } = layoutOf(state, drawing, "wind-up", { widthPx: 390, heightPx: 470 }, NOTHING_HELD);
    const { x, y } = spotOf(pointAt(226, 50), plan);
    const here = spotOf({ northM: 0, eastM: 0 }, plan);
    expect(x).toBeCloseTo(here.x, 6);
    expect(y).toBeLessThan(here.y);
  });
});

describe("no jumping", () => {
  test("the axis holds while she swings, and turns when she lies elsewhere", () => {
    expect(steppedAxis(50, undefined)).toBe(50);
    expect(steppedAxis(85, 50)).toBe(50);
    expect(steppedAxis(350, 20)).toBe(20);
    expect(steppedAxis(95, 50)).toBe(95);
  });

  test("the scale holds while all fits, shrinks when it does not, grows when it is much too small", () => {
    const first = steppedScale(5, undefined);
    expect(first).toBeLessThan(5);
    expect(steppedScale(4.8, first)).toBe(first);
    expect(steppedScale(6, first)).toBe(first);
    expect(steppedScale(4, first)).toBeLessThan(4);
    expect(steppedScale(10, first)).toBeGreaterThan(first);
  });

  test("elevation and plan stand at one scale and one left", () => {
    const state = drawnState({});
    const { drawing } = state;
    if (drawing === null) throw new Error("no drawing");
    const { side, plan } = layoutOf(state, drawing, "lying", { widthPx: 390, heightPx: 470 }, NOTHING_HELD);
    expect(plan.pxPerM).toBe(side.pxPerM);
    expect(plan.originX).toBe(side.originX);
    // Anchor, boat and the edge of the circle are all within.
    const radiusM = drawing.plan?.circleM ?? 0;
    expect(plan.originX + radiusM * plan.pxPerM).toBeLessThanOrEqual(390);
  });
});
