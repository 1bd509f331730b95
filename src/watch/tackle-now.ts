/**
 * The tackle as it is this second: loads, pull, reach, and what the mechanics ask for. In: picture, heights, the
 * wind the target is laid for; out: figures, each undefined where something it rests on is not known.
 */
import type { Picture } from "../instruments/picture.ts";
import { solveCatenary } from "../tackle/catenary.ts";
import { type CombinedLoad, combinedLoad, type Stream } from "../tackle/current-load.ts";
import { leastRodeM } from "../tackle/least-rode.ts";
import { greatestDepthM } from "../tackle/required-rode.ts";
import { lineAboard, veered } from "../tackle/rode.ts";
import { DEFAULT_LOAD_FACTORS, designLoadN, GUST_FACTOR } from "../tackle/wind-load.ts";
import type { Heights } from "./ground.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay } from "./state.ts";

export interface TackleNow {
  /** Mean wind and current together, as the wind that would pull as hard. */
  equivalentWindMps: number | undefined;
  /** Horizontal load at the gust, lower estimate; and where it pulls the boat. */
  loadN: number | undefined;
  towardDeg: number | undefined;
  /** The published design load at the gust: the upper estimate. */
  designLoadN: number | undefined;
  pullDeg: number | undefined;
  groundedM: number | undefined;
  reachM: number | undefined;
  /** Length at which the pull at the anchor stays within its limit at the gust, tide to come included. */
  byMechanicsM: number | undefined;
}

const UNKNOWN: Hanging = {
  pullDeg: undefined,
  groundedM: undefined,
  reachM: undefined,
  byMechanicsM: undefined,
};

/** @param windMps the wind the target is laid for, where the instruments have none */
export function tackleNow(
  stay: Stay,
  picture: Picture,
  heights: Heights,
  windMps: number,
  settings: WatchSettings,
): TackleNow {
  const mean = picture.wind === undefined ? undefined : picture.windMean;
  const meanLoad = loadOf(picture, mean?.speedMps ?? windMps, settings);
  const gustMps = mean?.gustMps ?? windMps * GUST_FACTOR;
  const gustLoad = loadOf(picture, gustMps, settings);
  return {
    equivalentWindMps: meanLoad?.equivalentWindMps,
    loadN: gustLoad?.loadN,
    towardDeg: gustLoad?.towardDeg,
    designLoadN: designLoadN(settings.boat, gustMps),
    ...hanging(stay, heights, gustLoad?.loadN, settings),
  };
}

function loadOf(picture: Picture, speedMps: number, settings: WatchSettings): CombinedLoad | undefined {
  const { current, headingDeg, depth, windMean } = picture;
  const stream: Stream | undefined = current && {
    speedMps: current.value.driftMps,
    towardDeg: current.value.setDeg,
  };
  const lie = { headingDeg: headingDeg?.value, depthM: depth?.value.surfaceM };
  const factors = { ...DEFAULT_LOAD_FACTORS, surge: settings.surge };
  return combinedLoad(settings.boat, { speedMps, fromDeg: windMean?.fromDeg }, stream, lie, factors);
}

type Hanging = Pick<TackleNow, "pullDeg" | "groundedM" | "reachM" | "byMechanicsM">;

/** Solved anew only when depth has moved by 0.05 m or the load by 2 %: steps that no catenary is exact to. */
const HEIGHT_STEP_M = 0.05;
const LOAD_STEP = 1.02;
const solved = new WeakMap<WatchSettings, { key: string; hanging: Hanging }>();

function hanging(stay: Stay, heights: Heights, loadN: number | undefined, settings: WatchSettings): Hanging {
  const { forScopeM } = heights;
  if (forScopeM === undefined || forScopeM <= 0 || loadN === undefined) return UNKNOWN;
  const stepped = (lengthM: number) => Math.ceil(lengthM / HEIGHT_STEP_M - 1e-9) * HEIGHT_STEP_M;
  const heightM = stepped(forScopeM);
  const highM = stepped(forScopeM + heights.riseM);
  const steppedN = loadN <= 1 ? loadN : LOAD_STEP ** Math.ceil(Math.log(loadN) / Math.log(LOAD_STEP) - 1e-9);
  const key = `${stay.rode?.lengthM}|${heightM}|${highM}|${steppedN}`;
  const before = solved.get(settings);
  if (before?.key === key) return before.hanging;
  const hanging = hung(stay, heightM, highM, steppedN, settings);
  solved.set(settings, { key, hanging });
  return hanging;
}

function hung(stay: Stay, heightM: number, highM: number, loadN: number, settings: WatchSettings): Hanging {
  const aboard = settings.rode === undefined ? undefined : lineAboard(settings.rode);
  if (aboard === undefined) return UNKNOWN;
  const byMechanicsM = leastRodeM(aboard, highM, loadN, settings.pullLimitDeg);
  const out =
    stay.rode === undefined ? undefined : solveCatenary(heightM, veered(aboard, stay.rode.lengthM), loadN);
  if (out?.ok !== true) return { ...UNKNOWN, byMechanicsM };
  return { pullDeg: out.pullDeg, groundedM: out.groundedM, reachM: out.reachM, byMechanicsM };
}

/** Greatest depth this rode serves at this target and load; undefined without a rode or a roller height. */
export function deepestM(
  tackle: TackleNow,
  target: number | undefined,
  riseM: number,
  settings: WatchSettings,
): number | undefined {
  const { rode, boat, pullLimitDeg } = settings;
  if (rode === undefined || boat.rollerHeightM === undefined) return undefined;
  return greatestDepthM(
    { rode, targetScope: target, loadN: tackle.loadN, pullLimitDeg },
    boat.rollerHeightM,
    riseM,
  );
}
