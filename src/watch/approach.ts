/**
 * Coming in: wind or tide, how she will lie, what rode it takes, where to let go. In: stay, picture, figures so
 * far; out: what the drift says with its uncertainty, or in one word what it lacks.
 */
import type { Picture } from "../instruments/picture.ts";
import { requiredRode } from "../tackle/required-rode.ts";
import { targetScope } from "../tackle/scope.ts";
import { GUST_FACTOR, windLoadN } from "../tackle/wind-load.ts";
import { directionOf, lengthOf, type Vector, vectorOf, wrap360 } from "../units/angle.ts";
import { SECOND_MS } from "../units/time.ts";
import type { Heights } from "./ground.ts";
import { leewayOf } from "./leeway.ts";
import { type LetGoPlace, letGoPlace } from "./let-go-place.ts";
import { type Lie, lieIn } from "./lie.ts";
import type { Memory } from "./memory.ts";
import { type Drift, driftOf, neutralNow } from "./neutral.ts";
import type { ScopeNow } from "./scope.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay, WatchState } from "./state.ts";

export interface Approach {
  neutral: boolean;
  drift: { setDeg: number | undefined; driftMps: number; sdMps: number; overS: number } | undefined;
  current:
    | { setDeg: number | undefined; driftMps: number; sdMps: number; from: "told" | "drift" }
    | undefined;
  lie: Lie | undefined;
  /** What stands in the way of telling: one line. */
  lacks: string | undefined;
  letGo: LetGoPlace | undefined;
  /** Rode that the most wind told (EXPECT, or the forecast) would take here, the tide to come in it. */
  expectedRodeM: number | undefined;
  depthAtLowM: number | undefined;
}

/** Undefined while the anchor is down. `memory.neutral` is kept. */
export function approachNow(
  state: WatchState,
  memory: Memory,
  picture: Picture,
  heights: Heights,
  scope: ScopeNow,
  depthAtLowM: number | undefined,
  settings: WatchSettings,
): Approach | undefined {
  const { stay } = state;
  if (stay.phase !== "underway") return undefined;
  const sinceMs = neutralNow(stay, memory, picture);
  const drift = driftNow(memory, sinceMs, picture.atMs);
  const read = reading(state, picture, drift, settings);
  return {
    neutral: sinceMs !== undefined,
    drift: drift && { ...setAndDrift(drift.velocity), sdMps: drift.sdMps, overS: drift.overS },
    ...read,
    letGo: read.lie && letGoPlace(stay, picture, heights, scope, read.lie, settings),
    expectedRodeM: expectedRode(stay, heights, settings),
    depthAtLowM,
  };
}

/** Read anew every 5 s: it is a mean of 30. */
const READ_EVERY_MS = 5 * SECOND_MS;

function driftNow(memory: Memory, sinceMs: number | undefined, atMs: number): Drift | undefined {
  if (sinceMs === undefined) {
    memory.drift = undefined;
    return undefined;
  }
  if (
    memory.drift === undefined ||
    memory.drift.read === undefined ||
    atMs - memory.drift.atMs >= READ_EVERY_MS
  ) {
    memory.drift = { atMs, read: driftOf(memory.track, sinceMs, atMs) };
  }
  return memory.drift.read;
}

function setAndDrift(velocity: Vector): { setDeg: number | undefined; driftMps: number } {
  return { setDeg: directionOf(velocity), driftMps: lengthOf(velocity) };
}

type Reading = Pick<Approach, "current" | "lie" | "lacks">;

function reading(
  state: WatchState,
  picture: Picture,
  drift: Drift | undefined,
  settings: WatchSettings,
): Reading {
  const wind = windOf(state, picture);
  const lacking = (lacks: string): Reading => ({ current: undefined, lie: undefined, lacks });
  if (wind === undefined) return lacking("no wind direction: give it (WIND)");
  const depthM = picture.depth?.value.surfaceM;
  const current = currentOf(picture, drift, wind, depthM, settings);
  if (current === undefined)
    return lacking(drift === undefined ? "not stopped in neutral" : "size of the boat");
  const { vector, sdMps, from } = current;
  const lie = lieIn(settings.boat, { wind, current: vector, currentSdMps: sdMps }, depthM);
  const told = { ...setAndDrift(vector), sdMps, from };
  if (lie === undefined) return { current: told, lie, lacks: "size of the boat" };
  if (from === "drift" && drift !== undefined && isGathering(drift, settings))
    return { current: told, lie: undefined, lacks: "time: she still gathers way" };
  if (lie.uncertaintyDeg > UNSURE_DEG)
    return { current: told, lie: undefined, lacks: "enough drift to tell" };
  return { current: told, lie, lacks: undefined };
}

