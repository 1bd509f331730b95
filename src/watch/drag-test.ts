/**
 * The test for a moved anchor: the mean excess over many windows against what it wanders by when the anchor
 * holds (a likelihood ratio over an unknown onset: Page 1954, Lorden 1971, from memory), with the velocity as a
 * second witness where it is alive. In: history, fit, spread; out: figures. It decides nothing.
 */
import type { Vector } from "../units/angle.ts";
import { type AnchorFit, expectedM, expectedVar, type Lying } from "./anchor-fit.ts";
import { type LieMean, type LieRing, lieOver } from "./lie-history.ts";
import { isLearnt, type Spread, varianceNow, wanderSdM } from "./spread.ts";

export interface Lie {
  fine: LieRing;
  coarse: LieRing;
}

export interface TestInput {
  lie: Lie;
  fit: AnchorFit;
  spread: Spread;
  /** The velocity may be called as a witness. */
  alive: boolean;
  /** The receiver's own quick wander where the velocity tells it, m. */
  astraySdM: number | undefined;
  /** 0 to 1: the load is beyond what the fit was taught under. */
  hardened: number;
  /** Bins with unbroken velocity behind us. */
  wayS: number;
  /** A receiver's step to a new level, which is not motion, m. */
  levelM: number;
  /** Least standard deviation, of a receiver that moves in steps, m. */
  stepM: number;
  /** By how much the reach reckoned for the present load differs from what it was while the fit was taught, m. */
  reachGapM: number;
  /** What a gust just now may bring her out by beyond that, m: it goes back by itself. */
  gustM: number;
}

export interface TestResult {
  /** Greatest standardised excess of any window: what makes teaching stop. */
  suspicion: number;
  /** Slow and fast test with all allowances made; 0 when nothing speaks for a move. */
  slow: number;
  fast: number;
  movedM: number;
  sdM: number;
  /** Length of the window that speaks loudest, s. */
  overS: number;
  u: Vector;
}

export const FINE_S = 5;
export const COARSE_S = 40;
const TEST_WINDOWS_S = [10, 20, 40, 80, 160, 320, 640, 1280, 2560, 5120] as const;
const FINE_MOST_S = 640;
/** By position alone the shortest windows are only the receiver's jitter. */
const BLIND_LEAST_S = 40;
/** Variance of what no model has: 0.6 m squared. */
const REST_VAR = 0.36;
/** And what changes over hours without the anchor moving: rode, sea, load. A judgement. */
const DRIFT_VAR_PER_S = 0.36 / 1280;
const CORRELATED = 1.15;
const FLOOR_SHARE = 0.06;
/** Stretch and catenary are reckoned from nominal figures: what they add under an unusual load is good to this. */
const GAP_SHARE = 0.35;

interface Window {
  windowS: number;
  mean: LieMean;
  residualM: number;
  sdM: number;
}

/** Mean over the last so many seconds, ending `backS` ago. */
export function lieFor({ fine, coarse }: Lie, windowS: number, backS: number): LieMean | undefined {
  if (windowS + backS <= FINE_MOST_S + 3 * FINE_S)
    return lieOver(fine, Math.round(windowS / FINE_S), Math.round(backS / FINE_S));
  return lieOver(coarse, Math.round(windowS / COARSE_S), Math.round(backS / COARSE_S));
}

function windowOf(input: TestInput, windowS: number): Window | undefined {
  const mean = lieFor(input.lie, windowS, 0);
  if (mean === undefined) return undefined;
  const { fit, spread } = input;
  const wander = wanderSdM(spread, true);
  const place = Math.max(expectedVar(fit, mean), FLOOR_SHARE * wander * wander);
  const wandered = Math.max(
    CORRELATED * varianceNow(spread, windowS, input.alive ? input.astraySdM : undefined),
    input.stepM ** 2,
  );
  const variance =
    wandered + place + REST_VAR + DRIFT_VAR_PER_S * windowS + (GAP_SHARE * input.reachGapM) ** 2;
  return {
    windowS,
    mean,
    residualM: mean.excessM - baselineM(input, mean) - input.levelM - gustShareM(input, windowS),
    sdM: Math.sqrt(variance),
  };
}

/** A gust fills short windows, and is soon thinned out in long ones. */
function gustShareM({ gustM }: TestInput, windowS: number): number {
  return gustM * Math.min(1, GUST_S / windowS);
}

const GUST_S = 40;

/** What she lay inside her bound by in a lighter wind, she need not in this one. */
function baselineM({ fit, hardened }: TestInput, lying: Lying): number {
  const expected = expectedM(fit, lying);
  return expected + hardened * Math.max(0, -expected);
}

export const NO_RESULT: TestResult = {
  suspicion: 0,
  slow: 0,
  fast: 0,
  movedM: 0,
  sdM: 0,
  overS: 0,
  u: { north: 0, east: 0 },
};

/** All windows that are full by now. */
export function testDrag(input: TestInput): TestResult {
  let result = NO_RESULT;
  const strayM = strayAllowanceM(input);
  const strict = strictness(input);
  let best = 0;
  let loudest: Window | undefined;
  let usual: Window | undefined;
  for (const window of windowsOf(input)) {
    const { windowS, residualM, sdM } = window;
    const slow = slowStatistic(input, window, strayM);
    const fast = windowS <= FINE_MOST_S ? fastStatistic(input, window, strayM) : 0;
    result = {
      ...result,
      suspicion: Math.max(result.suspicion, residualM / sdM),
      slow: Math.max(result.slow, slow / Math.max(LEAST_STRICT_SLOW, strict)),
      fast: Math.max(result.fast, fast / strict),
    };
    if (windowS <= SHOWN_S) usual = window;
    if (Math.max(slow, fast) <= best) continue;
    best = Math.max(slow, fast);
    loudest = window;
  }
  // The mean of the usual window lags behind a runaway, which a shorter one sees.
  const shown = loudest !== undefined && loudest.windowS < SHOWN_S ? loudest : usual;
  if (shown === undefined) return result;
  const { residualM: movedM, sdM, mean } = shown;
  return { ...result, overS: loudest?.windowS ?? 0, movedM, sdM, u: mean.u };
}

