/**
 * The alarm circle: the plain guarantee beside all cleverness. In: rode, height, stretch, margin, wander; out:
 * the radius round the anchor that the antenna of a holding boat never leaves.
 */
import type { Picture } from "../instruments/picture.ts";
import { aboardM, lineAboard, veered } from "../tackle/rode.ts";
import { antennaCircleM, circleMarginM, stretchShare } from "../tackle/swing.ts";
import { GUST_FACTOR, windLoadN } from "../tackle/wind-load.ts";
import { bearingDeg, distanceM } from "../units/position.ts";
import { fromKn } from "../units/speed.ts";
import type { Heights } from "./ground.ts";
import type { WatchSettings } from "./settings.ts";
import type { WatchState } from "./state.ts";

/** Wander until a receiver has been learnt. */
export const UNLEARNT_WANDER_M = 15;
/** Nothing learnt can widen the circle beyond this. */
export const HARD_WANDER_M = 60;
/** Gust taken for the stretch while none has been measured. */
const UNKNOWN_GUST_MPS = fromKn(20) * GUST_FACTOR;

export interface Circle {
  radiusM: number;
  /** The rode it was reckoned with, and whether that is only the rode aboard for want of better. */
  rodeM: number;
  rodeAssumed: boolean;
  rangeM: number | undefined;
  bearingDeg: number | undefined;
  marginM: number;
}

/** Undefined without an anchor, or when neither rode out nor rode aboard is known. */
export function circleNow(
  state: WatchState,
  picture: Picture,
  heights: Heights,
  settings: WatchSettings,
  wanderM: number = UNLEARNT_WANDER_M,
): Circle | undefined {
  const { anchor, rode } = state.stay;
  const wholeM = settings.rode === undefined ? undefined : aboardM(settings.rode);
  const rodeM = rode?.lengthM ?? wholeM;
  if (anchor === undefined || rodeM === undefined) return undefined;
  const marginM = circleMarginM(settings.marginM, rodeM);
  const radiusM = antennaCircleM({
    rodeM,
    stretch: stretchNow(state, rodeM, settings),
    heightM: Math.min(heights.forCircleM, rodeM),
    rollerToAntennaM: settings.boat.rollerToAntennaM ?? 0,
    marginM,
    wanderM,
  });
  const fix = picture.position?.value;
  return {
    radiusM,
    rodeM,
    rodeAssumed: rode === undefined,
    rangeM: fix === undefined ? undefined : distanceM(anchor.position, fix),
    bearingDeg: fix === undefined ? undefined : bearingDeg(fix, anchor.position),
    marginM,
  };
}

/** Stretch at the greatest gust load so far. */
function stretchNow(state: WatchState, rodeM: number, settings: WatchSettings): number {
  const aboard = settings.rode === undefined ? undefined : lineAboard(settings.rode);
  const loadN = windLoadN(settings.boat, state.greatestGustMps ?? UNKNOWN_GUST_MPS);
  if (aboard === undefined || loadN === undefined) return UNKNOWN_STRETCH;
  return Math.min(MOST_STRETCH, stretchShare(veered(aboard, rodeM), loadN));
}

/** Nylon about to part (about 25 to 40 %, rope makers' figures from memory): a gust that wants more is none. */
const MOST_STRETCH = 0.25;

/** For a rode of unknown make: nylon at a working load (from memory: about 5 % at 5 % of its strength). */
const UNKNOWN_STRETCH = 0.05;
