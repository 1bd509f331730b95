/**
 * How hard a rode pulls for a given distance, by a law of the rehearsal's own: simple on purpose, and not the
 * catenary that the watch reckons with, so that neither can copy the other's mistakes.
 *
 * A rode of length L and weight W in water, from a roller h above the bottom, reaches
 *     R·q²/(q² + 1/24) + H·l/EA,   R = √(L² − h²),   q = H/W
 * under the horizontal pull H. For a taut rode the first term is the sag of a shallow parabola,
 * 1 − (W/H)²/24; with no pull it is nothing, the rode lying in a heap; and it never passes R. Of the
 * whole only the rope, l, gives: chain is a hundred times as stiff.
 */

export interface RodeForm {
  /** Aboard, metres. The chain is next to the anchor. */
  chainM: number;
  ropeM: number;
  /** Weight in water, newtons a metre. */
  chainNPerM: number;
  ropeNPerM: number;
  /** Pull that would stretch the rope to twice its length, newtons. */
  stretchN: number;
}

/** The horizontal reach of a taut rode, metres, before stretch; 0 when it does not come to the bottom. */
export function tautReachM(lengthM: number, heightM: number): number {
  return lengthM <= heightM ? 0 : Math.sqrt(lengthM * lengthM - heightM * heightM);
}

/** Distance between anchor and roller that belongs to a pull, metres. */
export function reachM(form: RodeForm, lengthM: number, heightM: number, pullN: number): number {
  return reachOf(form, lengthM, heightM)(pullN);
}

function reachOf(form: RodeForm, lengthM: number, heightM: number): (pullN: number) => number {
  const tautM = tautReachM(lengthM, heightM);
  const perN2 = 1 / weightN(form, lengthM) ** 2;
  const stretchMPerN = Math.max(0, lengthM - form.chainM) / form.stretchN;
  return (pullN) => {
    const share = pullN * pullN * perN2;
    return (tautM * share) / (share + 1 / 24) + pullN * stretchMPerN;
  };
}

const MOST_PULL_N = 100_000;
const USUAL_PULL_N = 4000;

/** The pull that belongs to a distance, newtons: `reachM` turned round by halving. */
export function pullN(form: RodeForm, lengthM: number, heightM: number, distanceM: number): number {
  if (lengthM < 0.5 || distanceM <= 0) return 0;
  const reach = reachOf(form, lengthM, heightM);
  let low = 0;
  let high = reach(USUAL_PULL_N) > distanceM ? USUAL_PULL_N : MOST_PULL_N;
  while (high - low > 0.5) {
    const middle = (low + high) / 2;
    if (reach(middle) > distanceM) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

function weightN(form: RodeForm, lengthM: number): number {
  const chainM = Math.min(form.chainM, lengthM);
  return Math.max(5, chainM * form.chainNPerM + (lengthM - chainM) * form.ropeNPerM);
}
