/**
 * The tide where she lies: what has been told of it, and what the sounder suggests. In: the stay, soundings, the
 * configured times; out: least depth to come, and a suggestion that is never used by itself.
 */
import type { Picture } from "../instruments/picture.ts";
import {
  cosineShare,
  depthAtLowM,
  heightAboveLowM,
  heightByTableM,
  riseToComeM,
  type TideByTable,
  type TideTimes,
  type TideTurn,
  tideByTable,
} from "../tackle/tide.ts";
import { fitTide, type Sounding, type TideFit } from "../tackle/tide-fit.ts";
import { formatInstant, HOUR_MS, MINUTE_MS } from "../units/time.ts";
import type { Heights } from "./ground.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay, WatchState } from "./state.ts";

export interface TideNow {
  /** Still to rise by high water, and by whose word; undefined: nobody has told. */
  riseM: number | undefined;
  riseFrom: Rise["from"] | undefined;
  /** Depth from the surface to expect at the next low water; undefined when times or rise are not told. */
  depthAtLowM: number | undefined;
  /** The least of it within the swing, as far as she has lain; only by a table of heights. */
  leastAtLowM: number | undefined;
  /** What stands in the way of knowing the tide, though one was told: one line. */
  lacks: string | undefined;
  /** From the sounder alone: a suggestion for the person on board. */
  suggested: TideFit | undefined;
}

/** Near high water what is left of the rise says nothing of the range. */
const LEAST_SHARE = 0.1;

export function tideNow(
  state: WatchState,
  picture: Picture,
  heights: Heights,
  settings: WatchSettings,
): TideNow {
  const depthM = picture.depth?.value.surfaceM;
  const table = tableNow(picture, settings);
  return {
    riseM: heights.riseFrom && heights.riseM,
    riseFrom: heights.riseFrom,
    ...lowWater(state, picture, table, depthM, settings),
    lacks: lacksOf(picture, settings),
    suggested: state.tideFit,
  };
}

type LowWater = Pick<TideNow, "depthAtLowM" | "leastAtLowM">;

function lowWater(
  state: WatchState,
  picture: Picture,
  table: TideByTable | undefined,
  depthM: number | undefined,
  settings: WatchSettings,
): LowWater {
  const unknown = { depthAtLowM: undefined, leastAtLowM: undefined };
  if (depthM === undefined) return unknown;
  if (table?.fallToComeM !== undefined) {
    const depthAtLowM = depthM - table.fallToComeM;
    const lowM = table.heightM - table.fallToComeM;
    return { depthAtLowM, leastAtLowM: leastAtLow(state, depthAtLowM, lowM, picture, settings) };
  }
  const times = tideTimes(state.stay, picture, settings);
  if (times === undefined) return unknown;
  return { ...unknown, depthAtLowM: depthAtLowM(times, depthM, utc(picture, picture.atMs)) };
}

/** Where the depth is least of all that was sounded in this stay, each reduced by the table. */
function leastAtLow(
  { stay, soundings }: WatchState,
  hereM: number,
  lowM: number,
  picture: Picture,
  { tideTurns }: WatchSettings,
): number | undefined {
  if (stay.anchor === undefined) return undefined;
  const { depthM, sinceMs } = stay.anchor;
  const atAnchor = depthM === undefined ? [] : [{ depthM, atMs: sinceMs }];
  const reduced = (all: readonly Sounding[]): number[] =>
    all.flatMap(({ depthM: soundedM, atMs }) => {
      const heightM = heightByTableM(tideTurns, utc(picture, atMs));
      return heightM === undefined ? [] : [soundedM - heightM];
    });
  // The soundings change every 5 minutes: reduced once for each set of them. The least may be a false echo.
  let leastM = leastReduced.get(soundings);
  if (leastM === undefined) {
    leastM = reduced(soundings).sort((x, y) => x - y)[1] ?? Number.POSITIVE_INFINITY;
    leastReduced.set(soundings, leastM);
  }
  return Math.min(hereM, ...reduced(atAnchor).map((m) => m + lowM), leastM + lowM);
}

const leastReduced = new WeakMap<readonly Sounding[], number>();

function utc(picture: Picture, atMs: number): number {
  return atMs + (picture.utcOffsetMs ?? 0);
}

function tableNow(picture: Picture, { tideTurns }: WatchSettings): TideByTable | undefined {
  return tideByTable(tideTurns, utc(picture, picture.atMs));
}

