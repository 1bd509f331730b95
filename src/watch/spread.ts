/**
 * How far the excess wanders while the anchor holds: receiver, surge and yaw together, for each length of
 * window. Learnt from what is already past and was not suspicious, from a prior that stands for a receiver
 * nobody knows yet; and how lively it is just now against what was learnt. All in metres or m².
 */

/** Variances of window means. Plain data: the part of a receiver's profile that nights hand on. */
export interface Spread {
  /** Variance of the mean over each of WINDOWS_S, m². */
  variance: number[];
  /** Seconds' worth of what stands behind them. */
  weightS: number;
  /** Mean square of second differences (20 s means a minute apart): over a quarter of an hour, and learnt. */
  bendNow: number;
  bendLearnt: number;
  /** Variance per second of the outward way by velocity, m²/s, over two minutes. */
  wayVar: number;
  /** The farthest it went and came back from by itself, m. */
  strayM: number;
}

/** Windows whose variance is learnt, seconds; the shortest two tests share the first. */
export const WINDOWS_S = [40, 80, 160, 320, 640, 1280, 2560, 5120] as const;

const PRIOR_SD_M = 2.5;
const PRIOR_TAU_S = 300;
const PRIOR_S = 40 * 60;
const LONGEST_S = 6 * 3600;
/** What of a former night counts as known on the next, seconds. */
const HANDED_ON_S = 2 * 3600;
const PRIOR_WAY_VAR = 0.05;

/** Variance of a w-mean of a Gauss-Markov process (textbook). */
export function windowVariance(sdM: number, tauS: number, windowS: number): number {
  const share = tauS / windowS;
  return sdM * sdM * 2 * share * (1 - share * (1 - Math.exp(-1 / share)));
}

export function unknownSpread(): Spread {
  const near = Math.exp(-BEND_LAG_S / PRIOR_TAU_S);
  const bend = PRIOR_SD_M ** 2 * (6 - 8 * near + 2 * near * near);
  return {
    variance: WINDOWS_S.map((windowS) => windowVariance(PRIOR_SD_M, PRIOR_TAU_S, windowS)),
    weightS: PRIOR_S,
    bendNow: bend,
    bendLearnt: bend,
    wayVar: PRIOR_WAY_VAR,
    strayM: 0,
  };
}

/** A new night with a receiver that has been watched before. */
export function handedOn(spread: Spread): Spread {
  return {
    ...spread,
    variance: [...spread.variance],
    weightS: Math.min(HANDED_ON_S, spread.weightS),
    bendNow: spread.bendLearnt,
    strayM: spread.strayM * STRAY_KEPT,
  };
}

const STRAY_KEPT = 0.95;
/** Beyond what the worst receivers recorded stray (59 m) it was a jump, and says nothing of wandering. */
const JUMP_M = 60;

/** It has been seen to stray so far, and it was the receiver: one figure for each way that it was measured. */
export function strayed({ strayM }: Spread, ...seenM: number[]): number {
  return Math.max(strayM, ...seenM.filter((metres) => metres <= JUMP_M));
}

export const BEND_LAG_S = 60;
const CLIP = 9;
/** Only half of the time she is outward of the mean: each such sample stands for both halves. */
const BOTH_SIDES = 2;

function learn(before: number, squared: number, stepS: number, overS: number): number {
  if (!Number.isFinite(squared)) return before;
  const gain = Math.min(1, stepS / overS);
  return before + (Math.min(squared, CLIP * before) - before) * gain;
}

/**
 * A past window's residual, m: `index` in WINDOWS_S, so many seconds since the last one. Only outward ones count:
 * inward she may lie anyhow, and that says nothing of how far out she goes. In place.
 */
export function learnWindow(spread: Spread, index: number, residualM: number, stepS: number): void {
  if (!(residualM > 0)) return;
  const overS = Math.max(spread.weightS, 4 * (WINDOWS_S[index] ?? 0));
  spread.variance[index] = learn(spread.variance[index] ?? 1, residualM ** 2, BOTH_SIDES * stepS, overS);
}

/** Time has been taught: what is known weighs more. In place. */
export function grown(spread: Spread, stepS: number): void {
  spread.weightS = Math.min(LONGEST_S, spread.weightS + stepS);
}

const BEND_NOW_S = 900;

/** A second difference, some minutes old; taught also to the long run when nothing is suspicious. In place. */
export function learnBend(spread: Spread, bendM: number, stepS: number, calm: boolean): void {
  if (!Number.isFinite(bendM)) return;
  const clipped = Math.min(bendM ** 2, CLIP * spread.bendLearnt);
  spread.bendNow += (clipped - spread.bendNow) * (stepS / BEND_NOW_S);
  if (calm) spread.bendLearnt = learn(spread.bendLearnt, bendM ** 2, stepS, spread.weightS);
}

/** Outward way by velocity over `overS`. In place. */
export function learnWay(spread: Spread, wayM: number, overS: number, stepS: number): void {
  spread.wayVar = Math.max(1e-3, learn(spread.wayVar, wayM ** 2 / overS, stepS, spread.weightS));
}

/** Surge and yaw of a boat that is not known, m (a judgement). */
const SURGE_SD_M = 1.3;

/**
 * What is left of a stranger's variance when its velocity shows how far it goes astray: the rest is the boat. As
 * she teaches, it matters less and less. `astrayM` undefined: the velocity shows nothing.
 */
export function strangerShare(spread: Spread, astrayM: number | undefined): number {
  if (astrayM === undefined) return 1;
  const share = Math.min(1, (astrayM ** 2 + SURGE_SD_M ** 2) / PRIOR_SD_M ** 2);
  return 1 - (1 - knownShare(spread)) * (1 - share);
}

const CALMER = 0.3;
/** A receiver that is known to wander is not trusted for one quiet quarter of an hour. */
const CALMER_LEARNT = 0.9;
const LIVELIER = 9;

/** By how much the variance now exceeds the learnt one. */
export function liveliness(spread: Spread): number {
  const least = CALMER + (CALMER_LEARNT - CALMER) * knownShare(spread);
  return Math.min(LIVELIER, Math.max(least, spread.bendNow / spread.bendLearnt));
}

/** Variance of a w-mean now, m²; windows shorter than the first count as the first. `astrayM` as above. */
export function varianceNow(spread: Spread, windowS: number, astrayM: number | undefined): number {
  const index = Math.max(0, Math.round(Math.log2(windowS / WINDOWS_S[0])));
  const lively = liveliness(spread);
  const share = strangerShare(spread, astrayM);
  return (spread.variance[index] ?? 1) * (lively < 1 ? Math.min(lively, share) : lively * share);
}

/** One sigma of the wander: long run, or now. */
export function wanderSdM(spread: Spread, now: boolean): number {
  return Math.sqrt((spread.variance[0] ?? 1) * (now ? liveliness(spread) : 1));
}

/** From 0, a stranger, to 1, learnt. */
function knownShare({ weightS }: Spread): number {
  return Math.min(1, Math.max(0, (weightS - PRIOR_S) / LEARNT_S));
}

/** Enough is known of this receiver for the circle to be drawn closer than for a stranger. */
export function isLearnt(spread: Spread): boolean {
  return spread.weightS >= PRIOR_S + LEARNT_S;
}

const LEARNT_S = 3600;
