/**
 * Where the anchor lies and how long the rode really is, from the boat's own swinging: the circle fit with known
 * radius, linearised, as a three-state Kalman filter (Bayesian recursive least squares, textbook form).
 *
 *     e = c + δ·u(θ) + noise
 *
 * e: range less reckoned reach; c: error of the reach; δ: error of the anchor's place, north and east; u: unit
 * vector from the anchor to the boat. Metres throughout.
 */
import type { Vector } from "../units/angle.ts";

/** Estimate and covariance; the order of states is c, north, east. Upper triangle: cc, cn, ce, nn, ne, ee. */
export interface AnchorFit {
  state: [c: number, north: number, east: number];
  cov: [cc: number, cn: number, ce: number, nn: number, ne: number, ee: number];
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

const PLACE_LIMIT_SD = 3;

export function fitFrom({ reachSdM, placeSdM, delta, mostC }: FitPrior): AnchorFit {
  const place = placeSdM * placeSdM;
  return {
    state: [0, delta.north, delta.east],
    cov: [reachSdM * reachSdM, 0, 0, place, 0, place],
    mostC,
    mostDelta: PLACE_LIMIT_SD * placeSdM + Math.hypot(delta.north, delta.east),
  };
}

/** What the fit expects of the excess in direction `u`. */
export function expectedM(fit: AnchorFit, u: Vector): number {
  return fit.state[0] + fit.state[1] * u.north + fit.state[2] * u.east;
}

/** Variance of that expectation, m². */
export function expectedVar(fit: AnchorFit, u: Vector): number {
  const [cc, cn, ce, nn, ne, ee] = fit.cov;
  const { north, east } = u;
  return cc + 2 * (cn * north + ce * east) + nn * north * north + 2 * ne * north * east + ee * east * east;
}

/** One measurement: mean excess `e` over a while with mean direction `u`, and its variance. In place. */
export function teach(fit: AnchorFit, u: Vector, e: number, variance: number): void {
  const [cc, cn, ce, nn, ne, ee] = fit.cov;
  const gain: [number, number, number] = [
    cc + cn * u.north + ce * u.east,
    cn + nn * u.north + ne * u.east,
    ce + ne * u.north + ee * u.east,
  ];
  const total = expectedVar(fit, u) + variance;
  const surprise = e - expectedM(fit, u);
  const [kc, kn, ke] = gain;
  fit.state = [
    clamp(fit.state[0] + (kc / total) * surprise, fit.mostC),
    ...limited(fit.state[1] + (kn / total) * surprise, fit.state[2] + (ke / total) * surprise, fit.mostDelta),
  ];
  fit.cov = [
    cc - (kc * kc) / total,
    cn - (kc * kn) / total,
    ce - (kc * ke) / total,
    nn - (kn * kn) / total,
    ne - (kn * ke) / total,
    ee - (ke * ke) / total,
  ];
}

/** Lets what was learnt grow old: so many m² more for c, and for the place on each axis. In place. */
export function loosen(fit: AnchorFit, cVar: number, placeVar: number): void {
  fit.cov[0] += cVar;
  fit.cov[3] += placeVar;
  fit.cov[5] += placeVar;
}

/** After rode was veered or shortened: the anchor stays, the reach is as unsure as on the first day. */
export function newReach(fit: AnchorFit, reachSdM: number, mostC: number): void {
  const [, , , nn, ne, ee] = fit.cov;
  fit.state[0] = 0;
  fit.cov = [reachSdM * reachSdM, 0, 0, nn, ne, ee];
  fit.mostC = mostC;
}

/** One sigma of the place, the larger axis, m. */
export function placeSdM(fit: AnchorFit): number {
  const [, , , nn, ne, ee] = fit.cov;
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
