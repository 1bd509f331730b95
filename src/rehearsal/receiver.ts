/**
 * The position receiver: a truth in, a fix out. Its error per axis is a sum of Gauss-Markov terms whose size
 * breathes over the hour, with excursions now and then; its velocity is noisy by itself, knows nothing of the
 * position's error, and may be silent when slow.
 */
import { directionOf, lengthOf, type Vector, vectorOf } from "../units/angle.ts";
import { toKn } from "../units/speed.ts";
import { type Chance, wander } from "./chance.ts";
import { minus, plus, times } from "./plane.ts";
import { type Fault, faultyFix } from "./receiver-fault.ts";

export type ReceiverGrade = "good" | "mid" | "poor";

export interface ReceiverForm {
  grade: ReceiverGrade;
  /** Standard deviation per axis, metres, without excursions; correlation time of its largest part. */
  sigmaM: number;
  tauS: number;
  /** Standard deviation of the logarithm of the error's size, over an hour. */
  breathing: number;
  /** One in so many seconds on average, so far; undefined: none. */
  excursion: { everyS: number; leastM: number; mostM: number } | undefined;
  velocitySdMps: number;
  /** Decimals of the minute of arc, of the speed in knots. */
  minuteDecimals: number;
  speedDecimals: number;
  /** Below this it says it stands still; undefined: never. */
  pinnedBelowKn: number | undefined;
  /** Below this it gives no course; undefined: always gives one. */
  courseFromKn: number | undefined;
  /** Static hold: keeps a position until it is so far off; undefined: not this receiver. */
  holdsForM: number | undefined;
  faults: readonly Fault[];
}

/** A fix, before it is put in words. `at` in the plane of the anchorage, metres. */
export interface Fix {
  /** The receiver's own time, seconds into the scene. */
  timeS: number;
  valid: boolean;
  at: Vector;
  speedKn: number;
  courseDeg: number | undefined;
  satellites: number;
  hdop: number;
}

type Grade = Pick<ReceiverForm, "breathing" | "excursion" | "velocitySdMps"> & {
  sigmaM: readonly [least: number, most: number];
  tauS: readonly [least: number, most: number];
};

/** Set after a handful of recordings of receivers at rest; no receiver is bound to them. */
const GRADES: Readonly<Record<ReceiverGrade, Grade>> = {
  good: { sigmaM: [0.4, 1], tauS: [60, 150], breathing: 0.15, excursion: undefined, velocitySdMps: 0.04 },
  mid: {
    sigmaM: [1.2, 3],
    tauS: [120, 350],
    breathing: 0.3,
    excursion: { everyS: 7 * 3600, leastM: 5, mostM: 14 },
    velocitySdMps: 0.08,
  },
  poor: {
    sigmaM: [3, 8],
    tauS: [150, 500],
    breathing: 0.59,
    excursion: { everyS: 3.3 * 3600, leastM: 14, mostM: 42 },
    velocitySdMps: 0.2,
  },
};

/** The bounds a grade's standard deviation per axis is drawn from, metres. */
export function sigmaBoundsM(grade: ReceiverGrade): readonly [least: number, most: number] {
  return GRADES[grade].sigmaM;
}

/** A receiver of a grade, drawn by chance, its velocity alive and without faults. */
export function receiverOf(grade: ReceiverGrade, chance: Chance): ReceiverForm {
  const { sigmaM, tauS, breathing, excursion, velocitySdMps } = GRADES[grade];
  return {
    grade,
    sigmaM: chance.between(...sigmaM),
    tauS: chance.between(...tauS),
    breathing,
    excursion,
    velocitySdMps,
    minuteDecimals: grade === "poor" ? 3 : 4,
    speedDecimals: grade === "good" ? 2 : 1,
    pinnedBelowKn: undefined,
    courseFromKn: undefined,
    holdsForM: undefined,
    faults: [],
  };
}

/** Shares of the standard deviation: the slow part, a slower, a quick one, white. Their squares sum to one. */
const SHARES = { slow: 0.85, slower: 0.45, quick: 0.25, white: 0.1 };
const SLOWER_S = 600;
const QUICK_S = 10;
const BREATH_S = 3600;
const VELOCITY_S = 3;

interface Excursion {
  beganS: number;
  growsS: number;
  endsS: number;
  peak: Vector;
}

