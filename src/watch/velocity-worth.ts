/**
 * What a receiver's velocity is worth when the boat hardly moves. In: each fresh fix with its speed and course;
 * out: alive, pinned (stands at 0 below some speed), silent (no course when slow) or not known yet. Many
 * receivers pin speed to 0 below 0.4 to 1 kn, and most drags are slower: a silence there is no sign of holding.
 */
import type { Vector } from "../units/angle.ts";
import { fromKn } from "../units/speed.ts";

export type VelocityWorth = "alive" | "pinned" | "silent" | "unknown";

/** Counters of seconds, halved when they grow old; sums over pairs of minutes. Plain data. */
export interface VelocityRecord {
  seconds: number;
  zeros: number;
  noCourse: number;
  moving: number;
  leastMps: number;
  /** Way by the velocity, and the place, when the present minute began. */
  minute: { seconds: number; from: Vector; way: Vector } | undefined;
  pairs: { count: number; wayWay: number; wayGone: number; goneGone: number };
  /** Exact repeats of the place while the receiver's time runs; steps after such repeats, and their sum, m. */
  repeats: number;
  steps: number;
  stepM: number;
  last: Vector | undefined;
  repeating: number;
  /** Place less integrated velocity, leaking away over two minutes: the receiver's own wander, whatever she does. */
  astray: Vector;
  astrayVar: number;
  astrayS: number;
}

export function noVelocity(): VelocityRecord {
  return {
    seconds: 0,
    zeros: 0,
    noCourse: 0,
    moving: 0,
    leastMps: FAST_MPS,
    minute: undefined,
    pairs: { count: 0, wayWay: 0, wayGone: 0, goneGone: 0 },
    repeats: 0,
    steps: 0,
    stepM: 0,
    last: undefined,
    repeating: 0,
    astray: { north: 0, east: 0 },
    astrayVar: 0,
    astrayS: 0,
  };
}

/** What a fix said of the motion: undefined speed where none was sent. */
export interface SaidMotion {
  sogMps: number | undefined;
  cogDeg: number | undefined;
  /** The velocity it makes, m/s; 0 where the course is missing. */
  velocity: Vector;
}

const FAST_MPS = 100;
/** Faster than this says nothing of what it does when slow. */
const SLOW_MPS = fromKn(2);
const PAIR_S = 60;
const OLD_S = 20_000;
const OLD_PAIRS = 200;
const REPEATING_S = 8;

/** Takes in one fresh fix, `at` in metres on the plane. In place. */
export function noteVelocity(record: VelocityRecord, at: Vector, said: SaidMotion): void {
  noteAstray(record, at, said);
  noteRepeat(record, at);
  if (said.sogMps === undefined || said.sogMps > SLOW_MPS) {
    record.minute = undefined;
    return;
  }
  record.seconds++;
  if (said.sogMps === 0) record.zeros++;
  else {
    record.moving++;
    if (said.cogDeg === undefined) record.noCourse++;
    record.leastMps = Math.min(record.leastMps, said.sogMps);
  }
  if (said.sogMps === 0 && said.cogDeg === undefined) record.noCourse++;
  if (record.seconds > OLD_S) halve(record);
  notePair(record, at, said.velocity);
}

const LEAK_S = 120;
const LONGEST_STEP_M = 20;
const ASTRAY_OVER_S = 7200;
const ASTRAY_CLIP = 16;

function noteAstray(record: VelocityRecord, at: Vector, { sogMps, velocity }: SaidMotion): void {
  const { last, astray } = record;
  if (last === undefined || sogMps === undefined) return;
  const north = at.north - last.north - velocity.north;
  const east = at.east - last.east - velocity.east;
  if (Math.hypot(north, east) > LONGEST_STEP_M) return;
  const kept = 1 - 1 / LEAK_S;
  record.astray = { north: astray.north * kept + north, east: astray.east * kept + east };
  record.astrayS = Math.min(ASTRAY_OVER_S, record.astrayS + 1);
  const squared = (record.astray.north ** 2 + record.astray.east ** 2) / 2;
  const most = record.astrayS > ENOUGH_S ? ASTRAY_CLIP * record.astrayVar : squared;
  record.astrayVar += (Math.min(squared, most) - record.astrayVar) / Math.max(LEAK_S, record.astrayS);
}

