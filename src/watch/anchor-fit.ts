/**
 * Where the anchor lies and how long the rode really is, from the boat's own swinging: the circle fit with known
 * radius, linearised, as a four-state Kalman filter (Bayesian recursive least squares, textbook form).
 *
 *     e = c + δ·u(θ) + s·x + noise
 *
 * e: range less reckoned reach; c: error of the reach; δ: error of the anchor's place, north and east; u: unit
 * vector from the anchor to the boat; x: stretch reckoned for the load she lies under; s: by what share more the
 * rope gives than was reckoned. Metres throughout.
 */
import { lengthOf, type Vector } from "../units/angle.ts";

/** Estimate and covariance; the order of states is c, north, east, s. */
export interface AnchorFit {
  state: [c: number, north: number, east: number, stretch: number];
  /** Rows one after the other. */
  cov: number[];
  /** Where the place was first thought to differ: δ before she taught anything. */
  guess: Vector;
  /** What learning may never pass: |c|, and |δ|. */
  mostC: number;
  mostDelta: number;
}

export interface FitPrior {
  reachSdM: number;
  placeSdM: number;
  /** Where the place is already thought to differ, as from the bearing she fell back on. */
  delta: Vector;
  mostC: number;
}

/** How she lay: direction from the anchor, and the stretch reckoned, m. */
export interface Lying {
  u: Vector;
  stretchM: number;
}

const PLACE_LIMIT_SD = 3;
/**
 * What nylon gives is known within a factor of two or so: new soft rope has an EA of 1 to 1.3 times its breaking
 * load, mooring practice reckons with 5, and twice is what the tackle takes (a judgement between them).
 */
const STRETCH_SD = 0.5;
const MOST_STRETCH = 1.5;
const N = 4;
const STRETCH = 3;

export function fitFrom({ reachSdM, placeSdM, delta, mostC }: FitPrior): AnchorFit {
  const variances = [reachSdM, placeSdM, placeSdM, STRETCH_SD].map((sd) => sd * sd);
  return {
    state: [0, delta.north, delta.east, 0],
    cov: variances.flatMap((variance, i) => variances.map((_, j) => (i === j ? variance : 0))),
    guess: delta,
    mostC,
    mostDelta: PLACE_LIMIT_SD * placeSdM + Math.hypot(delta.north, delta.east),
  };
}

function regressor({ u, stretchM }: Lying): number[] {
  return [1, u.north, u.east, stretchM];
}

/** What the fit expects of the excess when she lies so. */
export function expectedM({ state }: AnchorFit, { u, stretchM }: Lying): number {
  return state[0] + state[1] * u.north + state[2] * u.east + state[STRETCH] * stretchM;
}

/** Variance of that expectation, m². */
export function expectedVar({ cov }: AnchorFit, lying: Lying): number {
  const by = regressor(lying);
  return dot(times(cov, by), by);
}

function times(cov: readonly number[], by: readonly number[]): number[] {
  return by.map((_, row) => dot(cov.slice(row * N, row * N + N), by));
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < N; i++) sum += (a[i] ?? 0) * (b[i] ?? 0);
  return sum;
}

/** One measurement: mean excess `e` over a while, how she lay in it, and its variance. In place. */
export function teach(fit: AnchorFit, lying: Lying, e: number, variance: number): void {
  measure(fit, regressor(lying), e, variance);
}

/** A measurement of any sum of the states, `by` their shares. In place. */
function measure(fit: AnchorFit, by: readonly number[], value: number, variance: number): void {
  const toward = times(fit.cov, by);
  const total = dot(toward, by) + variance;
  const surprise = value - dot(fit.state, by);
  const [c, north, east, stretch] = fit.state.map(
    (value, i) => value + ((toward[i] ?? 0) / total) * surprise,
  );
  fit.state = [
    clamp(c ?? 0, fit.mostC),
    ...limited(north ?? 0, east ?? 0, fit.mostDelta),
    clamp(stretch ?? 0, MOST_STRETCH),
  ];
  fit.cov = fit.cov.map(
    (value, i) => value - ((toward[Math.floor(i / N)] ?? 0) * (toward[i % N] ?? 0)) / total,
  );
}

/**
 * The first guess of the place turns out to have been better or worse than was thought: variances of it on each
 * axis, m². Better, it counts as one more measurement, of what is missing (information adds up); worse, what came
 * of it is loosened, and she teaches it anew. In place.
 */
export function placeKnownTo(fit: AnchorFit, fromVar: number, toVar: number): void {
  if (toVar >= fromVar) {
    loosen(fit, 0, toVar - fromVar);
    fit.mostDelta = Math.max(fit.mostDelta, PLACE_LIMIT_SD * Math.sqrt(toVar) + lengthOf(fit.guess));
    return;
  }
  const variance = 1 / (1 / toVar - 1 / fromVar);
  measure(fit, [0, 1, 0, 0], fit.guess.north, variance);
  measure(fit, [0, 0, 1, 0], fit.guess.east, variance);
}

/** Lets what was learnt grow old: so many m² more for c, and for the place on each axis. In place. */
export function loosen(fit: AnchorFit, cVar: number, placeVar: number): void {
  [cVar, placeVar, placeVar].forEach((by, i) => {
    fit.cov[i * N + i] = (fit.cov[i * N + i] ?? 0) + by;
  });
}

/**
 * The anchor has dug in toward the boat, `u`: so far on the mean, give or take so much; without a direction the
 * place is only less sure. In place.
 */
export function settled(fit: AnchorFit, u: Vector, byM: number, sdM: number): void {
  const length = Math.hypot(u.north, u.east);
  if (length === 0) {
    loosen(fit, 0, (byM * byM + sdM * sdM) / 2);
    return;
  }
  const along = [0, u.north / length, u.east / length, 0];
  const by = { north: (along[1] ?? 0) * byM, east: (along[2] ?? 0) * byM };
  fit.state[1] += by.north;
  fit.state[2] += by.east;
  fit.guess = { north: fit.guess.north + by.north, east: fit.guess.east + by.east };
  fit.cov = fit.cov.map(
    (value, i) => value + (along[Math.floor(i / N)] ?? 0) * (along[i % N] ?? 0) * sdM * sdM,
  );
}

/** After rode was veered or shortened: anchor and rope stay, the reach is as unsure as on the first day. */
export function newReach(fit: AnchorFit, reachSdM: number, mostC: number): void {
  fit.state[0] = 0;
  fit.cov = fit.cov.map((value, i) => (i < N || i % N === 0 ? 0 : value));
  fit.cov[0] = reachSdM * reachSdM;
  fit.mostC = mostC;
}

/** One sigma of the place, the larger axis, m. */
export function placeSdM({ cov }: AnchorFit): number {
  const [nn = 0, ne = 0, ee = 0] = [cov[N + 1], cov[N + 2], cov[2 * N + 2]];
  const half = (nn + ee) / 2;
  return Math.sqrt(Math.max(0, half + Math.hypot((nn - ee) / 2, ne)));
}

function clamp(value: number, most: number): number {
  return Math.min(most, Math.max(-most, value));
}

function limited(north: number, east: number, most: number): [number, number] {
  const length = Math.hypot(north, east);
  const share = length > most ? most / length : 1;
  return [north * share, east * share];
}
