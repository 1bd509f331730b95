/**
 * Coming in: wind or tide, how she will lie, what rode it takes, where to let go. In: stay, picture, figures so
 * far; out: what the drift says with its uncertainty, or in one word what it lacks.
 */
import type { Picture } from "../instruments/picture.ts";
import { requiredRode } from "../tackle/required-rode.ts";
import { targetScope } from "../tackle/scope.ts";
import { DEFAULT_LOAD_FACTORS, GUST_FACTOR, windLoadN } from "../tackle/wind-load.ts";
import { lengthOf, wrap360 } from "../units/angle.ts";
import { SECOND_MS } from "../units/time.ts";
import { likelyStreams, setAndDrift, streamOf } from "./current-estimate.ts";
import type { Heights } from "./ground.ts";
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
    | { setDeg: number | undefined; driftMps: number; sdMps: number; from: "told" | "log" | "drift" }
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

type Reading = Pick<Approach, "current" | "lie" | "lacks">;

function reading(
  state: WatchState,
  picture: Picture,
  drift: Drift | undefined,
  settings: WatchSettings,
): Reading {
  const wind = windOf(state, picture);
  const lacking = (lacks: string): Reading => ({ current: undefined, lie: undefined, lacks });
  if (wind === undefined) return lacking(NO_WIND_DIRECTION);
  const stream = streamOf(picture, drift, wind, settings);
  if (stream === undefined)
    return lacking(drift === undefined ? "a drift: stop, out of gear" : "the size of the boat");
  // What is left of her way would be taken for a stream.
  if (stream.from !== "told" && drift !== undefined && isGathering(drift, settings))
    return lacking("time: her way is not settled yet");
  const { vector, alongSdMps, acrossSdMps, from } = stream;
  const current = { ...setAndDrift(vector), sdMps: Math.hypot(alongSdMps, acrossSdMps) / Math.SQRT2, from };
  const lie = lieIn(
    settings.boat,
    { wind, current: vector, likely: likelyStreams(stream) },
    picture.depth?.value.surfaceM,
  );
  if (lie === undefined) return { current, lie, lacks: "the size of the boat" };
  if (lie.uncertaintyDeg > UNSURE_DEG) return { current, lie: undefined, lacks: "enough drift to tell" };
  return { current, lie, lacks: undefined };
}

/** The reading waits until she has all but gathered, or lost, her way; longer where her mass is not known. */
const GATHERING_MPS2 = { known: 0.0035, unknown: 0.0025 } as const;

function isGathering({ gathering }: Drift, { massKg }: WatchSettings): boolean {
  return lengthOf(gathering) > GATHERING_MPS2[massKg === undefined ? "unknown" : "known"];
}

/** Beyond this, one sigma, the heading says nothing that a look at the flags does not. */
const UNSURE_DEG = 12;

function windOf(state: WatchState, picture: Picture): { speedMps: number; fromDeg: number } | undefined {
  const mean = picture.wind === undefined ? undefined : picture.windMean;
  const { speedMps, fromDeg } = mean ?? picture.wind?.value ?? state.windTold ?? NO_WIND;
  return speedMps === undefined || fromDeg === undefined ? undefined : { speedMps, fromDeg };
}

/** Told by a person where no instrument does. */
export const NO_WIND_DIRECTION = "the wind's direction: tell it (WIND)";

const NO_WIND = { speedMps: undefined, fromDeg: undefined };

function expectedRode(stay: Stay, heights: Heights, settings: WatchSettings): number | undefined {
  const windMps = stay.expectMps ?? settings.forecastWindMps;
  if (windMps === undefined || heights.forScopeM === undefined) return undefined;
  return rodeForWindM(windMps, heights, settings);
}

/** Rode for a wind here, the rise to come in it; undefined without a height. */
export function rodeForWindM(windMps: number, heights: Heights, settings: WatchSettings): number | undefined {
  if (heights.forScopeM === undefined) return undefined;
  const { rode, steps, pullLimitDeg, boat, surge } = settings;
  return requiredRode(heights.forScopeM + heights.riseM, {
    rode,
    targetScope: targetScope(steps, windMps),
    loadN: windLoadN(boat, windMps * GUST_FACTOR, { ...DEFAULT_LOAD_FACTORS, surge }),
    pullLimitDeg,
  }).requiredM;
}

/** The side to come from: she heads as she will lie. */
export function comeFromDeg(lie: Lie): number {
  return wrap360(lie.headingDeg + 180);
}
