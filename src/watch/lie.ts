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
  /** Over the ground, m/s, with one sigma of each component. */
  current: Vector;
  currentSdMps: number;
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

/** Share of the wind's load in the resultant, one sigma: windage and drag of a boat are known no better. */
const LOAD_SHARE_SD = 0.3;

/** Undefined when the boat's size is not known, or nothing pulls. */
export function lieIn(boat: Boat, elements: Elements, depthM: number | undefined): Lie | undefined {
  const { wind, current, currentSdMps } = elements;
  const windN = windLoadN(boat, wind.speedMps);
  const gripPerSquare = currentGrip(boat, depthM);
  if (windN === undefined || gripPerSquare === undefined) return undefined;
  const blown = vectorOf(windN, wind.fromDeg + 180);
  const currentMps = lengthOf(current);
  const currentN = gripPerSquare * currentMps ** 2;
  const set = {
    north: gripPerSquare * currentMps * current.north,
    east: gripPerSquare * currentMps * current.east,
  };
  const sum = { north: blown.north + set.north, east: blown.east + set.east };
  const towardDeg = directionOf(sum);
  if (towardDeg === undefined) return undefined;
  // An error of the stream by one sigma across, of the loads by their share.
  const streamSdN = gripPerSquare * (2 * currentMps * currentSdMps + currentSdMps ** 2);
  const loadSdN = LOAD_SHARE_SD * Math.min(windN, currentN);
  return {
    headingDeg: wrap360(towardDeg + 180),
    uncertaintyDeg: toDeg(Math.atan2(Math.hypot(streamSdN, loadSdN), Math.max(1, lengthOf(sum)))),
    windN,
    currentN,
    rules: windN >= currentN ? "wind" : "tide",
    ratio: ratioOf(windN, currentN),
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
