/**
 * The last two minutes of the boat: where the roller was each second, and what can be read from it. In: pictures;
 * out: velocities and ranges with their uncertainty.
 */
import type { Picture } from "../instruments/picture.ts";
import { saysStill } from "../instruments/standing.ts";
import type { Boat } from "../tackle/boat.ts";
import { toRad, turnDeg, type Vector, vectorOf } from "../units/angle.ts";
import { moved, offsetM, type Position } from "../units/position.ts";
import { SECOND_MS } from "../units/time.ts";

export interface TrackPoint {
  atMs: number;
  antenna: Position;
  headingDeg: number | undefined;
  /** Velocity over the ground as the receiver tells it; undefined: none, or too slow for a course. */
  velocity: Vector | undefined;
}

const KEPT_MS = 120 * SECOND_MS;

/** Adds this second's point where there is a fix of this second. The given track is changed. */
export function keepTrack(track: TrackPoint[], picture: Picture): void {
  const { atMs, position, headingDeg, motion } = picture;
  while (track[0] !== undefined && atMs - track[0].atMs > KEPT_MS) track.shift();
  if (position === undefined || position.atMs !== atMs) return;
  const { latDeg, lonDeg } = position.value;
  track.push({
    atMs,
    antenna: { latDeg, lonDeg },
    headingDeg: headingDeg?.value,
    velocity: velocityOf(motion?.value),
  });
}

function velocityOf(motion: { sogMps: number; cogDeg: number | undefined } | undefined): Vector | undefined {
  if (motion === undefined) return undefined;
  if (motion.cogDeg !== undefined) return vectorOf(motion.sogMps, motion.cogDeg);
  return saysStill(motion) ? { north: 0, east: 0 } : undefined;
}

/** The roller: the antenna moved forward by the offset. Without a heading, or an offset, the antenna itself. */
export function rollerOf(antenna: Position, headingDeg: number | undefined, boat: Boat): Position {
  if (headingDeg === undefined || boat.rollerToAntennaM === undefined) return antenna;
  return moved(antenna, vectorOf(boat.rollerToAntennaM, headingDeg));
}

export interface Trend {
  /** Slope of a straight line by least squares, per second, and the value it ends on. */
  perS: number;
  last: number;
  overS: number;
  count: number;
}

/** Straight line through samples by least squares (textbook); undefined for fewer than five or no time. */
export function trendOf(samples: readonly { atMs: number; value: number }[]): Trend | undefined {
  const first = samples[0];
  const final = samples[samples.length - 1];
  if (first === undefined || final === undefined || samples.length < 5) return undefined;
  let sumT = 0;
  let sumV = 0;
  for (const { atMs, value } of samples) {
    sumT += (atMs - first.atMs) / SECOND_MS;
    sumV += value;
  }
  const meanT = sumT / samples.length;
  const meanV = sumV / samples.length;
  let tt = 0;
  let tv = 0;
  for (const { atMs, value } of samples) {
    const t = (atMs - first.atMs) / SECOND_MS - meanT;
    tt += t * t;
    tv += t * (value - meanV);
  }
  if (tt <= 0) return undefined;
  const perS = tv / tt;
  const overS = (final.atMs - first.atMs) / SECOND_MS;
  return { perS, last: meanV + perS * (overS - meanT), overS, count: samples.length };
}

/** Distance from the roller to a place, for each point since. Without headings: from the antenna. */
export function rollerRanges(
  track: readonly TrackPoint[],
  place: Position,
  boat: Boat,
  sinceMs: number,
): { atMs: number; value: number }[] {
  const aM = boat.rollerToAntennaM ?? 0;
  const ranges: { atMs: number; value: number }[] = [];
  for (const { atMs, antenna, headingDeg } of track) {
    if (atMs < sinceMs) continue;
    const at = offsetM(place, antenna);
    const rad = toRad(headingDeg ?? 0);
    const forwardM = headingDeg === undefined ? 0 : aM;
    const north = at.north + forwardM * Math.cos(rad);
    const east = at.east + forwardM * Math.sin(rad);
    ranges.push({ atMs, value: Math.hypot(north, east) });
  }
  return ranges;
}

/** Speed away from a place by the receiver's own velocity, mean over the points since; undefined without. */
export function outwardMps(
  track: readonly TrackPoint[],
  place: Position,
  sinceMs: number,
): number | undefined {
  let sum = 0;
  let count = 0;
  let all = 0;
  for (const { atMs, antenna, velocity } of track) {
    if (atMs < sinceMs) continue;
    all++;
    if (velocity === undefined) continue;
    const at = offsetM(place, antenna);
    const rangeM = Math.hypot(at.north, at.east);
    if (rangeM < 1) continue;
    sum += (velocity.north * at.north + velocity.east * at.east) / rangeM;
    count++;
  }
  return count < 5 || count * 2 < all ? undefined : sum / count;
}

/** Mean of how far the bow points off a direction, degrees, ± with side; undefined without headings. */
export function bowOffDeg(
  track: readonly TrackPoint[],
  towardsDeg: number,
  sinceMs: number,
): number | undefined {
  let sum = 0;
  let count = 0;
  for (const { atMs, headingDeg } of track) {
    if (atMs < sinceMs || headingDeg === undefined) continue;
    sum += turnDeg(headingDeg, towardsDeg);
    count++;
  }
  return count < 5 ? undefined : sum / count;
}
