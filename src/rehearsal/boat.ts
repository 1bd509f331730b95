/** The boat from one moment to the next: adrift or lying to her rode by forces, under engine by command. */
import { directionOf, lengthOf, toRad, turnDeg, type Vector, vectorOf, wrap360 } from "../units/angle.ts";
import { type Chance, wander } from "./chance.ts";
import { bowWish, type HullForm, hullForce } from "./hull.ts";
import { clamp, dot, minus, plus, times } from "./plane.ts";
import { pullN, type RodeForm } from "./rode-law.ts";
import { type Yaw, yawOf, yawOn } from "./yaw.ts";

export interface Boat {
  /** The bow roller, metres from the place meant for the anchor. */
  at: Vector;
  velocity: Vector;
  headingDeg: number;
  turnDegPerS: number;
  /** The rode's pull now, newtons. */
  pullN: number;
  yaw: Yaw;
  /** How far a bow that nothing holds has fallen off, degrees, and the helm's error. */
  fallenOffDeg: number;
  helmDeg: number;
}

/** What surrounds her in one step. Velocities in m/s over the ground. */
export interface Surroundings {
  air: Vector;
  stream: Vector;
  /** The rode, when the anchor is on the bottom. */
  rode: { form: RodeForm; lengthM: number; heightM: number; anchor: Vector } | undefined;
  /** Engine astern, newtons. */
  asternN: number;
}

export function boatOf(
  hull: HullForm,
  at: Vector,
  headingDeg: number,
  speedMps: number,
  chance: Chance,
): Boat {
  return {
    at,
    velocity: vectorOf(speedMps, headingDeg),
    headingDeg,
    turnDegPerS: 0,
    pullN: 0,
    yaw: yawOf(hull.yawPeriodS, hull.yawDeg, chance),
    fallenOffDeg: 0,
    helmDeg: 0,
  };
}

/** Rope and water take the swing out of her surging: newtons for each m/s along a taut rode. */
const RODE_DAMPING = 500;
/** The water that moves with her. */
const ADDED_MASS = 1.2;

/** One step without engine ahead: wind, water, rode and perhaps the engine astern. */
export function driftOn(
  boat: Boat,
  hull: HullForm,
  world: Surroundings,
  stepS: number,
  chance: Chance,
): void {
  turnAdrift(boat, hull, world, stepS, chance);
  const onHull = hullForce(hull, world.air, world.stream, boat.velocity, boat.headingDeg);
  const engine = vectorOf(-world.asternN, boat.headingDeg);
  const force = plus(plus(onHull, engine), pullOfRode(boat, world));
  boat.velocity = plus(boat.velocity, times(force, stepS / (hull.massKg * ADDED_MASS)));
  boat.at = plus(boat.at, times(boat.velocity, stepS));
}

function pullOfRode(boat: Boat, world: Surroundings): Vector {
  const { rode } = world;
  boat.pullN = 0;
  if (rode === undefined) return { north: 0, east: 0 };
  const away = minus(boat.at, rode.anchor);
  const distanceM = lengthOf(away);
  if (distanceM < 0.01) return { north: 0, east: 0 };
  const out = times(away, 1 / distanceM);
  boat.pullN = pullN(rode.form, rode.lengthM, rode.heightM, distanceM);
  // Damping only while it pulls, and never as a push.
  const taut = clamp(boat.pullN / 200, 0, 1);
  const dampedN = boat.pullN + taut * RODE_DAMPING * dot(boat.velocity, out);
  return times(out, -Math.max(0, dampedN));
}

function turnAdrift(boat: Boat, hull: HullForm, world: Surroundings, stepS: number, chance: Chance): void {
  const { wish, windN, streamN } = bowWish(hull, world.air, world.stream);
  const strengthN = lengthOf(wish);
  const wishDeg = directionOf(wish) ?? boat.headingDeg;
  // The wind makes her yaw and takes her bow; a stream along the keel steadies her, and lets her sheer a little.
  const windShare = windN / Math.max(1, windN + streamN);
  const sheers = 0.2 * (1 - windShare) * clamp(streamN / 300, 0, 1);
  const lively = windShare * clamp((windN - 30) / 150, 0, 1) + sheers;
  const yawDeg = yawOn(boat.yaw, hull.yawPeriodS, hull.yawDeg * lively, stepS, chance);
  // With no rode to hold her bow up she falls off, to the side she happens to lie on.
  const held = clamp(boat.pullN / Math.max(20, 0.3 * windN), 0, 1);
  boat.fallenOffDeg += ((70 * windShare * (1 - held) - boat.fallenOffDeg) * stepS) / 25;
  const side = turnDeg(wishDeg, boat.headingDeg) < 0 ? -1 : 1;
  const target = wishDeg + (1 - boat.fallenOffDeg / 70) * yawDeg + side * boat.fallenOffDeg;
  const lagS = 10 * (1 + 60 / Math.max(5, strengthN));
  const wishedRate = clamp(turnDeg(boat.headingDeg, wrap360(target)) / lagS, -4, 4);
  turnOn(boat, wishedRate + 0.15 * (1 - clamp(lively, 0, 1)) * chance.normal(), stepS);
}

function turnOn(boat: Boat, wishedDegPerS: number, stepS: number): void {
  boat.turnDegPerS += ((wishedDegPerS - boat.turnDegPerS) * stepS) / 2;
  boat.headingDeg = wrap360(boat.headingDeg + boat.turnDegPerS * stepS);
}

/** One step under engine: she steers `courseDeg` and takes up `speedMps` through the water and over the ground. */
export function steamOn(
  boat: Boat,
  courseDeg: number,
  speedMps: number,
  stepS: number,
  chance: Chance,
): void {
  boat.pullN = 0;
  boat.fallenOffDeg = 0;
  boat.helmDeg = wander(boat.helmDeg, 2, 15, stepS, chance);
  turnOn(boat, clamp(turnDeg(boat.headingDeg, wrap360(courseDeg + boat.helmDeg)) / 4, -8, 8), stepS);
  // No way on along the course before she heads that way.
  const ahead = Math.cos(toRad(turnDeg(boat.headingDeg, courseDeg)));
  const wished = vectorOf(speedMps * clamp(ahead, 0, 1), courseDeg);
  boat.velocity = plus(boat.velocity, times(minus(wished, boat.velocity), stepS / 6));
  boat.at = plus(boat.at, times(boat.velocity, stepS));
}

/** The antenna's place, metres, and its velocity over the ground, m/s: it swings about the roller. */
export function antennaOf(boat: Boat, hull: HullForm): { at: Vector; velocity: Vector } {
  const radPerS = toRad(boat.turnDegPerS);
  return {
    at: plus(boat.at, vectorOf(-hull.antennaAbaftM, boat.headingDeg)),
    velocity: plus(boat.velocity, vectorOf(-hull.antennaAbaftM * radPerS, boat.headingDeg + 90)),
  };
}
