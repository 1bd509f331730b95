/** The least rode that keeps the pull at the anchor flat enough, and the greatest height a rode serves so. */
import { toRad } from "../units/angle.ts";
import { riseM } from "./hanging.ts";
import { type Line, lineLengthM, veered } from "./rode.ts";
import { findRoot } from "./root.ts";

/** Steeper limits mean nothing to an anchor and would make the tangent run away. */
const STEEPEST_DEG = 80;

/**
 * Height above a level bottom that the whole line gains when it leaves the anchor at the limit exactly, all of it
 * lifted: the greatest height (roller above seabed) at which it keeps the limit under this load.
 */
export function heightAtPullLimitM(out: Line, loadN: number, pullLimitDeg: number): number {
  const liftN = loadN * Math.tan(toRad(Math.min(Math.max(pullLimitDeg, 0), STEEPEST_DEG)));
  const spliceN = liftN + out.chain.weightNPerM * out.chain.lengthM;
  return (
    riseM(out.chain, out.chain.lengthM, loadN, liftN) + riseM(out.rope, out.rope.lengthM, loadN, spliceN)
  );
}

/**
 * Unstretched length to have out so that the pull at the anchor stays within the limit under this horizontal
 * load, level bottom; never less than the height. One root find: with the pull fixed at its limit the height
 * gained only grows with the length. May exceed what is aboard (then more of what ends at the boat). Undefined
 * for a line of no length. A stretching rope helps: under great loads less is needed than of a stiff one.
 */
export function leastRodeM(
  aboard: Line,
  heightM: number,
  loadN: number,
  pullLimitDeg: number,
): number | undefined {
  if (lineLengthM(aboard) === 0) return undefined;
  const lightest = lightestWeight(aboard);
  // Bounds for a line that does not stretch: horizontal pull (closed form, lightest part), or the limit's taut line
  const lyingM = Math.sqrt(heightM * heightM + (2 * heightM * loadN) / lightest);
  const sine = Math.sin(toRad(Math.min(Math.max(pullLimitDeg, 0), STEEPEST_DEG)));
  const hi = Math.min(lyingM, sine > 0 ? heightM / sine : Number.POSITIVE_INFINITY);
  return findRoot((outM) => heightAtPullLimitM(veered(aboard, outM), loadN, pullLimitDeg) - heightM, {
    lo: heightM,
    hi: Math.max(hi, heightM),
    toleranceX: Math.max(hi, heightM) * 1e-13,
    toleranceF: heightM * 1e-12,
  }).x;
}

function lightestWeight({ chain, rope }: Line): number {
  const weights = [chain, rope].filter((part) => part.lengthM > 0).map((part) => part.weightNPerM);
  return Math.max(1e-3, Math.min(...weights));
}
