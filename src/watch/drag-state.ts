/** What the drag watch remembers: plain data, the same size after ten hours as after one. */
import type { Position } from "../units/position.ts";
import type { AnchorFit } from "./anchor-fit.ts";
import { COARSE_S, FINE_S, type Lie, NO_RESULT, type TestResult } from "./drag-test.ts";
import { emptyRing, type LieSum, NO_LIE } from "./lie-history.ts";
import type { ReachTable } from "./reach-table.ts";
import type { ReceiverProfile } from "./receiver.ts";
import { type Suspicion, UNSUSPICIOUS } from "./suspicion.ts";

/** One hold of the anchor: from an act that placed it to the next. */
export interface Hold {
  /** Where it was placed, and by what act (its time): a change of either begins a new hold. */
  anchor: Position;
  placedMs: number;
  uncertaintyM: number;
  /** What is taken for the receiver's wander in that place, m; undefined: it was not the receiver's fix. */
  fixSdM: number | undefined;
  rodeM: number | undefined;
  /** Rode out when the windows began. */
  begunRodeM: number | undefined;
  fit: AnchorFit;
  /** Reach reckoned for the present load, and its slow mean while the fit was taught, m. */
  reachM: number;
  loadN: number | undefined;
  taughtReachM: number | undefined;
  /** Wind load while the fit was taught, slow mean of its logarithm; undefined: no wind then. */
  taughtLoadN: number | undefined;
  /** Since she has ridden to it; undefined: not brought up yet. */
  ridingMs: number | undefined;
  lie: Lie;
  fineSum: LieSum;
  coarseSum: LieSum;
  /** Seconds put into the open bins. */
  fineS: number;
  coarseS: number;
  /** Coarse bins taught so far, counted as the ring counts. */
  taught: number;
  /** Seconds of unbroken velocity. */
  wayS: number;
  /** No statistic until then: she falls back on new rode. */
  graceUntilMs: number;
  suspicious: Suspicion;
  /** A new level of the receiver: its step is measured once, then taken off. */
  level: { sinceMs: number; m: number | undefined } | undefined;
  tier: Tier;
  result: TestResult;
}

export interface Tier {
  /** The statistic as a share of the alarm's threshold. */
  strength: number;
  /** Since when it has stood over the warning's threshold, or under where a warning ends. */
  over: { sinceMs: number } | undefined;
  under: { sinceMs: number } | undefined;
  warning: { sinceMs: number; movedM: number; fromMs: number } | undefined;
  /** Never ends by itself. */
  alarm: { atMs: number; fromMs: number } | undefined;
  caution: boolean;
}

export const NO_TIER: Tier = {
  strength: 0,
  over: undefined,
  under: undefined,
  warning: undefined,
  alarm: undefined,
  caution: false,
};

export interface DragState {
  hold: Hold | undefined;
  reach: ReachTable | undefined;
  /** Smoothed depth under the boat, wind load over 12 s, and over some minutes: what gusts rise from. */
  depthM: number | undefined;
  loadN: number | undefined;
  steadyN: number | undefined;
  receivers: ReceiverProfile[];
  source: string | undefined;
  newLevelMs: number | undefined;
  lastFixMs: number | undefined;
  lastFixAt: Position | undefined;
}

export function beginDrag(): DragState {
  return {
    hold: undefined,
    reach: undefined,
    depthM: undefined,
    loadN: undefined,
    steadyN: undefined,
    receivers: [],
    source: undefined,
    newLevelMs: undefined,
    lastFixMs: undefined,
    lastFixAt: undefined,
  };
}

const FINE_BINS = 150;
const COARSE_BINS = 190;

export function emptyLie(): Lie {
  return { fine: emptyRing(FINE_S, FINE_BINS), coarse: emptyRing(COARSE_S, COARSE_BINS) };
}

export function holdOf(start: {
  anchor: Position;
  placedMs: number;
  uncertaintyM: number;
  fixSdM: number | undefined;
  rodeM: number | undefined;
  fit: AnchorFit;
}): Hold {
  return {
    ...start,
    ...freshWindows(),
    begunRodeM: start.rodeM,
    ridingMs: undefined,
    reachM: 0,
    loadN: undefined,
    taughtReachM: undefined,
    taughtLoadN: undefined,
  };
}

/** Empty windows, nothing found: what every re-base begins with. */
export function freshWindows() {
  return {
    lie: emptyLie(),
    fineSum: NO_LIE,
    coarseSum: NO_LIE,
    fineS: 0,
    coarseS: 0,
    taught: 0,
    wayS: 0,
    graceUntilMs: 0,
    suspicious: UNSUSPICIOUS,
    level: undefined,
    tier: NO_TIER,
    result: NO_RESULT,
  };
}
