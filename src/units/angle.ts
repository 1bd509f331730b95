/** Angles and directions. Degrees everywhere; radians only inside the maths. */

const DEG_PER_RAD = 180 / Math.PI;

export function toRad(deg: number): number {
  return deg / DEG_PER_RAD;
}

export function toDeg(rad: number): number {
  return rad * DEG_PER_RAD;
}

/** Any angle as a direction in [0, 360). */
export function wrap360(deg: number): number {
  const turned = deg % 360;
  const wrapped = turned < 0 ? turned + 360 : turned;
  return wrapped === 360 ? 0 : wrapped;
}

/** Any angle as a turn in (-180, 180]: positive is clockwise, to starboard. */
export function wrap180(deg: number): number {
  const wrapped = wrap360(deg);
  return wrapped > 180 ? wrapped - 360 : wrapped;
}

/** The turn from one direction to another, in (-180, 180]. */
export function turnDeg(fromDeg: number, toDirectionDeg: number): number {
  return wrap180(toDirectionDeg - fromDeg);
}

/** Running mean of directions that lie close together: the mean of n − 1 of them, and the n-th. */
export function meanWithNext(meanDeg: number, nextDeg: number, n: number): number {
  return wrap360(meanDeg + turnDeg(meanDeg, nextDeg) / n);
}

/** A vector on the ground or in the boat's frame: north (or ahead) and east (or to starboard). */
export interface Vector {
  north: number;
  east: number;
}

export function vectorOf(length: number, directionDeg: number): Vector {
  const rad = toRad(directionDeg);
  return { north: length * Math.cos(rad), east: length * Math.sin(rad) };
}

export function lengthOf(vector: Vector): number {
  return Math.hypot(vector.north, vector.east);
}

/** Direction of a vector; undefined for (nearly) no vector, where none exists. */
export function directionOf(vector: Vector): number | undefined {
  if (lengthOf(vector) < 1e-9) return undefined;
  return wrap360(toDeg(Math.atan2(vector.east, vector.north)));
}

export interface CircularMean {
  meanDeg: number | undefined;
  /** Mean resultant length, 0 (all round) to 1 (all alike). */
  resultant: number;
  /** Yamartino's standard deviation, degrees. */
  spreadDeg: number;
}

/**
 * Mean direction and its spread. Formulas: mean = atan2(Σ sin, Σ cos); spread by Yamartino (1984),
 * σ = asin(ε)·(1 + (2/√3 − 1)·ε³) with ε = √(1 − R²). Opposite directions have no mean: undefined.
 */
export function circularMean(directionsDeg: readonly number[]): CircularMean {
  let north = 0;
  let east = 0;
  for (const deg of directionsDeg) {
    north += Math.cos(toRad(deg));
    east += Math.sin(toRad(deg));
  }
  const resultant =
    directionsDeg.length === 0 ? 0 : Math.min(1, Math.hypot(north, east) / directionsDeg.length);
  const epsilon = Math.sqrt(1 - resultant * resultant);
  return {
    meanDeg: resultant < 1e-9 ? undefined : wrap360(toDeg(Math.atan2(east, north))),
    resultant,
    spreadDeg: toDeg(Math.asin(epsilon) * (1 + (2 / Math.sqrt(3) - 1) * epsilon ** 3)),
  };
}
