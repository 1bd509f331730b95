/** Scale and turn of both drawings: one scale, one left-to-right axis, so that a look down the page reads. Pure. */
import type { BoatState, Drawing, DrawnPlan, PlanPoint } from "../boat-state.ts";
import { bearingOf, type Frame, plus, pointAt, steppedAxis, steppedScale, turned } from "./frame.ts";
import { heightM, lengthOrUsualM } from "./hull.ts";
import { levelsOf, PAD_PX, type SideFrame } from "./side-view.ts";

export type Turn = "lying" | "north-up" | "wind-up";

/** What is kept from one picture to the next, so that nothing jumps. */
export interface Held {
  axisDeg: number | undefined;
  pxPerM: number | undefined;
  planPxPerM: number | undefined;
}

export const NOTHING_HELD: Held = { axisDeg: undefined, pxPerM: undefined, planPxPerM: undefined };

export interface Room {
  widthPx: number;
  /** For both drawings together. */
  heightPx: number;
}

export interface Layout {
  side: SideFrame;
  plan: Frame;
  planHeightPx: number;
  held: Held;
}

const LEAST_WORLD_M = 24;
/** The elevation takes at most this share of the room, so that the plan keeps its own. */
const SIDE_SHARE = 0.46;
const LEAST_PLAN_PX = 120;
/** In next to no room the scale is small, never none. */
const LEAST_ACROSS_PX = 20;

export function layoutOf(state: BoatState, drawing: Drawing, turn: Turn, room: Room, held: Held): Layout {
  const plan = drawing.plan;
  const axisDeg = axisOf(state, plan, turn, held.axisDeg);
  const points = plan === null ? [] : pointsOf(plan, drawing);
  const along = points.map((point) => turned(point, axisDeg));
  const leftM = Math.min(0, ...along.map(({ alongM }) => alongM));
  const isLying = isSharedAxis(state, turn);
  const lengthM = lengthOrUsualM(drawing.boat.lengthM);
  const rightM = Math.max((drawing.side.reachM ?? 0) + lengthM + 1, plan?.circleM ?? 0, 0);
  const widestM = isLying ? Math.max(rightM, ...along.map(({ alongM }) => alongM)) : rightM;
  const worldM = Math.max(LEAST_WORLD_M, widestM - (isLying ? leftM : 0));
  const acrossM = isLying ? Math.max(0, ...along.map(({ acrossM: m }) => Math.abs(m))) : 0;
  const pxPerM = steppedScale(
    Math.min(
      (room.widthPx - 2 * PAD_PX) / worldM,
      deepestScale(drawing, room),
      acrossM === 0
        ? Number.POSITIVE_INFINITY
        : Math.max(LEAST_ACROSS_PX, (room.heightPx * (1 - SIDE_SHARE) - 40) / 2) / acrossM,
    ),
    held.pxPerM,
  );
  const side = { widthPx: room.widthPx, pxPerM, originX: PAD_PX - (isLying ? leftM : 0) * pxPerM };
  const sideHeightPx = levelsOf(drawing, pxPerM).heightPx;
  const planHeightPx = Math.max(LEAST_PLAN_PX, Math.floor(room.heightPx - sideHeightPx));
  if (isLying) {
    const frame = { axisDeg, pxPerM, originX: side.originX, originY: planHeightPx / 2 + 6 };
    return { side, plan: frame, planHeightPx, held: { axisDeg, pxPerM, planPxPerM: undefined } };
  }
  const own = ownFrame(along, plan, axisDeg, { widthPx: room.widthPx, heightPx: planHeightPx }, held);
  return { side, plan: own, planHeightPx, held: { axisDeg, pxPerM, planPxPerM: own.pxPerM } };
}

/** While weighing the plan is bow up; else as she lies from her anchor, unless north up is wished. */
export function isSharedAxis(state: BoatState, turn: Turn): boolean {
  return turn === "lying" && !isBowUp(state);
}

export function isBowUp(state: BoatState): boolean {
  return state.phase === "weighing" && state.headingDeg !== null;
}

function axisOf(state: BoatState, plan: DrawnPlan | null, turn: Turn, heldDeg: number | undefined): number {
  if (state.headingDeg !== null && isBowUp(state)) return state.headingDeg + 90;
  if (turn === "north-up" || plan === null) return 90;
  if (turn === "wind-up") return steppedAxis((plan.wind?.fromDeg ?? (heldDeg ?? 90) - 90) + 90, heldDeg);
  return steppedAxis(liesDeg(plan) ?? heldDeg ?? 90, heldDeg);
}

function liesDeg(plan: DrawnPlan): number | undefined {
  if (plan.anchor === null) return plan.towardDeg ?? undefined;
  const boat = plan.roller ?? plan.antenna;
  return boat === null ? undefined : bearingOf(boat);
}

/** All that must be seen, as offsets from the origin. */
function pointsOf(plan: DrawnPlan, { boat }: Drawing): PlanPoint[] {
  const lengthM = lengthOrUsualM(boat.lengthM);
  const points: PlanPoint[] = [{ northM: 0, eastM: 0 }];
  const { roller, antenna, headingDeg, liesAt, letGo, towardDeg, moved, circleM } = plan;
  if (roller !== null && headingDeg !== null)
    points.push(roller, plus(roller, pointAt(headingDeg + 180, lengthM)));
  else if (antenna !== null) points.push(antenna);
  if (liesAt !== null && towardDeg !== null) points.push(liesAt, plus(liesAt, pointAt(towardDeg, lengthM)));
  if (moved !== null) points.push(moved);
  if (letGo !== null) points.push(letGo);
  const nearM = Math.max(100, 1.5 * (circleM ?? 0));
  for (const mark of plan.keepOffs) if (Math.hypot(mark.northM, mark.eastM) < nearM) points.push(mark);
  return points;
}

/** So that deep water does not push the plan off the page. */
function deepestScale({ side, boat }: Drawing, room: Room): number {
  const tallM = (side.surfaceM ?? 5) + Math.max(side.riseM, heightM(boat.lengthM, side.rollerM ?? 1));
  return Math.max(0.5, (room.heightPx * SIDE_SHARE - 84) / tallM);
}

/** Everything in the middle, at a scale of its own. */
function ownFrame(
  along: readonly { alongM: number; acrossM: number }[],
  plan: DrawnPlan | null,
  axisDeg: number,
  room: Room,
  held: Held,
): Frame {
  const xs = along.map(({ alongM }) => alongM);
  const ys = along.map(({ acrossM }) => acrossM);
  const spanX = Math.max(...xs, 0) - Math.min(...xs, 0);
  const spanY = Math.max(...ys, 0) - Math.min(...ys, 0);
  const edgeM = plan?.circleM ?? 0;
  const fitting = Math.min(
    (room.widthPx - 2 * PAD_PX) / Math.max(LEAST_WORLD_M, spanX, edgeM),
    Math.max(LEAST_ACROSS_PX, room.heightPx - 2 * PAD_PX) / Math.max(LEAST_WORLD_M, spanY, edgeM),
  );
  const pxPerM = steppedScale(fitting, held.planPxPerM);
  const middle = (values: readonly number[]) => (Math.max(...values, 0) + Math.min(...values, 0)) / 2;
  return {
    axisDeg,
    pxPerM,
    originX: room.widthPx / 2 - middle(xs) * pxPerM,
    originY: room.heightPx / 2 - middle(ys) * pxPerM,
  };
}
