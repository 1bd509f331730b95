/** Scope: rode out over the height of the roller above the seabed, and the target for it by wind. */
import { MINUTE_MS } from "../units/time.ts";

export interface ScopeStep {
  /** From this wind (equivalent wind, 10-minute mean) on. */
  windMps: number;
  ratio: number;
}

/** Undefined where there is no height to measure by. */
export function scopeOf(rodeM: number, heightM: number): number | undefined {
  return heightM > 0 ? rodeM / heightM : undefined;
}

/** Height of the roller above the seabed that counts: water, roller, and the rise of tide still to come. */
export function heightAtRollerM(depthM: number, rollerHeightM: number, riseM: number | undefined): number {
  return depthM + rollerHeightM + (riseM ?? 0);
}

/**
 * Target for a wind: the largest ratio of the steps that it reaches; below them all the lowest step's.
 * Undefined only when there are no steps.
 */
export function targetScope(steps: readonly ScopeStep[], windMps: number): number | undefined {
  return largestOr(lowestStep(steps), (step) => windMps >= step.windMps, steps);
}

/** When each step was last reached. Plain data: kept, restored and replayed with the watch. */
export interface TargetState {
  reached: readonly { windMps: number; atMs: number }[];
}

export const NO_TARGET_YET: TargetState = { reached: [] };

/** A target comes down only when the wind has stayed below its step for this long. */
export const SETTLE_MS = 30 * MINUTE_MS;

/**
 * Target in force: up at once, down only after 30 minutes below the step. Steps reached within that time stay in
 * force; calling it again for the same instant changes nothing. `windMps` is the caller's best wind; what to
 * reckon with when there is none is the caller's affair too.
 */
export function settleTarget(
  state: TargetState,
  windMps: number,
  steps: readonly ScopeStep[],
  atMs: number,
): { state: TargetState; ratio: number | undefined } {
  const reached: { windMps: number; atMs: number }[] = [];
  for (const step of steps) {
    const before = state.reached.find((past) => past.windMps === step.windMps)?.atMs;
    const lastMs = windMps >= step.windMps ? atMs : before;
    if (lastMs !== undefined && atMs - lastMs < SETTLE_MS)
      reached.push({ windMps: step.windMps, atMs: lastMs });
  }
  const inForce = (step: ScopeStep): boolean => reached.some((past) => past.windMps === step.windMps);
  return { state: { reached }, ratio: largestOr(lowestStep(steps), inForce, steps) };
}

/** Greatest depth at which this rode gives the ratio: the rule alone. Never below 0, which means nowhere. */
export function greatestDepthByRuleM(
  aboardM: number,
  ratio: number,
  rollerHeightM: number,
  riseM: number | undefined,
): number {
  return Math.max(0, aboardM / ratio - rollerHeightM - (riseM ?? 0));
}

export interface StepDepth extends ScopeStep {
  greatestDepthM: number;
}

/** The same for every step. */
export function greatestDepthsM(
  aboardM: number,
  steps: readonly ScopeStep[],
  rollerHeightM: number,
  riseM: number | undefined,
): StepDepth[] {
  return steps.map((step) => ({
    ...step,
    greatestDepthM: greatestDepthByRuleM(aboardM, step.ratio, rollerHeightM, riseM),
  }));
}

function lowestStep(steps: readonly ScopeStep[]): ScopeStep | undefined {
  return steps.reduce<ScopeStep | undefined>(
    (lowest, step) => (lowest === undefined || step.windMps < lowest.windMps ? step : lowest),
    undefined,
  );
}

function largestOr(
  least: ScopeStep | undefined,
  inForce: (step: ScopeStep) => boolean,
  steps: readonly ScopeStep[],
): number | undefined {
  const ratios = steps.filter(inForce).map((step) => step.ratio);
  return ratios.length === 0 ? least?.ratio : Math.max(...ratios);
}
