/**
 * Stopped, engines out of gear: the drift says what wind and tide do. In: the track, and what the operator said;
 * out: since when she drifts, and her velocity over the ground with its uncertainty.
 */
import type { Picture } from "../instruments/picture.ts";
import { turnDeg, type Vector } from "../units/angle.ts";
import { offsetM } from "../units/position.ts";
import { fromKn } from "../units/speed.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import type { Memory } from "./memory.ts";
import type { Stay } from "./state.ts";
import { type TrackPoint, trendOf } from "./track.ts";

export interface Drift {
  /** At the end of the reading. */
  velocity: Vector;
  /** One sigma of each component, m/s. */
  sdMps: number;
  /** She gathers or loses way: change of velocity, m/s². */
  gathering: Vector;
  /** One sigma of each component of that. */
  gatheringSdMps2: number;
  overS: number;
}

/** Slower is stopped, wherever she goes. */
const STOPPED_MPS = fromKn(1.5);
/** Faster is under way, whatever stream and wind she would anchor in. */
const DRIFTS_BELOW_MPS = fromKn(4);
/** Faster than stopped she drifts only where the bow does not lead: so far off it. */
const BOW_LEADS_DEG = 60;
/** The operator's word stands for so long. */
const SAID_MS = 5 * MINUTE_MS;
/** Engine out of gear some seconds before it is believed. */
const NEUTRAL_MS = 10 * SECOND_MS;
/** A swing of the bow or a puff does not end it. */
const BREAKS_MS = 10 * SECOND_MS;

/** Since when she drifts; undefined: she does not. `memory.neutral` is kept. */
export function neutralNow(stay: Stay, memory: Memory, picture: Picture): number | undefined {
  const { atMs } = picture;
  const saidMs = stay.neutralMs;
  const isSaid = saidMs !== undefined && atMs - saidMs <= SAID_MS;
  if (stay.phase !== "underway") {
    memory.neutral = undefined;
    return undefined;
  }
  if (drifts(picture, isSaid))
    memory.neutral = { sinceMs: memory.neutral?.sinceMs ?? (isSaid ? saidMs : atMs), lastMs: atMs };
  const { neutral } = memory;
  if (neutral !== undefined && atMs - neutral.lastMs > BREAKS_MS) memory.neutral = undefined;
  if (neutral === undefined || memory.neutral === undefined) return undefined;
  return isSaid || atMs - neutral.sinceMs >= NEUTRAL_MS ? neutral.sinceMs : undefined;
}

function drifts({ motion, headingDeg }: Picture, isSaid: boolean): boolean {
  if (motion === undefined) return isSaid;
  const { sogMps, cogDeg } = motion.value;
  if (sogMps <= STOPPED_MPS) return true;
  if (sogMps > DRIFTS_BELOW_MPS) return false;
  if (isSaid) return true;
  if (headingDeg === undefined || cogDeg === undefined) return false;
  return Math.abs(turnDeg(headingDeg.value, cogDeg)) > BOW_LEADS_DEG;
}

const READ_MS = 30 * SECOND_MS;
const LEAST_S = 20;
/** Receiver taken for the uncertainty: 1.5 m, forgetting itself in 200 s (between good and mid). */
const SIGMA_M = 1.5;
const TAU_S = 200;
/** Its own velocity: this a second, forgetting itself in 3 s; never better than the last figure. */
const DOPPLER_SD_MPS = 0.08;
const DOPPLER_TAU_S = 3;
const LEAST_SD_MPS = 0.02;

/** Longer readings, taken where she drifts as steadily as that: they tell far better what she gathers. */
const LONGER_MS = [90 * SECOND_MS, 60 * SECOND_MS] as const;

/**
 * The drift since `sinceMs`: of the last 30 s, or of 60 or 90 s where they are one straight line with those.
 * Undefined before 20 s of it.
 */
export function driftOf(track: readonly TrackPoint[], sinceMs: number, atMs: number): Drift | undefined {
  const short = driftOver(track, Math.max(sinceMs, atMs - READ_MS));
  if (short === undefined || sinceMs > atMs - READ_MS) return short;
  for (const overMs of LONGER_MS) {
    const long = sinceMs > atMs - overMs ? undefined : driftOver(track, atMs - overMs);
    if (long !== undefined && isOneLine(short, long)) return long;
  }
  return short;
}

function isOneLine(short: Drift, long: Drift): boolean {
  const apart = (a: Vector, b: Vector) => Math.hypot(a.north - b.north, a.east - b.east);
  return (
    apart(short.velocity, long.velocity) <= 2 * short.sdMps &&
    apart(short.gathering, long.gathering) <= 2 * short.gatheringSdMps2
  );
}

function driftOver(track: readonly TrackPoint[], fromMs: number): Drift | undefined {
  const points = track.filter((point) => point.atMs >= fromMs);
  const first = points[0];
  const last = points[points.length - 1];
  if (first === undefined || last === undefined) return undefined;
  const overS = (last.atMs - first.atMs) / SECOND_MS;
  if (overS < LEAST_S) return undefined;
  const told = points.flatMap(({ atMs: at, velocity }) =>
    velocity === undefined ? [] : [{ at, ...velocity }],
  );
  if (told.length * 2 < points.length) return byPosition(points, first, overS);
  const north = trendOf(told.map((one) => ({ atMs: one.at, value: one.north })));
  const east = trendOf(told.map((one) => ({ atMs: one.at, value: one.east })));
  if (north === undefined || east === undefined) return undefined;
  // The end of a straight line through correlated samples: twice the sd of their mean (textbook).
  const sdMps = 2 * DOPPLER_SD_MPS * Math.sqrt((2 * DOPPLER_TAU_S) / overS);
  return {
    velocity: { north: north.last, east: east.last },
    sdMps: Math.max(LEAST_SD_MPS, sdMps),
    gathering: { north: north.perS, east: east.perS },
    // The slope of such a line: sd × √(12 over the number of samples that are worth one) ÷ its length (textbook).
    gatheringSdMps2: (DOPPLER_SD_MPS * Math.sqrt((24 * DOPPLER_TAU_S) / overS)) / overS,
    overS,
  };
}

/** She may gather so much without its being seen: a boat a minute after her engine was put out of gear. */
const UNKNOWN_GATHERING_MPS2 = 0.01;

/** Without velocities: the way made good. What she gathers is then not known and is taken as nothing. */
function byPosition(points: readonly TrackPoint[], first: TrackPoint, overS: number): Drift {
  const at = points.map(({ atMs, antenna }) => ({ atMs, ...offsetM(first.antenna, antenna) }));
  return {
    velocity: {
      north: trendOf(at.map(({ atMs, north }) => ({ atMs, value: north })))?.perS ?? 0,
      east: trendOf(at.map(({ atMs, east }) => ({ atMs, value: east })))?.perS ?? 0,
    },
    sdMps: (SIGMA_M * Math.sqrt(2 * (1 - Math.exp(-overS / TAU_S)))) / overS,
    gathering: { north: 0, east: 0 },
    gatheringSdMps2: UNKNOWN_GATHERING_MPS2,
    overS,
  };
}
