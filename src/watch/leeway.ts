/** What the wind alone drives her at, out of gear. In: boat, wind, heading; out: velocity through the water. */
import type { Boat } from "../tackle/boat.ts";
import { currentLoad } from "../tackle/current-load.ts";
import { DEFAULT_LOAD_FACTORS, windLoadN } from "../tackle/wind-load.ts";
import { directionOf, lengthOf, toRad, turnDeg, type Vector, vectorOf } from "../units/angle.ts";

export interface Leeway {
  /** Her heading; beam to the wind where it is not known. */
  axisDeg: number;
  alongMps: number;
  /** To starboard. */
  acrossMps: number;
  /** One sigma. */
  alongSdMps: number;
  acrossSdMps: number;
}

/** One sigma, as a share of each part: loads under water are known within half or double, speed is their root. */
const ALONG_SD = 0.35;
const ACROSS_SD = 0.2;
/** What of the whole of the wind's push may go along her when she lies beam to it: no boat is alike fore and aft. */
const ALONG_PUSH_SD = 0.05;
/** With no heading she may lie so far off beam to the wind: part of what goes across then goes along. */
const UNKNOWN_HEADING_SD = 0.5;
/** With no heading she is taken to lie beam to the wind. */
const BEAM_DEG = 90;
/** The water that goes with her (practice: a tenth to a fifth). */
const ADDED_MASS = 1.15;

export interface Adrift {
  /** Her velocity over the ground, m/s: a boat that goes with the wind feels so much less of it. */
  velocity: Vector;
  headingDeg: number | undefined;
  depthM: number | undefined;
  /** While she gathers way part of the push goes into that: m/s², and her mass where it is known. */
  gathering: Vector;
  gatheringSdMps2: number;
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
  { velocity, headingDeg, depthM, gathering, gatheringSdMps2, massKg }: Adrift,
): Leeway | undefined {
  const axisDeg = headingDeg ?? wind.fromDeg + BEAM_DEG;
  const blown = vectorOf(wind.speedMps, wind.fromDeg + 180);
  const past = { north: blown.north - velocity.north, east: blown.east - velocity.east };
  const pastMps = lengthOf(past);
  const acrossN = windLoadN(boat, pastMps);
  const alongN = windLoadN(boat, pastMps, { ...DEFAULT_LOAD_FACTORS, sheering: 1 });
  const perAhead = resistance(boat, axisDeg, axisDeg, depthM);
  const perStarboard = resistance(boat, axisDeg + 90, axisDeg, depthM);
  if (acrossN === undefined || alongN === undefined) return undefined;
  if (perAhead === undefined || perStarboard === undefined) return undefined;
  const towards = toRad(turnDeg(axisDeg, directionOf(past) ?? axisDeg));
  const rad = toRad(axisDeg);
  const heldKg = (massKg ?? 0) * ADDED_MASS;
  const aheadN =
    alongN * Math.cos(towards) - heldKg * (gathering.north * Math.cos(rad) + gathering.east * Math.sin(rad));
  const starboardN =
    acrossN * Math.sin(towards) - heldKg * (gathering.east * Math.cos(rad) - gathering.north * Math.sin(rad));
  const sdN = (massKg ?? guessedKg(boat)) * ADDED_MASS * gatheringSdMps2;
  const ahead = rootOf(aheadN, Math.hypot(sdN, ALONG_PUSH_SD * acrossN), perAhead);
  const starboard = rootOf(starboardN, sdN, perStarboard);
  const turned = headingDeg === undefined ? UNKNOWN_HEADING_SD * Math.abs(starboard.mps) : 0;
  return {
    axisDeg,
    alongMps: ahead.mps,
    acrossMps: starboard.mps,
    alongSdMps: Math.hypot(ALONG_SD * ahead.mps, ahead.sdMps, turned),
    acrossSdMps: Math.hypot(ACROSS_SD * starboard.mps, starboard.sdMps),
  };
}

/** Of a boat whose displacement is not told, to see how unsure that makes it: a quarter of the box she floats in. */
function guessedKg({ lengthM, beamM, draughtM }: Boat): number {
  return 1025 * 0.25 * (lengthM ?? 0) * (beamM ?? (lengthM ?? 0) / 3) * (draughtM ?? 0);
}

/** Newtons for each (m/s)² of water flowing that way past the hull. */
function resistance(boat: Boat, towardDeg: number, headingDeg: number, depthM: number | undefined) {
  const force = currentLoad(boat, { speedMps: 1, towardDeg }, { headingDeg, depthM });
  return force === undefined ? undefined : lengthOf(force);
}

/** The speed at which the water resists as much, and what an error of the force makes of it. */
function rootOf(forceN: number, sdN: number, perSquare: number): { mps: number; sdMps: number } {
  if (perSquare <= 0) return { mps: 0, sdMps: 0 };
  const at = (newtons: number) => Math.sign(newtons) * Math.sqrt(Math.abs(newtons) / perSquare);
  return { mps: at(forceN), sdMps: (at(forceN + sdN) - at(forceN - sdN)) / 2 };
}
