/** Scope against target. In: rode, heights, winds; out: the figures, and what is to be veered. */
import type { Picture } from "../instruments/picture.ts";
import { aboardM } from "../tackle/rode.ts";
import { scopeOf, settleTarget, type TargetState, targetScope } from "../tackle/scope.ts";
import { fromKn } from "../units/speed.ts";
import { HOUR_MS, MINUTE_MS } from "../units/time.ts";
import type { Heights } from "./ground.ts";
import type { WatchSettings } from "./settings.ts";
import type { TimedWind, WatchState } from "./state.ts";
import type { TackleNow } from "./tackle-now.ts";

const OPERATOR_WIND_MS = 2 * HOUR_MS;
const MEAN_STANDS_MS = 30 * MINUTE_MS;
/** Target wind when nothing at all is known of it. */
const UNKNOWN_WIND_MPS = fromKn(20);

export type WindBasis = "measured" | "last-mean" | "told" | "forecast" | "unknown";

/** The wind the target is laid for, before EXPECT: the first of these that is known. */
export function targetWind(
  state: WatchState,
  picture: Picture,
  settings: WatchSettings,
): { speedMps: number; basis: WindBasis } {
  const { windTold, lastMean } = state;
  if (picture.windMean !== undefined && picture.wind !== undefined)
    return { speedMps: picture.windMean.speedMps, basis: "measured" };
  if (lastMean !== undefined && picture.atMs - lastMean.atMs <= MEAN_STANDS_MS)
    return { speedMps: lastMean.speedMps, basis: "last-mean" };
  if (isStanding(windTold, picture.atMs)) return { speedMps: windTold.speedMps, basis: "told" };
  if (settings.forecastWindMps !== undefined)
    return { speedMps: settings.forecastWindMps, basis: "forecast" };
  return { speedMps: UNKNOWN_WIND_MPS, basis: "unknown" };
}

function isStanding(wind: TimedWind | undefined, atMs: number): wind is TimedWind {
  return wind !== undefined && atMs - wind.atMs <= OPERATOR_WIND_MS;
}

export interface ScopeNow {
  now: number | undefined;
  atHighWater: number | undefined;
  target: number | undefined;
  basis: WindBasis;
  /** The larger of target × height at high water and what the mechanics ask for. */
  requiredM: number | undefined;
  /** Metres to veer to reach the target at high water; 0 when there is enough. */
  shortM: number | undefined;
  aboardM: number | undefined;
}

/**
 * A wind that was only assumed for want of any must not be remembered for 30 minutes as if it had blown. What
 * was measured before stays in force meanwhile.
 */
function settledFor(
  target: TargetState,
  windMps: number,
  basis: WindBasis,
  settings: WatchSettings,
  atMs: number,
): { state: TargetState; ratio: number | undefined } {
  if (basis !== "unknown") return settleTarget(target, windMps, settings.steps, atMs);
  const assumed = targetScope(settings.steps, windMps);
  const before = settleTarget(target, 0, settings.steps, atMs);
  return { state: before.state, ratio: Math.max(assumed ?? 0, before.ratio ?? 0) || undefined };
}

export function scopeNow(
  state: WatchState,
  picture: Picture,
  heights: Heights,
  tackle: TackleNow,
  settings: WatchSettings,
): { scope: ScopeNow; target: TargetState } {
  const wind = targetWind(state, picture, settings);
  // The current pulls too: the target goes by the wind that would pull as hard as both.
  const laidFor = Math.max(tackle.equivalentWindMps ?? wind.speedMps, state.stay.expectMps ?? 0);
  const settled = settledFor(state.target, laidFor, wind.basis, settings, picture.atMs);
  const rodeM = state.stay.rode?.lengthM;
  const { forScopeM, riseM } = heights;
  const highM = forScopeM === undefined ? undefined : forScopeM + riseM;
  const byRuleM = highM === undefined || settled.ratio === undefined ? undefined : highM * settled.ratio;
  const requiredM = byRuleM === undefined ? undefined : Math.max(byRuleM, tackle.byMechanicsM ?? 0);
  return {
    target: settled.state,
    scope: {
      now: rodeM === undefined || forScopeM === undefined ? undefined : scopeOf(rodeM, forScopeM),
      atHighWater: rodeM === undefined || highM === undefined ? undefined : scopeOf(rodeM, highM),
      target: settled.ratio,
      basis: wind.basis,
      requiredM,
      shortM: byRuleM === undefined || rodeM === undefined ? undefined : Math.max(0, byRuleM - rodeM),
      aboardM: settings.rode === undefined ? undefined : aboardM(settings.rode),
    },
  };
}
