/**
 * Where the anchor lies: marked at the roller, not at the antenna. In: the fix, the heading and the offsets;
 * out: a position with its uncertainty.
 */
import type { Picture } from "../instruments/picture.ts";
import type { Boat } from "../tackle/boat.ts";
import { reachBoundM } from "../tackle/swing.ts";
import { toDeg, vectorOf } from "../units/angle.ts";
import { bearingDeg, moved, type Position } from "../units/position.ts";

/** Wander of a receiver that is not known yet, one sigma (detection practice). */
const FIX_M = 2.5;
const HEADING_DEG = 5;

export interface Placed {
  position: Position;
  uncertaintyM: number;
}

/** The roller: the antenna's fix moved forward by the offset. Undefined without a fix. */
export function rollerPosition(picture: Picture, boat: Boat): Placed | undefined {
  if (picture.position === undefined) return undefined;
  const fix = picture.position.value;
  const offsetM = boat.rollerToAntennaM;
  const headingDeg = picture.headingDeg?.value;
  if (offsetM === undefined) return { position: fix, uncertaintyM: FIX_M + UNKNOWN_OFFSET_M };
  if (headingDeg === undefined) return { position: fix, uncertaintyM: Math.hypot(FIX_M, offsetM) };
  const alongM = offsetM / toDeg(1);
  return {
    position: moved(fix, vectorOf(offsetM, headingDeg)),
    uncertaintyM: Math.hypot(FIX_M, alongM * HEADING_DEG),
  };
}

/** A small powerboat's antenna is within this of her roller. */
const UNKNOWN_OFFSET_M = 6;

/**
 * After a drag, "she holds again, here": the anchor lies ahead along the bearing to where it was, a rode's reach
 * from the antenna. Only ever by the operator's word.
 */
export function resurveyed(
  picture: Picture,
  boat: Boat,
  from: Placed,
  rodeM: number,
  heightM: number,
): Placed | undefined {
  if (picture.position === undefined) return undefined;
  const fix = picture.position.value;
  const towards = bearingDeg(fix, from.position);
  if (towards === undefined) return undefined;
  const reachM = reachBoundM(rodeM, 0, heightM) + (boat.rollerToAntennaM ?? 0);
  return { position: moved(fix, vectorOf(reachM, towards)), uncertaintyM: Math.max(5, from.uncertaintyM) };
}
