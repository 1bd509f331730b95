/**
 * The tide where she lies: what has been told of it, and what the sounder suggests. In: the stay, soundings, the
 * configured times; out: least depth to come, and a suggestion that is never used by itself.
 */
import type { Picture } from "../instruments/picture.ts";
import { cosineShare, depthAtLowM, type TideTimes } from "../tackle/tide.ts";
import { fitTide, type Sounding, type TideFit } from "../tackle/tide-fit.ts";
import { HOUR_MS, MINUTE_MS } from "../units/time.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay, WatchState } from "./state.ts";

export interface TideNow {
  /** Depth from the surface to expect at the next low water; undefined when times or rise are not told. */
  depthAtLowM: number | undefined;
  /** From the sounder alone: a suggestion for the person on board. */
  suggested: TideFit | undefined;
}

/** Near high water what is left of the rise says nothing of the range. */
const LEAST_SHARE = 0.1;

export function tideNow(state: WatchState, picture: Picture, settings: WatchSettings): TideNow {
  const depthM = picture.depth?.value.surfaceM;
  const times = tideTimes(state.stay, picture, settings);
  return {
    depthAtLowM:
      times === undefined || depthM === undefined
        ? undefined
        : depthAtLowM(times, depthM, utc(picture, picture.atMs)),
    suggested: state.tideFit,
  };
}

function utc(picture: Picture, atMs: number): number {
  return atMs + (picture.utcOffsetMs ?? 0);
}

/** The range from the rise told and the share of the tide that was still to come when it was told. */
function tideTimes(stay: Stay, picture: Picture, settings: WatchSettings): TideTimes | undefined {
  const { highWaterMs: highMs, lowWaterMs: lowMs } = settings.tideTimes;
  const told = stay.rise ?? configuredRise(stay, settings);
  if (highMs === undefined || lowMs === undefined || told === undefined || highMs === lowMs) return undefined;
  const halfMs = Math.abs(highMs - lowMs);
  const fromHighMs = Math.abs(utc(picture, told.atMs) - highMs) % (2 * halfMs);
  const toCome = cosineShare(Math.min(fromHighMs, 2 * halfMs - fromHighMs) / halfMs);
  return toCome < LEAST_SHARE ? undefined : { highMs, lowMs, rangeM: told.riseM / toCome };
}

function configuredRise(stay: Stay, settings: WatchSettings): { riseM: number; atMs: number } | undefined {
  if (settings.tideRiseM === undefined || stay.anchor === undefined) return undefined;
  return { riseM: settings.tideRiseM, atMs: stay.anchor.sinceMs };
}

const SOUNDING_MS = 5 * MINUTE_MS;
const KEPT_MS = 12 * HOUR_MS;

/** Keeps a sounding every 5 minutes while the anchor is down, and fits the tide to them anew. */
export function keepSounding(state: WatchState, picture: Picture): Pick<WatchState, "soundings" | "tideFit"> {
  const { atMs } = picture;
  const depthM = picture.depth?.value.surfaceM;
  if (state.stay.phase === "underway") return NO_TIDE;
  const kept = { soundings: state.soundings, tideFit: state.tideFit };
  const last = state.soundings.at(-1);
  if (depthM === undefined || (last !== undefined && atMs - last.atMs < SOUNDING_MS)) return kept;
  const soundings: Sounding[] = [...state.soundings.filter((s) => atMs - s.atMs < KEPT_MS), { atMs, depthM }];
  return { soundings, tideFit: fitTide(soundings) };
}

export const NO_TIDE: Pick<WatchState, "soundings" | "tideFit"> = { soundings: [], tideFit: undefined };
