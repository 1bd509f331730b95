/**
 * Positions on the WGS84 ellipsoid and the local plane round an anchorage.
 *
 * Plane: north = M·Δφ, east = N·cos φ·Δλ at the mid latitude, M and N the meridian and prime-vertical radii
 * of curvature (textbook ellipsoid geometry; at anchoring distances the error is under a millimetre).
 */
import { directionOf, lengthOf, toRad, type Vector, wrap180 } from "./angle.ts";

const A_M = 6378137;
const F = 1 / 298.257223563;
const E2 = F * (2 - F);

export interface Position {
  latDeg: number;
  lonDeg: number;
}

function radii(latDeg: number): { perLatDegM: number; perLonDegM: number } {
  const sin = Math.sin(toRad(latDeg));
  const w2 = 1 - E2 * sin * sin;
  const primeVerticalM = A_M / Math.sqrt(w2);
  const meridianM = (primeVerticalM * (1 - E2)) / w2;
  return { perLatDegM: toRad(meridianM), perLonDegM: toRad(primeVerticalM * Math.cos(toRad(latDeg))) };
}

/** From one position to another, metres north and east. Good to 0.1 % up to tens of kilometres. */
export function offsetM(from: Position, to: Position): Vector {
  const { perLatDegM, perLonDegM } = radii((from.latDeg + to.latDeg) / 2);
  return {
    north: (to.latDeg - from.latDeg) * perLatDegM,
    east: wrap180(to.lonDeg - from.lonDeg) * perLonDegM,
  };
}

/** The position so many metres north and east of another. */
export function moved(from: Position, by: Vector): Position {
  const roughLatDeg = from.latDeg + by.north / radii(from.latDeg).perLatDegM;
  const { perLatDegM, perLonDegM } = radii((from.latDeg + roughLatDeg) / 2);
  return {
    latDeg: from.latDeg + by.north / perLatDegM,
    lonDeg: wrap180(from.lonDeg + by.east / Math.max(perLonDegM, 1e-6)),
  };
}

export function distanceM(from: Position, to: Position): number {
  return lengthOf(offsetM(from, to));
}

/** True bearing from one position to another; undefined when they are the same. */
export function bearingDeg(from: Position, to: Position): number | undefined {
  return directionOf(offsetM(from, to));
}
