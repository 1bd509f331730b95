/** The rode: chain at the anchor, rope above it. What is aboard, and what part of it is out. */
import { chainStrength, type RopeKind, ropeStrength } from "./strengths.ts";

export interface Rode {
  chainM: number;
  chainDiameterM: number | undefined;
  ropeM: number;
  ropeDiameterM: number | undefined;
  ropeKind: RopeKind | undefined;
}

/** A length of one material, as the mechanics see it. */
export interface Part {
  /** Unstretched. */
  lengthM: number;
  /** Weight in water, N/m. */
  weightNPerM: number;
  /** EA in newtons; `Infinity` for a line that does not stretch. */
  stiffnessN: number;
}

export interface Line {
  /** Made fast to the anchor. */
  chain: Part;
  /** Above the chain, up to the roller. */
  rope: Part;
}

const NOTHING: Part = { lengthM: 0, weightNPerM: 0, stiffnessN: Number.POSITIVE_INFINITY };

export function aboardM(rode: Rode): number {
  return rode.chainM + rode.ropeM;
}

export function lineLengthM(line: Line): number {
  return line.chain.lengthM + line.rope.lengthM;
}

/** The whole rode aboard with its weights and stretch; undefined when a diameter or kind is not known. */
export function lineAboard(rode: Rode): Line | undefined {
  const chain = chainPart(rode);
  const rope = ropePart(rode);
  return chain && rope && { chain, rope };
}

function chainPart({ chainM, chainDiameterM }: Rode): Part | undefined {
  if (chainM === 0) return NOTHING;
  if (chainDiameterM === undefined) return undefined;
  const { wetWeightNPerM, stiffnessN } = chainStrength(chainDiameterM);
  return { lengthM: chainM, weightNPerM: wetWeightNPerM, stiffnessN };
}

function ropePart({ ropeM, ropeDiameterM, ropeKind }: Rode): Part | undefined {
  if (ropeM === 0) return NOTHING;
  if (ropeDiameterM === undefined || ropeKind === undefined) return undefined;
  const { wetWeightNPerM, stiffnessN } = ropeStrength(ropeKind, ropeDiameterM);
  return { lengthM: ropeM, weightNPerM: wetWeightNPerM, stiffnessN };
}

/**
 * What is out when `outM` of this rode has been veered: up to the chain's length only chain, beyond it all the
 * chain and some rope. More than there is aboard is taken as more of what ends at the boat (rope, if any), so
 * that a requirement beyond the rode aboard can be named.
 */
export function veered(aboard: Line, outM: number): Line {
  const { chain, rope } = aboard;
  const chainOutM = rope.lengthM === 0 && chain.lengthM > 0 ? outM : Math.min(outM, chain.lengthM);
  const ropeOutM = rope.lengthM === 0 ? 0 : outM - chainOutM;
  return { chain: { ...chain, lengthM: chainOutM }, rope: { ...rope, lengthM: ropeOutM } };
}
