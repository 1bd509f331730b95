/** Lines as the tests write them down. */
import type { Line, Part } from "../../src/tackle/rode.ts";

export const NO_PART: Part = { lengthM: 0, weightNPerM: 0, stiffnessN: Number.POSITIVE_INFINITY };

export function part(lengthM: number, weightNPerM: number, stiffnessN = Number.POSITIVE_INFINITY): Part {
  return { lengthM, weightNPerM, stiffnessN };
}

/** One material from anchor to roller. */
export function onePart(lengthM: number, weightNPerM: number, stiffnessN?: number): Line {
  return { chain: part(lengthM, weightNPerM, stiffnessN), rope: NO_PART };
}

export function twoPart(chain: Part, rope: Part): Line {
  return { chain, rope };
}
