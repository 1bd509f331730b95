/** Vectors in the plane of the anchorage (metres, m/s or newtons; north and east), and values over time. */
import type { Vector } from "../units/angle.ts";

export function plus(a: Vector, b: Vector): Vector {
  return { north: a.north + b.north, east: a.east + b.east };
}

export function minus(a: Vector, b: Vector): Vector {
  return { north: a.north - b.north, east: a.east - b.east };
}

export function times(a: Vector, factor: number): Vector {
  return { north: a.north * factor, east: a.east * factor };
}

export function dot(a: Vector, b: Vector): number {
  return a.north * b.north + a.east * b.east;
}

export function clamp(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}

/** A value over time as [seconds into the scene, value] corners in order, straight in between. */
export type Profile = readonly (readonly [atS: number, value: number])[];

/** The profile's value; before the first corner and after the last, that corner's. NaN without corners. */
export function profileAt(profile: Profile, atS: number): number {
  let before = profile[0];
  if (before === undefined) return Number.NaN;
  for (const corner of profile) {
    if (corner[0] > atS) {
      const span = corner[0] - before[0];
      return span <= 0 ? corner[1] : before[1] + ((corner[1] - before[1]) * (atS - before[0])) / span;
    }
    before = corner;
  }
  return before[1];
}