/**
 * How much above the next low water the level stood at an instant, m; undefined beyond what is told of the tide.
 * Undefined as a whole where no tide is told.
 */
export function aboveLow(
  stay: Stay,
  picture: Picture,
  settings: WatchSettings,
): ((atMs: number) => number | undefined) | undefined {
  const table = tableNow(picture, settings);
  if (table?.fallToComeM !== undefined) {
    const lowM = table.heightM - table.fallToComeM;
    return (atMs) => {
      const thenM = heightByTableM(settings.tideTurns, utc(picture, atMs));
      return thenM === undefined ? undefined : thenM - lowM;
    };
  }
  const times = tideTimes(stay, picture, settings);
  return times && ((atMs) => heightAboveLowM(times, utc(picture, atMs)));
}

export interface Rise {
  riseM: number;
  from: "told" | "table" | "configured";
}

/** By the operator's word, else by the table where it reaches, else as configured. Undefined: nobody has told. */
export function riseOf(stay: Stay, picture: Picture, settings: WatchSettings): Rise | undefined {
  const depthM = picture.depth?.value.surfaceM;
  if (stay.rise !== undefined) return { riseM: leftOf(stay.rise, depthM), from: "told" };
  const byTable = tableNow(picture, settings)?.riseToComeM;
  if (byTable !== undefined) return { riseM: byTable, from: "table" };
  if (settings.tideRiseM === undefined) return undefined;
  const configured = { riseM: settings.tideRiseM, depthM: stay.anchor?.depthM };
  return { riseM: leftOf(configured, depthM), from: "configured" };
}

/** max(0, told − (depth now − depth when told)). */
function leftOf(told: { riseM: number; depthM: number | undefined }, depthM: number | undefined): number {
  if (depthM === undefined || told.depthM === undefined) return Math.max(0, told.riseM);
  return riseToComeM(told.riseM, depthM, told.depthM);
}

function lacksOf(
  picture: Picture,
  { tideTurns, tideTimes: { highWaterMs, lowWaterMs } }: WatchSettings,
): string | undefined {
  const nowMs = utc(picture, picture.atMs);
  if (tideTurns.length > 0) return tableLacks(tideTurns, nowMs);
  const isGiven = highWaterMs !== undefined && lowWaterMs !== undefined;
  return isGiven && !isOfThisTide(nowMs, highWaterMs, lowWaterMs)
    ? "High and low water as set are of another tide"
    : undefined;
}

/** What a table of turns does not tell at this instant: one line; undefined: nothing is lacking. */
export function tableLacks(turns: readonly TideTurn[], atMs: number): string | undefined {
  const [first, last] = [turns[0], turns.at(-1)];
  if (first === undefined || last === undefined) return undefined;
  if (atMs < first.atMs) return `The tide as set begins ${formatInstant(first.atMs)}: not known now`;
  if (atMs >= last.atMs) return `The tide as set ended ${formatInstant(last.atMs)}: not known now`;
  const table = tideByTable(turns, atMs);
  if (table?.riseToComeM === undefined) return "The tide as set ends before high water";
  return table.fallToComeM === undefined ? "The tide as set ends before low water" : undefined;
}

/** A turn, the one before it and the one after: two times tell no more. */
function isOfThisTide(atMs: number, highMs: number, lowMs: number): boolean {
  const halfMs = Math.abs(highMs - lowMs);
  return atMs >= Math.min(highMs, lowMs) - halfMs && atMs <= Math.max(highMs, lowMs) + halfMs;
}

/** The range from the rise told and the share of the tide that was still to come when it was told. */
function tideTimes(stay: Stay, picture: Picture, settings: WatchSettings): TideTimes | undefined {
  const { highWaterMs: highMs, lowWaterMs: lowMs } = settings.tideTimes;
  const told = stay.rise ?? configuredRise(stay, settings);
  if (highMs === undefined || lowMs === undefined || told === undefined || highMs === lowMs) return undefined;
  const toldMs = utc(picture, told.atMs);
  const nowMs = utc(picture, picture.atMs);
  if (!isOfThisTide(toldMs, highMs, lowMs) || !isOfThisTide(nowMs, highMs, lowMs)) return undefined;
  const halfMs = Math.abs(highMs - lowMs);
  const fromHighMs = Math.abs(toldMs - highMs) % (2 * halfMs);
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
