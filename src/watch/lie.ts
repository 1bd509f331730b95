/**
 * How she will lie. In: wind and stream; out: the two grips on her side, their resultant, and so the heading. What
 * turns a bow is what each does to her side: the yawing moment of wind and of stream each goes as its grip
 * broadside times the sine of the angle to it, so both are in balance along the vector sum of the two.
 */
import type { Boat } from "../tackle/boat.ts";
import { acrossCoefficient, currentForceN } from "../tackle/current-load.ts";
import { windLoadN } from "../tackle/wind-load.ts";
import { directionOf, lengthOf, toDeg, type Vector, vectorOf, wrap360 } from "../units/angle.ts";

export interface Elements {
  wind: { speedMps: number; fromDeg: number };
  /** Over the ground, m/s. */
  current: Vector;
  /** The streams there may be, each by its weight; none: it is known. */
  likely: readonly { stream: Vector; weight: number }[];
}

export interface Lie {
  headingDeg: number;
  uncertaintyDeg: number;
  /** Wind (lower estimate) and stream, broadside on, N. */
  windN: number;
  currentN: number;
  rules: "wind" | "tide";
  /** The stronger over the weaker; undefined when the weaker is nothing. */
  ratio: number | undefined;
}

/** Wind against stream is known no better than this either way: a boat's windage and drag (a judgement). */
const WIND_SHARES = [0.75, 1, 1.33] as const;

/** Undefined when the boat's size is not known, or nothing pulls. */
export function lieIn(boat: Boat, elements: Elements, depthM: number | undefined): Lie | undefined {
  const { wind, current, likely } = elements;
  const windN = windLoadN(boat, wind.speedMps);
  const gripPerSquare = currentGrip(boat, depthM);
  if (windN === undefined || gripPerSquare === undefined) return undefined;
  const pulledBy = (share: number, stream: Vector) =>
    directionOf(pullOf(vectorOf(share * windN, wind.fromDeg + 180), stream, gripPerSquare));
  const streams = likely.length === 0 ? [{ stream: current, weight: 1 }] : likely;
  const mean = { north: 0, east: 0 };
  for (const { stream, weight } of streams) {
    for (const share of WIND_SHARES) {
      const deg = pulledBy(share, stream);
      if (deg === undefined) continue;
      const one = vectorOf(weight / WIND_SHARES.length, deg);
      mean.north += one.north;
      mean.east += one.east;
    }
  }
  const towardDeg = likely.length === 0 ? pulledBy(1, current) : directionOf(mean);
  if (towardDeg === undefined) return undefined;
  const currentN = gripPerSquare * lengthOf(current) ** 2;
  return {
    headingDeg: wrap360(towardDeg + 180),
    // Mardia's circular standard deviation.
    uncertaintyDeg: toDeg(Math.sqrt(-2 * Math.log(Math.min(1, Math.max(lengthOf(mean), 1e-9))))),
    windN,
    currentN,
    rules: windN >= currentN ? "wind" : "tide",
    ratio: ratioOf(windN, currentN),
  };
}

function pullOf(blown: Vector, stream: Vector, gripPerSquare: number): Vector {
  const mps = lengthOf(stream);
  return {
    north: blown.north + gripPerSquare * mps * stream.north,
    east: blown.east + gripPerSquare * mps * stream.east,
  };
}

function ratioOf(a: number, b: number): number | undefined {
  const weaker = Math.min(a, b);
  return weaker < 1 ? undefined : Math.max(a, b) / weaker;
}

/** Broadside force of a stream of 1 m/s, N; undefined without length and draught. */
export function currentGrip({ lengthM, draughtM }: Boat, depthM: number | undefined): number | undefined {
  if (lengthM === undefined || draughtM === undefined) return undefined;
  return currentForceN(1, lengthM * draughtM, acrossCoefficient(draughtM, depthM));
}
