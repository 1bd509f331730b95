/** Under engine: to the place, along a course, stopped, or up the rode to the anchor. */
import { directionOf, lengthOf, type Vector } from "../units/angle.ts";
import { type Boat, steamOn } from "./boat.ts";
import type { Chance } from "./chance.ts";
import { clamp, minus, plus, times } from "./plane.ts";

/** To a place; the last of the way at a speed she can lose in it, and there she lies head to wind. */
export function steamTo(
  boat: Boat,
  place: Vector,
  windFromDeg: number,
  speedMps: number,
  stepS: number,
  chance: Chance,
): void {
  const way = minus(place, boat.at);
  const leftM = lengthOf(way);
  const slowedMps = Math.min(speedMps, Math.sqrt(0.05 * leftM));
  if (leftM < 3) holdStation(boat, way, windFromDeg, stepS, chance);
  else steamOn(boat, directionOf(way) ?? windFromDeg, slowedMps, stepS, chance);
}

/** Stopped over the ground by short touches of the engine; `way` is what is left to the place she keeps. */
export function holdStation(
  boat: Boat,
  way: Vector,
  headingDeg: number,
  stepS: number,
  chance: Chance,
): void {
  steamOn(boat, headingDeg, 0, stepS, chance);
  boat.at = plus(boat.at, times(way, 0.02 * stepS));
}

/** Up to the anchor as the rode comes in, keeping it just slack. `tautM`: what the rode now out would reach. */
export function heaveUp(
  boat: Boat,
  anchor: Vector,
  tautM: number,
  windFromDeg: number,
  stepS: number,
  chance: Chance,
): void {
  const way = minus(anchor, boat.at);
  const leftM = lengthOf(way);
  const speedMps = clamp(0.15 * (leftM - 0.95 * tautM), 0, 1);
  if (leftM < 2) holdStation(boat, way, windFromDeg, stepS, chance);
  else steamOn(boat, directionOf(way) ?? windFromDeg, speedMps, stepS, chance);
}
