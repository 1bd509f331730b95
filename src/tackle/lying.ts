/** The part of the line that lies on the bottom, from where it touches down back to the anchor. */
import type { Line, Part } from "./rode.ts";

export interface Lying {
  /** Stretched length along the bottom. */
  lengthM: number;
  /** Tension at its far end, the anchor. */
  endTensionN: number;
}

/** The line, its horizontal load, and the bottom it lies on (slope β in radians). */
interface OnBottom extends Line {
  loadN: number;
  slope: number;
  friction: number;
}

/**
 * Rope (if any lies) comes first from the touchdown, then chain. Tension along the bottom falls by
 * w·(friction·cos β + sin β) a metre, never below nothing: a slack line lies as it was laid. Friction as in the
 * published mooring codes; the slope term is the line's weight along the bottom.
 */
export function lyingPart(on: OnBottom, chainM: number, ropeM: number): Lying {
  const fall = on.friction * Math.cos(on.slope) + Math.sin(on.slope);
  const rope = stretched(on.rope, ropeM, on.loadN / Math.cos(on.slope), fall);
  const chain = stretched(on.chain, chainM, rope.endTensionN, fall);
  return { lengthM: rope.lengthM + chain.lengthM, endTensionN: chain.endTensionN };
}

function stretched(part: Part, lengthM: number, tensionN: number, fall: number): Lying {
  const perM = part.weightNPerM * fall;
  const pulledM = perM * lengthM > tensionN ? tensionN / perM : lengthM;
  const stretchM = (pulledM * (tensionN - (perM * pulledM) / 2)) / part.stiffnessN;
  return { lengthM: lengthM + stretchM, endTensionN: tensionN - perM * pulledM };
}