/** The reading waits until she has all but gathered her way; longer where her mass is not known. */
const GATHERING_MPS2 = { known: 0.01, unknown: 0.005 } as const;

function isGathering({ gathering }: Drift, { massKg }: WatchSettings): boolean {
  return lengthOf(gathering) > GATHERING_MPS2[massKg === undefined ? "unknown" : "known"];
}

/** Beyond this the heading says nothing that a look at the flags does not. */
const UNSURE_DEG = 35;

function windOf(state: WatchState, picture: Picture): { speedMps: number; fromDeg: number } | undefined {
  const mean = picture.wind === undefined ? undefined : picture.windMean;
  const { speedMps, fromDeg } = mean ?? picture.wind?.value ?? state.windTold ?? NO_WIND;
  return speedMps === undefined || fromDeg === undefined ? undefined : { speedMps, fromDeg };
}

const NO_WIND = { speedMps: undefined, fromDeg: undefined };
/** A log and compass that tell set and drift: one sigma, a judgement. */
const TOLD_SD_MPS = 0.1;

function currentOf(
  { current, headingDeg }: Picture,
  drift: Drift | undefined,
  wind: { speedMps: number; fromDeg: number },
  depthM: number | undefined,
  { boat, massKg }: WatchSettings,
): { vector: Vector; sdMps: number; from: "told" | "drift" } | undefined {
  if (current !== undefined) {
    const { driftMps, setDeg } = current.value;
    return { vector: vectorOf(driftMps, setDeg), sdMps: TOLD_SD_MPS, from: "told" };
  }
  if (drift === undefined) return undefined;
  const { velocity, sdMps, gathering } = drift;
  const leeway = leewayOf(boat, wind, { headingDeg: headingDeg?.value, depthM, gathering, massKg });
  if (leeway === undefined) return undefined;
  const north = velocity.north - leeway.velocity.north;
  const east = velocity.east - leeway.velocity.east;
  return { ...shrunk({ north, east }, Math.hypot(sdMps, leeway.sdMps)), from: "drift" };
}

/**
 * A stream no larger than its own uncertainty is taken as none, one of twice that as it is, in between in
 * proportion: else the errors of the reading would always make some tide. Its sigma is drawn in with it.
 */
function shrunk(vector: Vector, sdMps: number): { vector: Vector; sdMps: number } {
  const share = Math.min(1, Math.max(0, lengthOf(vector) / sdMps - 1));
  return {
    vector: { north: share * vector.north, east: share * vector.east },
    sdMps: sdMps * Math.max(Math.sqrt(share), LEAST_SHARE),
  };
}

/** Nothing seen is not nothing there. */
const LEAST_SHARE = 0.5;

function expectedRode(stay: Stay, heights: Heights, settings: WatchSettings): number | undefined {
  const windMps = stay.expectMps ?? settings.forecastWindMps;
  if (windMps === undefined || heights.forScopeM === undefined) return undefined;
  return rodeForWindM(windMps, heights, settings);
}

/** Rode for a wind here, the rise to come in it; undefined without a height. */
export function rodeForWindM(windMps: number, heights: Heights, settings: WatchSettings): number | undefined {
  if (heights.forScopeM === undefined) return undefined;
  const { rode, steps, pullLimitDeg, boat } = settings;
  return requiredRode(heights.forScopeM + heights.riseM, {
    rode,
    targetScope: targetScope(steps, windMps),
    loadN: windLoadN(boat, windMps * GUST_FACTOR),
    pullLimitDeg,
  }).requiredM;
}

/** The side to come from: she heads as she will lie. */
export function comeFromDeg(lie: Lie): number {
  return wrap360(lie.headingDeg + 180);
}
