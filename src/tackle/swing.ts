/**
 * The circles a boat may swing in. The bound is geometry: a rode of length L, stretched by the share ε, whose
 * ends are h apart in height, cannot span more than √((L(1+ε))² − h²). At a light load she lies well inside it:
 * the catenary's own reach (`reachM` of `solveCatenary`) is for drawing and for judging, not for alarms.
 */
import { type Line, lineLengthM } from "./rode.ts";

/**
 * Share by which the line is stretched at most when its greatest tension (at the roller) is `tensionN`.
 * 0 for a line of no length.
 */
export function stretchShare({ chain, rope }: Line, tensionN: number): number {
  const lengthM = lineLengthM({ chain, rope });
  if (lengthM === 0) return 0;
  return (tensionN * (chain.lengthM / chain.stiffnessN + rope.lengthM / rope.stiffnessN)) / lengthM;
}

/** Greatest horizontal distance anchor to roller, m. 0 when the rode does not reach the bottom. */
export function reachBoundM(rodeM: number, stretch: number, heightM: number): number {
  const stretchedM = rodeM * (1 + stretch);
  return Math.sqrt(Math.max(0, stretchedM * stretchedM - heightM * heightM));
}

/** Radius that the antenna swings on: the drag circle of the Quartermaster manual, with reach for length. */
export function swingRadiusM(reachM: number, rollerToAntennaM: number): number {
  return reachM + rollerToAntennaM;
}

/** Radius that the stern swings on: nothing may lie inside. Length over all, from the roller aft. */
export function sternRadiusM(reachM: number, boatLengthM: number): number {
  return reachM + boatLengthM;
}

/** The margin of the alarm circle: as set, or 5 % of the rode, the larger (the length out is known no better). */
export function circleMarginM(setM: number, rodeM: number): number {
  return Math.max(setM, 0.05 * rodeM);
}

export interface AntennaCircle {
  rodeM: number;
  /** At the greatest gust load so far: `stretchShare`. */
  stretch: number;
  /** Roller above the seabed at the anchor, as it is now. */
  heightM: number;
  rollerToAntennaM: number;
  marginM: number;
  /** Wander of the receiver. */
  wanderM: number;
}

/** Radius round the anchor that a boat lying to it never takes her antenna out of. */
export function antennaCircleM(circle: AntennaCircle): number {
  const reachM = reachBoundM(circle.rodeM, circle.stretch, circle.heightM);
  return swingRadiusM(reachM, circle.rollerToAntennaM) + circle.marginM + circle.wanderM;
}
