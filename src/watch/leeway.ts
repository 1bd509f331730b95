/** What the wind alone drives her at, out of gear. In: boat, wind, heading; out: velocity through the water. */
import type { Boat } from "../tackle/boat.ts";
import { currentLoad } from "../tackle/current-load.ts";
import { DEFAULT_LOAD_FACTORS, windLoadN } from "../tackle/wind-load.ts";
import { lengthOf, toRad, turnDeg, type Vector, vectorOf } from "../units/angle.ts";

export interface Leeway {
  velocity: Vector;
  sdMps: number;
}

/** One sigma, as a share of each part: loads under water are known within half or double, speed is their root. */
const ALONG_SD = 0.35;
const ACROSS_SD = 0.2;
/** With no heading she is taken to lie beam to the wind. */
const BEAM_DEG = 90;
/** The water that goes with her (practice: a tenth to a fifth). */
const ADDED_MASS = 1.15;

export interface Adrift {
  headingDeg: number | undefined;
  depthM: number | undefined;
  /** While she gathers way part of the push goes into that: m/s², and her mass where it is known. */
  gathering: Vector;
  massKg: number | undefined;
}

/**
 * The speed, along the keel and across it, at which the water resists as hard as the wind pushes beyond what goes
 * into gathering way: each part of the load grows with the square of its own speed, so each is a square root. The
 * wind's part along is taken without the sheering allowance. Undefined when too little is known of the boat.
 */
export function leewayOf(
  boat: Boat,
  wind: { speedMps: number; fromDeg: number },
  { headingDeg, depthM, gathering, massKg }: Adrift,
): Leeway | undefined {
  const heading = headingDeg ?? wind.fromDeg + BEAM_DEG;
  const acrossN = windLoadN(boat, wind.speedMps);
  const alongN = windLoadN(boat, wind.speedMps, { ...DEFAULT_LOAD_FACTORS, sheering: 1 });
  const perAhead = resistance(boat, heading, heading, depthM);
  const perStarboard = resistance(boat, heading + 90, heading, depthM);
  if (acrossN === undefined || alongN === undefined) return undefined;
  if (perAhead === undefined || perStarboard === undefined) return undefined;
  const towards = toRad(turnDeg(heading, wind.fromDeg + 180));
  const rad = toRad(heading);
  const heldKg = (massKg ?? 0) * ADDED_MASS;
  const aheadN =
    alongN * Math.cos(towards) - heldKg * (gathering.north * Math.cos(rad) + gathering.east * Math.sin(rad));
  const starboardN =
    acrossN * Math.sin(towards) - heldKg * (gathering.east * Math.cos(rad) - gathering.north * Math.sin(rad));
  const ahead = rootOf(aheadN, perAhead);
  const starboard = rootOf(starboardN, perStarboard);
  const along = vectorOf(ahead, heading);
  const across = vectorOf(starboard, heading + 90);
  return {
    velocity: { north: along.north + across.north, east: along.east + across.east },
    sdMps: Math.hypot(ALONG_SD * ahead, ACROSS_SD * starboard) / Math.SQRT2,
  };
}

/** Newtons for each (m/s)² of water flowing that way past the hull. */
function resistance(boat: Boat, towardDeg: number, headingDeg: number, depthM: number | undefined) {
  const force = currentLoad(boat, { speedMps: 1, towardDeg }, { headingDeg, depthM });
  return force === undefined ? undefined : lengthOf(force);
}

function rootOf(forceN: number, perSquare: number): number {
  return perSquare <= 0 ? 0 : Math.sign(forceN) * Math.sqrt(Math.abs(forceN) / perSquare);
}
