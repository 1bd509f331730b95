/** What a stream pulls on the hull, and wind and stream together. */
import { directionOf, lengthOf, toRad, type Vector, vectorOf, wrap360 } from "../units/angle.ts";
import type { Boat } from "./boat.ts";
import { DEFAULT_LOAD_FACTORS, equivalentWindMps, type LoadFactors, windLoadN } from "./wind-load.ts";

const SEA_WATER_KG_M3 = 1025;

/**
 * Along the keel, on beam × draught. A judgement: skin friction of 0.004 on the wetted hull and a stopped
 * propeller come to about this on a 9 m boat. Small beside what the stream does across the hull.
 */
const ALONG = 0.15;

/** ½ρCAV² in sea water, newtons. */
export function currentForceN(speedMps: number, areaM2: number, coefficient: number): number {
  return 0.5 * SEA_WATER_KG_M3 * coefficient * areaM2 * speedMps * speedMps;
}

/**
 * Coefficient across the hull, on length × draught: it grows as the keel nears the bottom. UFC 4-159-03 eq. (11),
 * C₀ + (3.2 − C₀)·(draught/depth)², C₀ = 0.851 fitted to its worked table 4-6. Deep water where depth is unknown.
 */
export function acrossCoefficient(draughtM: number, depthM: number | undefined): number {
  const deep = 0.851;
  const share = depthM === undefined || depthM <= 0 ? 0 : Math.min(1, draughtM / depthM);
  return deep + (3.2 - deep) * share ** 2;
}

export interface Stream {
  speedMps: number;
  /** Where it sets to, degrees true. */
  towardDeg: number;
}

export interface BlowingWind {
  speedMps: number;
  fromDeg: number | undefined;
}

/** How the boat lies in it. */
export interface Lie {
  headingDeg: number | undefined;
  depthM: number | undefined;
}

/**
 * Force of the stream on the hull as a vector, N north and east: along and across the keel taken apart, each by
 * the square of its own share of the speed. With the heading unknown she is taken to lie head to the stream,
 * which gives the least. Undefined without length, beam and draught.
 */
export function currentLoad(boat: Boat, stream: Stream, lie: Lie): Vector | undefined {
  const { lengthM, beamM, draughtM } = boat;
  if (lengthM === undefined || beamM === undefined || draughtM === undefined) return undefined;
  const headingDeg = lie.headingDeg ?? stream.towardDeg + 180;
  const angle = toRad(stream.towardDeg - headingDeg);
  const aheadMps = stream.speedMps * Math.cos(angle);
  const starboardMps = stream.speedMps * Math.sin(angle);
  const aheadN = Math.sign(aheadMps) * currentForceN(aheadMps, beamM * draughtM, ALONG);
  const across = acrossCoefficient(draughtM, lie.depthM);
  const starboardN = Math.sign(starboardMps) * currentForceN(starboardMps, lengthM * draughtM, across);
  const ahead = vectorOf(aheadN, headingDeg);
  const starboard = vectorOf(starboardN, headingDeg + 90);
  return { north: ahead.north + starboard.north, east: ahead.east + starboard.east };
}

export interface CombinedLoad {
  loadN: number;
  /** Where the boat is pulled to, degrees true; undefined when the wind's direction is, or nothing pulls. */
  towardDeg: number | undefined;
  equivalentWindMps: number;
}

/**
 * Wind (lower estimate, N) and stream added as vectors. An unknown stream, or a hull too little known to feel
 * it, adds nothing; a wind of unknown direction is added to the stream outright, which is the cautious sum.
 * Undefined without wind or without anything of the boat's size.
 */
export function combinedLoad(
  boat: Boat,
  wind: BlowingWind | undefined,
  stream: Stream | undefined,
  lie: Lie,
  factors: LoadFactors = DEFAULT_LOAD_FACTORS,
): CombinedLoad | undefined {
  const windN = wind && windLoadN(boat, wind.speedMps, factors);
  if (wind === undefined || windN === undefined) return undefined;
  const set = (stream && currentLoad(boat, stream, lie)) ?? { north: 0, east: 0 };
  const sum = added(windN, wind.fromDeg, set);
  const equivalent = equivalentWindMps(boat, sum.loadN, factors);
  return equivalent === undefined ? undefined : { ...sum, equivalentWindMps: equivalent };
}

function added(
  windN: number,
  fromDeg: number | undefined,
  set: Vector,
): Omit<CombinedLoad, "equivalentWindMps"> {
  if (fromDeg === undefined) return { loadN: windN + lengthOf(set), towardDeg: undefined };
  const blown = vectorOf(windN, wrap360(fromDeg + 180));
  const sum = { north: blown.north + set.north, east: blown.east + set.east };
  return { loadN: lengthOf(sum), towardDeg: directionOf(sum) };
}
