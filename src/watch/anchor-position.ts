/**
 * Where the anchor lies: marked at the roller, not at the antenna. In: the fix, the heading and the offsets;
 * out: a position with its uncertainty.
 */
import type { Picture } from "../instruments/picture.ts";
import type { Boat } from "../tackle/boat.ts";
import { reachBoundM } from "../tackle/swing.ts";
import { directionOf, lengthOf, toDeg, toRad, type Vector, vectorOf } from "../units/angle.ts";
import { bearingDeg, distanceM, moved, offsetM, type Position } from "../units/position.ts";
import { MINUTE_MS } from "../units/time.ts";
import type { Anchor } from "./state.ts";

/** Wander of a receiver that is not known yet, one sigma (detection practice). */
export const FIX_M = 2.5;
const HEADING_DEG = 5;

export interface Placed {
  position: Position;
  uncertaintyM: number;
  /** The place is the receiver's fix, with the wander of an unknown one in its uncertainty; false: told, reckoned. */
  byFix: boolean;
}

/**
 * The roller: the antenna's fix moved forward by the offset. Without a heading forward is where she last went
 * ahead, and that is less sure. Undefined without a fix.
 */
export function rollerPosition(
  picture: Picture,
  boat: Boat,
  lastCourse: { deg: number; atMs: number } | undefined,
): Placed | undefined {
  if (picture.position === undefined) return undefined;
  const fix = picture.position.value;
  const offsetM = boat.rollerToAntennaM;
  if (offsetM === undefined) return { position: fix, uncertaintyM: FIX_M + UNKNOWN_OFFSET_M, byFix: true };
  const headingDeg = picture.headingDeg?.value;
  if (headingDeg !== undefined) return ahead(fix, offsetM, headingDeg, HEADING_DEG);
  const isFresh = lastCourse !== undefined && picture.atMs - lastCourse.atMs <= COURSE_STANDS_MS;
  if (isFresh) return ahead(fix, offsetM, lastCourse.deg, COURSE_DEG);
  return { position: fix, uncertaintyM: Math.hypot(FIX_M, offsetM), byFix: true };
}

/** Lies so after coming up under engine (a judgement): within 30 degrees of her last course, for two minutes. */
const COURSE_DEG = 30;
const COURSE_STANDS_MS = 2 * MINUTE_MS;

function ahead(fix: Position, offsetM: number, deg: number, sureWithinDeg: number): Placed {
  return {
    position: moved(fix, vectorOf(offsetM, deg)),
    uncertaintyM: Math.hypot(FIX_M, offsetM * toRad(sureWithinDeg)),
    byFix: true,
  };
}

/** While it sinks, line and boat drift: this share of the depth, until it is known to lie on the bottom. */
const SINKING_SHARE = 0.3;

/** No boat of this kind anchors deeper, nor is told of a greater rise. */
export const DEEPEST_M = 200;

/** The anchor as it is let go now. */
export function newAnchor(placed: Placed, picture: Picture, isTold: boolean): Anchor {
  const sounded = picture.depth?.value.surfaceM;
  // Deeper than any rode reaches is a false echo, and would stand for the whole stay.
  const depthM = sounded !== undefined && sounded <= DEEPEST_M ? sounded : undefined;
  const sinkingM = isTold ? 0 : SINKING_SHARE * (depthM ?? 0);
  const fix = picture.position?.value;
  const bearingUnknown = !isTold && picture.headingDeg === undefined && fix !== undefined;
  return {
    position: placed.position,
    uncertaintyM: Math.max(placed.uncertaintyM, sinkingM),
    byFix: placed.byFix,
    sinceMs: picture.atMs,
    depthM,
    onBottom: isTold,
    antennaAtLetGo: bearingUnknown ? { latDeg: fix.latDeg, lonDeg: fix.lonDeg } : undefined,
  };
}

/**
 * It has reached the bottom: run out freely it fell where it was let go, lowered it came down under the roller as
 * it is now. Halfway between, and half the way unsure.
 */
export function sunk(letGo: Placed, roller: Placed): Placed {
  const way = offsetM(letGo.position, roller.position);
  const half = { north: way.north / 2, east: way.east / 2 };
  return {
    position: moved(letGo.position, half),
    uncertaintyM: Math.max(roller.uncertaintyM, lengthOf(half)),
    byFix: true,
  };
}

export const FALL_BACK_AFTER_MS = MINUTE_MS;
/** Less fallen back than this gives no bearing. */
const FALL_BACK_M = 8;
const FALL_BACK_DEG = 20;

/**
 * No heading at let go: she lay head to wind, so the bearing in which she then falls back is the one that was
 * missing. In: where the antenna was, the mean of where it has been since one minute after; out: the anchor's
 * place, the offset ahead of it. Undefined until she has fallen back far enough.
 */
export function placedByFallBack(
  antennaAtLetGo: Position,
  fallenBack: Vector,
  boat: Boat,
): Placed | undefined {
  const backM = lengthOf(fallenBack);
  const backDeg = directionOf(fallenBack);
  if (boat.rollerToAntennaM === undefined || backDeg === undefined || backM < FALL_BACK_M) return undefined;
  const fixDeg = toDeg(Math.atan2(FIX_M, backM));
  return ahead(antennaAtLetGo, boat.rollerToAntennaM, backDeg + 180, Math.hypot(FALL_BACK_DEG, fixDeg));
}

/** A small powerboat's antenna is within this of her roller. */
const UNKNOWN_OFFSET_M = 6;

/**
 * After a drag, "she holds again, here": the anchor lies ahead along the bearing to where it was, a rode's reach
 * from the antenna. While she lies within that reach of where it was, nothing says that it has moved, and it stays:
 * a straight rode would put it far beyond its place in light air. Nor does a little beyond, as sure as the place is,
 * unless a drag has been told of (`drags`): a word that only confirms must not move the anchor. Only ever by the
 * operator's word.
 */
export function resurveyed(
  picture: Picture,
  boat: Boat,
  from: Placed,
  rodeM: number,
  heightM: number,
  drags: boolean,
): Placed | undefined {
  if (picture.position === undefined) return undefined;
  const fix = picture.position.value;
  const towards = bearingDeg(fix, from.position);
  if (towards === undefined) return undefined;
  const reachM = reachBoundM(rodeM, 0, heightM) + (boat.rollerToAntennaM ?? 0);
  const beyondM = drags ? 0 : 2 * from.uncertaintyM;
  if (distanceM(fix, from.position) <= reachM + beyondM) return from;
  return {
    position: moved(fix, vectorOf(reachM, towards)),
    uncertaintyM: Math.max(5, from.uncertaintyM),
    byFix: false,
  };
}
