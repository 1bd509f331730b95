/**
 * A tide read off the depths that have been measured so far: a suggestion to the person on board, never a
 * fact. One semidiurnal cosine on a constant; diurnal inequality, shallow-water distortion, and the boat moving
 * over a sloping bottom are not in it, and with less than half a tide measured the uncertainty is large.
 */
import { HOUR_MS, MINUTE_MS } from "../units/time.ts";

/** Period of the principal lunar tide M2. */
export const SEMIDIURNAL_MS = 12.4206012 * HOUR_MS;
const LEAST_SPAN_MS = 2 * HOUR_MS;
const BIN_MS = 10 * MINUTE_MS;
/** No sounder and no tide is more regular than this. */
const LEAST_SD_M = 0.05;

export interface Sounding {
  atMs: number;
  depthM: number;
}

/** One standard deviation beside each value; heights in metres. */
export interface TideFit {
  meanDepthM: number;
  rangeM: number;
  rangeSdM: number;
  /** Next high and low water after the last ten minutes of the record. */
  highMs: number;
  lowMs: number;
  riseToComeM: number;
  riseSdM: number;
  fallToComeM: number;
  fallSdM: number;
}

/** Needs 2 hours of record and 8 ten-minute medians (a false echo then does not count); else undefined. */
export function fitTide(soundings: readonly Sounding[]): TideFit | undefined {
  const bins = medians(soundings);
  const first = bins[0];
  const last = bins.at(-1);
  if (first === undefined || last === undefined || bins.length < 8) return undefined;
  if (last.atMs - first.atMs < LEAST_SPAN_MS - BIN_MS) return undefined;
  const wave = fitWave(bins, first.atMs);
  return wave && read(wave, first.atMs, last.atMs);
}

/** Median depth of each ten minutes, in order of time. */
function medians(soundings: readonly Sounding[]): Sounding[] {
  const bins = new Map<number, number[]>();
  for (const { atMs, depthM } of soundings) {
    const bin = Math.floor(atMs / BIN_MS);
    const held = bins.get(bin);
    if (held) held.push(depthM);
    else bins.set(bin, [depthM]);
  }
  return [...bins]
    .sort(([a], [b]) => a - b)
    .map(([bin, depths]) => {
      const sorted = depths.sort((a, b) => a - b);
      return { atMs: (bin + 0.5) * BIN_MS, depthM: sorted[Math.floor(sorted.length / 2)] ?? Number.NaN };
    });
}

/** depth = mean + a·cos ωt + b·sin ωt, with variances and covariance of a and b. */
interface Wave {
  meanM: number;
  a: number;
  b: number;
  varA: number;
  varB: number;
  covAB: number;
}

function phase(atMs: number, originMs: number): number {
  return (2 * Math.PI * (atMs - originMs)) / SEMIDIURNAL_MS;
}

/** Ordinary least squares; the mean is taken out first, so two unknowns are left. */
function fitWave(bins: readonly Sounding[], originMs: number): Wave | undefined {
  const rows = bins.map(({ atMs, depthM }) => {
    const angle = phase(atMs, originMs);
    return { c: Math.cos(angle), s: Math.sin(angle), d: depthM };
  });
  const mean = (of: (row: (typeof rows)[number]) => number): number =>
    rows.reduce((sum, row) => sum + of(row), 0) / rows.length;
  const [c0, s0, d0] = [mean((r) => r.c), mean((r) => r.s), mean((r) => r.d)];
  const [cc, ss] = [mean((r) => (r.c - c0) ** 2), mean((r) => (r.s - s0) ** 2)];
  const cs = mean((r) => (r.c - c0) * (r.s - s0));
  const [cd, sd] = [mean((r) => (r.c - c0) * (r.d - d0)), mean((r) => (r.s - s0) * (r.d - d0))];
  const det = cc * ss - cs * cs;
  if (!(det > 1e-12)) return undefined;
  const a = (cd * ss - sd * cs) / det;
  const b = (sd * cc - cd * cs) / det;
  const meanM = d0 - a * c0 - b * s0;
  const variance = noise(rows.map((r) => r.d - meanM - a * r.c - b * r.s)) / rows.length / det;
  return { meanM, a, b, varA: variance * ss, varB: variance * cc, covAB: -variance * cs };
}

/**
 * Variance of one bin. Neighbouring residuals that go together (a boat that wanders) count as fewer; the fit
 * itself hides some of that in a short record, about 8/n (tuned on simulated nights), which is put back.
 */
function noise(residuals: readonly number[]): number {
  let square = 0;
  let lagged = 0;
  residuals.forEach((residual, i) => {
    square += residual * residual;
    lagged += residual * (residuals[i - 1] ?? 0);
  });
  const seen = square > 0 ? Math.max(0, lagged / square) : 0;
  const together = Math.min(0.9, seen + 8 / residuals.length);
  const variance = Math.max(LEAST_SD_M ** 2, square / (residuals.length - 3));
  return (variance * (1 + together)) / (1 - together);
}

function read(wave: Wave, originMs: number, nowMs: number): TideFit {
  const { a, b } = wave;
  const amplitudeM = Math.hypot(a, b);
  const ua = amplitudeM > 0 ? a / amplitudeM : 0;
  const ub = amplitudeM > 0 ? b / amplitudeM : 0;
  const now = phase(nowMs, originMs);
  const [c, s] = [Math.cos(now), Math.sin(now)];
  const levelM = a * c + b * s;
  const sdOf = (ga: number, gb: number): number =>
    Math.sqrt(Math.max(0, ga * ga * wave.varA + 2 * ga * gb * wave.covAB + gb * gb * wave.varB));
  const crestMs = originMs + (Math.atan2(b, a) / (2 * Math.PI)) * SEMIDIURNAL_MS;
  return {
    meanDepthM: wave.meanM,
    rangeM: 2 * amplitudeM,
    rangeSdM: 2 * sdOf(ua, ub),
    highMs: nextAfter(crestMs, nowMs),
    lowMs: nextAfter(crestMs + SEMIDIURNAL_MS / 2, nowMs),
    riseToComeM: amplitudeM - levelM,
    riseSdM: sdOf(ua - c, ub - s),
    fallToComeM: amplitudeM + levelM,
    fallSdM: sdOf(ua + c, ub + s),
  };
}

function nextAfter(turnMs: number, nowMs: number): number {
  return turnMs + Math.ceil((nowMs - turnMs) / SEMIDIURNAL_MS) * SEMIDIURNAL_MS;
}
