/** A boat at anchor sails to and fro: swings of the heading, each of its own size and length. */
import type { Chance } from "./chance.ts";
import { clamp } from "./plane.ts";

export interface Yaw {
  /** Share of the present half swing gone, its length, and its amplitude with sign. */
  share: number;
  halfS: number;
  amplitudeDeg: number;
}

export function yawOf(periodS: number, amplitudeDeg: number, chance: Chance): Yaw {
  const side = chance.uniform() < 0.5 ? -1 : 1;
  return { share: 0.5, halfS: periodS / 2, amplitudeDeg: side * amplitudeDeg };
}

/** The heading's offset from where the bow would lie, degrees; walks the swing on by one step. */
export function yawOn(
  yaw: Yaw,
  periodS: number,
  amplitudeDeg: number,
  stepS: number,
  chance: Chance,
): number {
  yaw.share += stepS / yaw.halfS;
  if (yaw.share >= 1) {
    yaw.share -= 1;
    yaw.halfS = (periodS / 2) * clamp(1 + 0.2 * chance.normal(), 0.5, 1.6);
    const side = yaw.amplitudeDeg < 0 ? 1 : -1;
    yaw.amplitudeDeg = side * amplitudeDeg * clamp(1 + 0.25 * chance.normal(), 0.3, 1.5);
  }
  return yaw.amplitudeDeg * Math.sin(Math.PI * yaw.share);
}
