/**
 * Wind: apparent, over the ground, its 10-minute mean and 3-second gust. In: readings and the boat's motion;
 * out: speeds in m/s and directions it blows from, degrees true.
 *
 * Mean over 10 minutes: WMO-No. 8 part I ch. 5. Gust as the largest 3-second mean: WMO-No. 306.
 */
import {
  directionOf,
  lengthOf,
  meanWithNext,
  toDeg,
  toRad,
  type Vector,
  vectorOf,
  wrap360,
} from "../units/angle.ts";
import { fromKn } from "../units/speed.ts";

export interface BowWind {
  /** Where it comes from, clockwise from the bow. */
  angleDeg: number;
  speedMps: number;
}

export interface GroundWind {
  speedMps: number;
  /** Undefined when there is no heading to turn the bow angle into a direction. */
  fromDeg: number | undefined;
}

/** Winds of one second together: their mean. */
export function bowWindTogether(mean: BowWind, next: BowWind, n: number): BowWind {
  return {
    speedMps: mean.speedMps + (next.speedMps - mean.speedMps) / n,
    angleDeg: meanWithNext(mean.angleDeg, next.angleDeg, n),
  };
}

export interface Motion {
  sogMps: number;
  cogDeg: number | undefined;
}

/** Slower than this the receiver's own noise would be added to the wind (common practice). */
const SLOWEST_MPS = fromKn(0.3);

/**
 * Wind relative to the water and the bow from apparent wind and speed through the water:
 * x = AWS·sin AWA, y = AWS·cos AWA − STW.
 */
export function waterWind(apparent: BowWind, waterSpeedMps: number): BowWind {
  const rad = toRad(apparent.angleDeg);
  const x = apparent.speedMps * Math.sin(rad);
  const y = apparent.speedMps * Math.cos(rad) - waterSpeedMps;
  return { speedMps: Math.hypot(x, y), angleDeg: wrap360(toDeg(Math.atan2(x, y))) };
}

function velocityOf(motion: Motion | undefined): Vector {
  if (motion?.cogDeg === undefined || motion.sogMps < SLOWEST_MPS) return { north: 0, east: 0 };
  return vectorOf(motion.sogMps, motion.cogDeg);
}

/** Wind over the ground: the apparent wind vector with the boat's own velocity taken out. */
export function groundWind(
  apparent: BowWind,
  headingDeg: number | undefined,
  motion: Motion | undefined,
): GroundWind {
  if (headingDeg === undefined) {
    const ahead = motion !== undefined && motion.sogMps >= SLOWEST_MPS ? motion.sogMps : 0;
    return { speedMps: waterWind(apparent, ahead).speedMps, fromDeg: undefined };
  }
  const from = vectorOf(apparent.speedMps, headingDeg + apparent.angleDeg);
  const own = velocityOf(motion);
  const wind = { north: from.north - own.north, east: from.east - own.east };
  return { speedMps: lengthOf(wind), fromDeg: directionOf(wind) };
}

/** The other way round: what the masthead would show. */
export function apparentFrom(
  wind: GroundWind,
  headingDeg: number,
  motion: Motion | undefined,
): BowWind | undefined {
  if (wind.fromDeg === undefined) return undefined;
  const from = vectorOf(wind.speedMps, wind.fromDeg);
  const own = velocityOf(motion);
  const felt = { north: from.north + own.north, east: from.east + own.east };
  return { speedMps: lengthOf(felt), angleDeg: wrap360((directionOf(felt) ?? headingDeg) - headingDeg) };
}

interface Bin {
  startMs: number;
  count: number;
  speedSum: number;
  north: number;
  east: number;
  directed: number;
  gustMps: number;
}

export interface WindHistory {
  /** The last few readings, for the gust. */
  recent: { atMs: number; speedMps: number }[];
  bins: Bin[];
}

export interface WindMean {
  speedMps: number;
  fromDeg: number | undefined;
  /** Largest 3-second mean in the time. */
  gustMps: number;
  overS: number;
}

export const NO_WIND: WindHistory = { recent: [], bins: [] };

const BIN_MS = 10_000;
const MEAN_MS = 600_000;
/** A reading stands until the next one, at most so long: mastheads are heard every 1 to 3 s. */
const STANDS_MS = 10_000;
const GUST_S = 3;
const LEAST_MEAN_S = 60;

/** Takes in the wind of one second. */
export function recordWind(history: WindHistory, wind: GroundWind, atMs: number): WindHistory {
  const recent = [
    ...history.recent.filter((s) => atMs - s.atMs <= STANDS_MS),
    { atMs, speedMps: wind.speedMps },
  ];
  const startMs = Math.floor(atMs / BIN_MS) * BIN_MS;
  const last = history.bins[history.bins.length - 1];
  const open = last?.startMs === startMs ? last : undefined;
  const toward = wind.fromDeg === undefined ? undefined : vectorOf(wind.speedMps, wind.fromDeg);
  const bin: Bin = {
    startMs,
    count: (open?.count ?? 0) + 1,
    speedSum: (open?.speedSum ?? 0) + wind.speedMps,
    north: (open?.north ?? 0) + (toward?.north ?? 0),
    east: (open?.east ?? 0) + (toward?.east ?? 0),
    directed: (open?.directed ?? 0) + (toward === undefined ? 0 : 1),
    gustMps: Math.max(open?.gustMps ?? 0, threeSecondMean(recent, atMs) ?? 0),
  };
  const kept = open === undefined ? history.bins : history.bins.slice(0, -1);
  const from = kept.findIndex((b) => startMs - b.startMs < MEAN_MS);
  return { recent, bins: [...(from < 0 ? [] : kept.slice(from)), bin] };
}

/** Mean of the wind as it stood in each of the last three seconds; undefined where it was not known in all. */
function threeSecondMean(recent: WindHistory["recent"], atMs: number): number | undefined {
  let sum = 0;
  for (let back = 0; back < GUST_S; back++) {
    const then = atMs - back * 1000;
    const standing = recent.findLast((s) => s.atMs <= then && then - s.atMs <= STANDS_MS);
    if (standing === undefined) return undefined;
    sum += standing.speedMps;
  }
  return sum / GUST_S;
}

/** Mean and gust over the last 10 minutes, once there is a minute of wind in them. */
export function meanWind(history: WindHistory, atMs: number): WindMean | undefined {
  let overS = 0;
  let speedSum = 0;
  let gustMps = 0;
  let directed = 0;
  const sum = { north: 0, east: 0 };
  for (const bin of history.bins) {
    if (atMs - bin.startMs > MEAN_MS) continue;
    overS += bin.count;
    speedSum += bin.speedSum;
    sum.north += bin.north;
    sum.east += bin.east;
    directed += bin.directed;
    gustMps = Math.max(gustMps, bin.gustMps);
  }
  if (overS < LEAST_MEAN_S) return undefined;
  const fromDeg = directed * 2 < overS ? undefined : directionOf(sum);
  const speedMps = speedSum / overS;
  return { speedMps, fromDeg, gustMps: Math.max(gustMps, speedMps), overS };
}

/**
 * A wind beyond is a fault of the sensor or a slip of the person, and one alone would stay the hardest gust of the
 * stay. The highest gust ever measured was 113 m/s (WMO, Barrow Island 1996; from memory): at 100 there is no anchor
 * left to be watched.
 */
export const STRONGEST_MPS = 100;