/** One sigma of the receiver's own quick wander, m; undefined until there is enough to tell. */
export function astraySdM(record: VelocityRecord): number | undefined {
  return record.astrayS < ENOUGH_S ? undefined : Math.sqrt(record.astrayVar);
}

/** The same, from a velocity that may be called as a witness. */
export function steadySdM(record: VelocityRecord): number | undefined {
  return velocityWorth(record) === "alive" ? astraySdM(record) : undefined;
}

function noteRepeat(record: VelocityRecord, at: Vector): void {
  const { last } = record;
  record.last = at;
  if (last === undefined) return;
  const stepM = Math.hypot(at.north - last.north, at.east - last.east);
  if (stepM < 1e-4) {
    record.repeats++;
    record.repeating++;
    return;
  }
  if (record.repeating >= REPEATING_S) {
    record.steps++;
    record.stepM += stepM;
  }
  record.repeating = 0;
}

function halve(record: VelocityRecord): void {
  for (const key of ["seconds", "zeros", "noCourse", "moving", "repeats", "steps", "stepM"] as const)
    record[key] /= 2;
}

/** Does the velocity, added up over a minute, explain the way made good in it? */
function notePair(record: VelocityRecord, at: Vector, velocity: Vector): void {
  const minute = record.minute ?? { seconds: 0, from: at, way: { north: 0, east: 0 } };
  if (record.minute === undefined) {
    record.minute = minute;
    return;
  }
  minute.seconds++;
  minute.way = { north: minute.way.north + velocity.north, east: minute.way.east + velocity.east };
  if (minute.seconds < PAIR_S) return;
  const gone = { north: at.north - minute.from.north, east: at.east - minute.from.east };
  const { way } = minute;
  const pairs = record.pairs;
  pairs.count++;
  pairs.wayWay += way.north ** 2 + way.east ** 2;
  pairs.wayGone += way.north * gone.north + way.east * gone.east;
  pairs.goneGone += gone.north ** 2 + gone.east ** 2;
  if (pairs.count > OLD_PAIRS) for (const key of PAIR_KEYS) pairs[key] /= 2;
  record.minute = undefined;
}

const PAIR_KEYS = ["count", "wayWay", "wayGone", "goneGone"] as const;

const ENOUGH_S = 300;
const ENOUGH_PAIRS = 10;
/** A receiver that is alive shows speeds below this now and then; one that pins does not. */
const ALIVE_BELOW_MPS = fromKn(0.25);

/** The verdict so far. Pinned and silent are told first: what they agree with when fast is no help. */
export function velocityWorth(record: VelocityRecord): VelocityWorth {
  const { seconds, zeros, noCourse, moving, leastMps, pairs } = record;
  if (seconds < ENOUGH_S) return "unknown";
  if (noCourse > 0.1 * seconds) return "silent";
  if (zeros > 0.9 * seconds) return "pinned";
  if (zeros > 0.02 * seconds && moving >= 30 && leastMps >= ALIVE_BELOW_MPS) return "pinned";
  if (pairs.count < ENOUGH_PAIRS || pairs.wayWay === 0) return "unknown";
  const gain = pairs.wayGone / pairs.wayWay;
  const leftover = Math.max(0, pairs.goneGone - gain * pairs.wayGone);
  const gainSd = Math.sqrt(leftover / pairs.wayWay / (2 * pairs.count));
  return gain > 0.5 && gain < 1.5 && gain > 3 * gainSd ? "alive" : "unknown";
}

/** A static hold: the place stands while time runs, then steps. The mean step in metres; undefined: none. */
export function heldStepM(record: VelocityRecord): number | undefined {
  const { seconds, repeats, steps, stepM } = record;
  if (seconds < ENOUGH_S || repeats < 0.5 * seconds || steps < 3) return undefined;
  const meanM = stepM / steps;
  return meanM >= LEAST_STEP_M ? meanM : undefined;
}

/** Above the coarsest honest resolution, a thousandth of a minute. */
const LEAST_STEP_M = 2.2;
