/** The catenary read backwards: the boat lies so far off, so what does she pull? */
import { type Catenary, LEVEL_SEABED, type NoCatenary, type Seabed, solveCatenary } from "./catenary.ts";
import { type Line, lineLengthM } from "./rode.ts";
import { findRoot } from "./root.ts";

export type NoLoad = NoCatenary | { ok: false; reason: "beyond-reach" };

/** No boat pulls harder, N: more means that the line is too short to reach so far. */
const GREATEST_LOAD_N = 1e10;

/**
 * The load and catenary that put the roller `reachM` from the anchor, horizontally. At or inside the slack limit
 * the load is 0 and the line lies heaped below the boat (`reachM` of the answer is then that limit). Elastic
 * lines can be drawn beyond their own length; one that cannot is `beyond-reach`.
 */
export function catenaryAtReach(
  heightM: number,
  out: Line,
  reachM: number,
  seabed: Seabed = LEVEL_SEABED,
): Catenary | NoLoad {
  const slack = solveCatenary(heightM, out, 0, seabed);
  if (!slack.ok || reachM <= slack.reachM) return slack;
  const reachAt = (loadN: number): number => {
    const at = solveCatenary(heightM, out, loadN, seabed);
    return at.ok ? at.reachM : Number.NaN;
  };
  const weightN = out.chain.weightNPerM * out.chain.lengthM + out.rope.weightNPerM * out.rope.lengthM;
  let hi = Math.max(1, weightN);
  while (!(reachAt(hi) >= reachM)) {
    hi *= 8;
    if (!(hi <= GREATEST_LOAD_N)) return { ok: false, reason: "beyond-reach" };
  }
  const { x: loadN } = findRoot((load) => reachAt(load) - reachM, {
    lo: 0,
    hi,
    toleranceX: hi * 1e-13,
    toleranceF: lineLengthM(out) * 1e-13,
  });
  return solveCatenary(heightM, out, loadN, seabed);
}
