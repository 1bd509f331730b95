/**
 * The rode as a two-part catenary: chain at the anchor, rope above, lying partly on the bottom or lifted clear.
 * In: height of the roller above the seabed, the line out, the horizontal load. Out: tensions, the pull at the
 * anchor, what lies, how far the boat lies off. A rode that cannot reach the bottom is a value that says so.
 *
 * Everything hangs on one number, the load's vertical share at the roller: it is the weight of what hangs (from
 * the roller down) and, once all hangs, the lift at the anchor. Height grows with it, so one bracketed search
 * finds it. No waves, no drag of water on the line, no bending.
 */
import { toDeg, toRad } from "../units/angle.ts";
import { riseM, spanM, tension } from "./hanging.ts";
import { lyingPart } from "./lying.ts";
import { type Line, lineLengthM, type Part } from "./rode.ts";
import { findRoot } from "./root.ts";

/**
 * The bottom. `slopeDeg` is positive where it rises from the anchor towards the boat; heights count from the
 * seabed *at the anchor*, the pull angle from the slope. `friction` is the share of its weight with which a
 * lying line holds itself: 0, the cautious value, gives the anchor the whole load.
 */
export interface Seabed {
  slopeDeg: number;
  friction: number;
}

export const LEVEL_SEABED: Seabed = { slopeDeg: 0, friction: 0 };

export interface Catenary {
  ok: true;
  loadN: number;
  heightM: number;
  rollerTensionN: number;
  rollerVerticalN: number;
  /** Lift at the anchor, or at the point where the line leaves a sloping bottom. */
  liftN: number;
  /** Pull in the line at the anchor: the load less what friction takes. */
  anchorTensionN: number;
  /** Angle of the line at the anchor above the seabed; 0 while any of it lies. */
  pullDeg: number;
  /** Unstretched length on the bottom, chain and rope. */
  groundedM: number;
  groundedRopeM: number;
  /** Horizontal distance anchor to roller. With no load this is the slack limit: nearer in, the rode lies heaped. */
  reachM: number;
  iterations: number;
}

export type NoCatenary = {
  ok: false;
  reason: "bad-input" | "no-rode" | "rode-shorter-than-height" | "bottom-above-roller";
};

/** Nothing is quite weightless: a floating line counts as this, N/m. */
const LEAST_WEIGHT_N_M = 1e-3;

/** Solves for a given horizontal load (N). Elastic; chain and rope may each be of no length. */
export function solveCatenary(
  heightM: number,
  out: Line,
  loadN: number,
  seabed: Seabed = LEVEL_SEABED,
): Catenary | NoCatenary {
  const reason = refusal(heightM, out, loadN, seabed);
  if (reason !== undefined) return { ok: false, reason };
  const pulled = pull(out, loadN, seabed);
  const lengthM = lineLengthM(out);
  // A convex line of this length cannot leave the anchor steeper than the straight one: sin α ≤ h/L
  const steepestN = (loadN * heightM) / Math.sqrt((lengthM - heightM) * (lengthM + heightM));
  const hi = pulled.weightN + Math.max(0, steepestN - pulled.tangentN);
  const { x: carriedN, iterations } = findRoot((carried) => heightOf(pulled, carried) - heightM, {
    lo: 0,
    hi,
    toleranceX: hi * 1e-14,
    toleranceF: heightM * 1e-12,
  });
  return describe(pulled, carriedN, heightM, iterations);
}

function refusal(
  heightM: number,
  { chain, rope }: Line,
  loadN: number,
  { slopeDeg, friction }: Seabed,
): NoCatenary["reason"] | undefined {
  const given = [heightM, loadN, friction, chain.lengthM, rope.lengthM, chain.weightNPerM, rope.weightNPerM];
  const sane = given.every((value) => Number.isFinite(value) && value >= 0);
  if (!sane || !(chain.stiffnessN > 0 && rope.stiffnessN > 0 && Math.abs(slopeDeg) < 45)) return "bad-input";
  const lengthM = chain.lengthM + rope.lengthM;
  if (lengthM === 0) return "no-rode";
  if (lengthM <= heightM) return "rode-shorter-than-height";
  if (slopeDeg > 0 && lengthM * Math.sin(toRad(slopeDeg)) >= heightM) return "bottom-above-roller";
  return undefined;
}

/** The line under its load: all that stays the same while the search goes on. */
export interface Pull extends Line {
  loadN: number;
  weightN: number;
  /** Bottom, in radians; its friction; vertical share of the load in a line that just lies along it. */
  slope: number;
  friction: number;
  tangentN: number;
}

function pull(out: Line, loadN: number, seabed: Seabed): Pull {
  const chain = weighed(out.chain);
  const rope = weighed(out.rope);
  const slope = toRad(seabed.slopeDeg);
  return {
    chain,
    rope,
    loadN,
    weightN: chain.lengthM * chain.weightNPerM + rope.lengthM * rope.weightNPerM,
    slope,
    friction: seabed.friction,
    tangentN: loadN * Math.tan(slope),
  };
}

function weighed(part: Part): Part {
  return part.weightNPerM >= LEAST_WEIGHT_N_M ? part : { ...part, weightNPerM: LEAST_WEIGHT_N_M };
}

/** How much of a part hangs when it is given so much weight to carry. */
function hangs(part: Part, carriedN: number): number {
  return Math.min(part.lengthM, Math.max(0, carriedN / part.weightNPerM));
}

/** Height of the roller when it carries so much, beyond the pull along the bottom. */
function heightOf(pulled: Pull, carriedN: number): number {
  const { chain, rope, loadN, slope } = pulled;
  const ropeM = hangs(rope, carriedN);
  const chainM = hangs(chain, carriedN - rope.weightNPerM * rope.lengthM);
  const liftN = pulled.tangentN + Math.max(0, carriedN - pulled.weightN);
  const spliceN = liftN + chain.weightNPerM * chainM;
  const hangingM = riseM(chain, chainM, loadN, liftN) + riseM(rope, ropeM, loadN, spliceN);
  if (slope === 0) return hangingM;
  const lying = lyingPart(pulled, chain.lengthM - chainM, rope.lengthM - ropeM);
  return hangingM + lying.lengthM * Math.sin(slope);
}

function describe(pulled: Pull, carriedN: number, heightM: number, iterations: number): Catenary {
  const { chain, rope, loadN, slope } = pulled;
  const ropeM = hangs(rope, carriedN);
  const chainM = hangs(chain, carriedN - rope.weightNPerM * rope.lengthM);
  const lifted = carriedN > pulled.weightN;
  const liftN = pulled.tangentN + Math.max(0, carriedN - pulled.weightN);
  const spliceN = liftN + chain.weightNPerM * chainM;
  const rollerVerticalN = spliceN + rope.weightNPerM * ropeM;
  const groundedRopeM = rope.lengthM - ropeM;
  const groundedChainM = chain.lengthM - chainM;
  const lying = lyingPart(pulled, groundedChainM, groundedRopeM);
  const hangingSpanM = spanM(chain, chainM, loadN, liftN) + spanM(rope, ropeM, loadN, spliceN);
  return {
    ok: true,
    loadN,
    heightM,
    rollerTensionN: tension(loadN, rollerVerticalN),
    rollerVerticalN,
    liftN,
    anchorTensionN: lifted ? tension(loadN, liftN) : lying.endTensionN,
    pullDeg: lifted ? toDeg(Math.atan2(liftN, loadN) - slope) : 0,
    groundedM: groundedChainM + groundedRopeM,
    groundedRopeM,
    reachM: lying.lengthM * Math.cos(slope) + hangingSpanM,
    iterations,
  };
}