/** Those that are full by now, the shortest first. */
function windowsOf(input: TestInput): Window[] {
  return TEST_WINDOWS_S.filter((windowS) => windowS >= BLIND_LEAST_S || input.astraySdM !== undefined)
    .map((windowS) => windowOf(input, windowS))
    .filter((window) => window !== undefined);
}

const SHOWN_S = 40;
/** The alarm threshold in standard deviations; allowances are written so that it stays the same for all. */
export const ALARM_Z = 4.6;

/** An excursion of the receiver is over within a quarter of an hour: long windows dilute it. */
const STRAY_FADES_S = 450;
/**
 * How far this receiver may stray by itself: as far as it has been seen to, or as receivers of its wander do. The
 * more one wanders, the heavier its tail: with the square, and beyond what a middling one does, faster still (a
 * judgement after few recordings).
 */
const STRAY_PER_M2 = 1;
const WILD_SD_M = 2.5;
const STRAY_PER_WILD_M = 10;
const MOST_STRAY_M = 45;

function strayAllowanceM(input: TestInput): number {
  const sdM = receiverSdM(input);
  const usualM = STRAY_PER_M2 * sdM * sdM + STRAY_PER_WILD_M * Math.max(0, sdM - WILD_SD_M);
  return Math.min(MOST_STRAY_M, Math.max(usualM, input.spread.strayM));
}

/**
 * The receiver's share of the wander: by a living velocity what it tells; else how she lies, which has the boat in
 * it, and whichever is more while the velocity's worth is not known.
 */
function receiverSdM({ spread, astraySdM, alive }: TestInput): number {
  const lyingM = Math.max(wanderSdM(spread, true), isLearnt(spread) ? wanderSdM(spread, false) : 0);
  if (astraySdM === undefined) return lyingM;
  return alive ? Math.min(lyingM, astraySdM) : Math.max(lyingM, astraySdM);
}

const USUAL_SD_M = 2;
const STRICTER_BY = 0.32;
const LEAST_STRICT = 0.8;
/** The slow test rests on the boat as much as on the receiver. */
const LEAST_STRICT_SLOW = 0.87;
const MOST_STRICT = 1.3;
const BLIND_STRICT = 1.1;

/**
 * Factor on the thresholds: a receiver seen to be steady needs less of a sign than a wild one, whose error is not
 * the normal one that standard deviations stand for. Without a living velocity nobody has seen which it is.
 */
function strictness({ astraySdM }: TestInput): number {
  if (astraySdM === undefined) return BLIND_STRICT;
  const factor = 1 + STRICTER_BY * Math.log(astraySdM / USUAL_SD_M);
  return Math.min(MOST_STRICT, Math.max(LEAST_STRICT, factor));
}

function slowStatistic(input: TestInput, window: Window, strayM: number): number {
  const { windowS, residualM, sdM } = window;
  const allowedM = strayM * Math.min(1, STRAY_FADES_S / windowS);
  const aloneM = residualM / (sdM + allowedM / ALARM_Z);
  if (!input.alive) return aloneM;
  const witnessS = 2 * windowS + 60;
  const wayM = wayBeyondM(input, witnessS);
  if (wayM === undefined) return aloneM;
  const waySdM = Math.sqrt(input.spread.wayVar * witnessS + 1);
  const seenM = Math.min(residualM, wayM + 1.5 * waySdM);
  return seenM / (sdM + Math.min(allowedM, WITNESS_SD * waySdM) / ALARM_Z);
}

/**
 * Outward way by the velocity over so long, less what brought her from slack rode to her bound: a boat that runs
 * out to her rode after a lull has gone far and dragged nothing. Undefined across a gap of the velocity.
 */
function wayBeyondM(input: TestInput, overS: number): number | undefined {
  if (overS + START_S > input.wayS) return undefined;
  const way = lieFor(input.lie, overS, 0);
  const start = lieFor(input.lie, START_S, overS);
  if (way === undefined || start === undefined) return undefined;
  const slackM = start.excessM - expectedM(input.fit, start);
  // The excess is clamped: how slack she was below that is not known, so nothing of her way counts.
  return slackM < SLACK_M ? Math.min(0, way.wayM) : way.wayM + Math.min(0, slackM);
}

const START_S = 40;
const SLACK_M = -2.5;
const WITNESS_SD = 2.5;
const CAP = 1.5;
const HALF_STRAY = 0.5;

/** Position and velocity together, neither trusted much further than the other. 0 without a living velocity. */
function fastStatistic(input: TestInput, window: Window, strayM: number): number {
  if (!input.alive) return 0;
  const overS = 2.5 * window.windowS + 20;
  const wayM = wayBeyondM(input, overS);
  if (wayM === undefined) return 0;
  const wayVar = input.spread.wayVar * overS + 1;
  const { residualM, sdM } = window;
  const byPosition = residualM / (sdM + (HALF_STRAY * strayM) / ALARM_Z);
  const byWay = wayM / Math.sqrt(wayVar);
  const weight = 1 / sdM ** 2 + 1 / wayVar;
  const together = (residualM / sdM ** 2 + wayM / wayVar) / weight;
  return Math.max(0, Math.min(together * Math.sqrt(weight), CAP * Math.min(byPosition, byWay)));
}