/** The receiver second by second: call once for each, in order. `velocity` is the antenna's, m/s. */
export function receive(
  form: ReceiverForm,
  chance: Chance,
): (atS: number, antenna: Vector, velocity: Vector) => Fix {
  const error = positionError(form, chance);
  const velocityNoise = gaussMarkov(form.velocitySdMps, VELOCITY_S, chance);
  let held: Vector | undefined;
  let last: Fix | undefined;
  return (atS, antenna, velocity) => {
    const motion = motionOf(form, plus(velocity, velocityNoise()));
    let at = plus(antenna, error(atS));
    if (form.holdsForM !== undefined && motion.speedKn === 0) {
      held = held !== undefined && lengthOf(minus(at, held)) < form.holdsForM ? held : at;
      at = held;
    } else held = undefined;
    const breath = wanderingSatellites(atS);
    const fix = faultyFix(form.faults, { timeS: atS, valid: true, at, ...motion, ...breath }, last);
    last = fix;
    return fix;
  };
}

function positionError(form: ReceiverForm, chance: Chance): (atS: number) => Vector {
  const slow = gaussMarkov(form.sigmaM * SHARES.slow, form.tauS, chance);
  const slower = gaussMarkov(form.sigmaM * SHARES.slower, SLOWER_S, chance);
  const quick = gaussMarkov(form.sigmaM * SHARES.quick, QUICK_S, chance);
  const white = form.sigmaM * SHARES.white;
  let breath = 0;
  let excursion: Excursion | undefined;
  return (atS) => {
    breath = wander(breath, form.breathing, BREATH_S, 1, chance);
    excursion = excursionNow(form, excursion, atS, chance);
    const parts = [
      slow(),
      slower(),
      quick(),
      { north: white * chance.normal(), east: white * chance.normal() },
    ];
    // exp(breath) has a mean square above one: take it out, so that `sigmaM` stays the long run's deviation.
    const size = Math.exp(breath - form.breathing ** 2);
    return plus(times(parts.reduce(plus), size), excursionError(excursion, atS));
  };
}

function gaussMarkov(sd: number, tauS: number, chance: Chance): () => Vector {
  let value = { north: sd * chance.normal(), east: sd * chance.normal() };
  return () => {
    value = {
      north: wander(value.north, sd, tauS, 1, chance),
      east: wander(value.east, sd, tauS, 1, chance),
    };
    return value;
  };
}

function excursionNow(
  form: ReceiverForm,
  present: Excursion | undefined,
  atS: number,
  chance: Chance,
): Excursion | undefined {
  if (present !== undefined && atS < present.endsS) return present;
  if (form.excursion === undefined || chance.uniform() >= 1 / form.excursion.everyS) return undefined;
  const growsS = chance.between(40, 200);
  const peak = vectorOf(chance.between(form.excursion.leastM, form.excursion.mostM), chance.between(0, 360));
  return { beganS: atS, growsS, endsS: atS + growsS + chance.between(60, 900 - growsS), peak };
}

function excursionError(excursion: Excursion | undefined, atS: number): Vector {
  if (excursion === undefined) return { north: 0, east: 0 };
  const { beganS, growsS, endsS, peak } = excursion;
  const sinceS = atS - beganS;
  const share = sinceS < growsS ? sinceS / growsS : (endsS - atS) / (endsS - beganS - growsS);
  return times(peak, Math.max(0, share));
}

function motionOf(form: ReceiverForm, velocity: Vector): { speedKn: number; courseDeg: number | undefined } {
  const speedKn = toKn(lengthOf(velocity));
  const pinned = speedKn < (form.pinnedBelowKn ?? 0);
  const silent = speedKn < (form.courseFromKn ?? 0);
  return { speedKn: pinned ? 0 : speedKn, courseDeg: silent ? undefined : (directionOf(velocity) ?? 0) };
}

/** Satellites come and go by the clock, and say nothing about the error: nor do they in real receivers. */
function wanderingSatellites(atS: number): { satellites: number; hdop: number } {
  const swing = Math.sin(atS / 1900) + 0.5 * Math.sin(atS / 700);
  return { satellites: Math.round(10 + 1.5 * swing), hdop: 0.95 - 0.1 * swing };
}
