/** Metres on the ground → pixels: which way the plan is turned, and at what scale. Pure. */
import type { PlanPoint } from "../boat-state.ts";

/** Pixels, y downwards. */
export interface Spot {
  x: number;
  y: number;
}

export interface Frame {
  /** The true direction that points to the right on the screen. */
  axisDeg: number;
  pxPerM: number;
  /** Where the origin of the offsets stands. */
  originX: number;
  originY: number;
}

/** A point on the ground. A bearing clockwise from the axis is clockwise on the screen. */
export function spotOf({ northM, eastM }: PlanPoint, frame: Frame): Spot {
  const { alongM, acrossM } = turned({ northM, eastM }, frame.axisDeg);
  return { x: frame.originX + alongM * frame.pxPerM, y: frame.originY + acrossM * frame.pxPerM };
}

/** The same point as seen along the axis: ahead of it, and to its right. */
export function turned({ northM, eastM }: PlanPoint, axisDeg: number): { alongM: number; acrossM: number } {
  const axis = (axisDeg * Math.PI) / 180;
  return {
    alongM: northM * Math.cos(axis) + eastM * Math.sin(axis),
    acrossM: -northM * Math.sin(axis) + eastM * Math.cos(axis),
  };
}

/** What lies on the ground under a spot of the screen. */
export function groundOf({ x, y }: Spot, { axisDeg, pxPerM, originX, originY }: Frame): PlanPoint {
  const axis = (axisDeg * Math.PI) / 180;
  const alongM = (x - originX) / pxPerM;
  const acrossM = (y - originY) / pxPerM;
  return {
    northM: alongM * Math.cos(axis) - acrossM * Math.sin(axis),
    eastM: alongM * Math.sin(axis) + acrossM * Math.cos(axis),
  };
}

/** Closer or wider: closer, about what is looked at; wider, about the middle of what was seen. */
export function zoomed(frame: Frame, zoom: number, middle: Spot, lookedAt: PlanPoint): Frame {
  if (zoom === 1) return frame;
  const about = zoom > 1 ? lookedAt : groundOf(middle, frame);
  const bare = { ...frame, pxPerM: frame.pxPerM * zoom, originX: 0, originY: 0 };
  const { x, y } = spotOf(about, bare);
  return { ...bare, originX: middle.x - x, originY: middle.y - y };
}

/** A true direction as a turn on the screen, degrees clockwise from pointing right. */
export function screenDeg(trueDeg: number, axisDeg: number): number {
  return (((trueDeg - axisDeg) % 360) + 360) % 360;
}

export function bearingOf({ northM, eastM }: PlanPoint): number {
  return ((Math.atan2(eastM, northM) * 180) / Math.PI + 360) % 360;
}

export function pointAt(bearingDeg: number, distanceM: number): PlanPoint {
  const bearing = (bearingDeg * Math.PI) / 180;
  return { northM: distanceM * Math.cos(bearing), eastM: distanceM * Math.sin(bearing) };
}

export function plus(a: PlanPoint, b: PlanPoint): PlanPoint {
  return { northM: a.northM + b.northM, eastM: a.eastM + b.eastM };
}

const TURN_AFTER_DEG = 40;

/** The plan is not turned with every swing: only when she lies well off the axis. */
export function steppedAxis(wantedDeg: number, heldDeg: number | undefined): number {
  if (heldDeg === undefined) return wantedDeg;
  const off = Math.abs(((((wantedDeg - heldDeg) % 360) + 540) % 360) - 180);
  return off > TURN_AFTER_DEG ? wantedDeg : heldDeg;
}

const ROOM = 0.94;
const TOO_SMALL = 0.72;

/** Nor is it scaled with every metre: while all fits, and is not much too small, the scale stays. */
export function steppedScale(fitting: number, held: number | undefined): number {
  if (held !== undefined && held <= fitting && held >= fitting * TOO_SMALL) return held;
  return fitting * ROOM;
}
