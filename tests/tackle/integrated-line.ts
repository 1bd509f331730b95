/**
 * An independent reckoning of a rode: no closed form, only the line cut into short pieces and walked from the
 * anchor up, with its own plain halving. It shares nothing with `src/tackle` but the type of a line.
 */
import type { Line, Part } from "../../src/tackle/rode.ts";

export interface Walked {
  reachM: number;
  heightM: number;
  rollerVerticalN: number;
}

/** Walks from the anchor: the first `groundedM` lie on a level bottom, the rest hangs with `liftN` at its foot. */
export function walk(line: Line, loadN: number, groundedM: number, liftN: number, pieces: number): Walked {
  let reachM = 0;
  let heightM = 0;
  let verticalN = liftN;
  let lyingM = groundedM;
  for (const part of [line.chain, line.rope]) {
    const liesM = Math.min(lyingM, part.lengthM);
    lyingM -= liesM;
    reachM += liesM * (1 + loadN / part.stiffnessN);
    const hung = hang(part, part.lengthM - liesM, loadN, verticalN, pieces);
    reachM += hung.reachM;
    heightM += hung.heightM;
    verticalN = hung.rollerVerticalN;
  }
  return { reachM, heightM, rollerVerticalN: verticalN };
}

/** Two-point Gauss rule on each piece: direction of the pull times the stretched length. */
function hang(part: Part, lengthM: number, loadN: number, footN: number, pieces: number): Walked {
  const piece = lengthM / pieces;
  let reachM = 0;
  let heightM = 0;
  for (let i = 0; i < pieces; i++) {
    for (const at of [0.5 - Math.sqrt(3) / 6, 0.5 + Math.sqrt(3) / 6]) {
      const verticalN = footN + part.weightNPerM * piece * (i + at);
      const pullN = Math.sqrt(loadN * loadN + verticalN * verticalN);
      const stretchedM = (piece / 2) * (1 + pullN / part.stiffnessN);
      reachM += (stretchedM * loadN) / pullN;
      heightM += (stretchedM * verticalN) / pullN;
    }
  }
  return { reachM, heightM, rollerVerticalN: footN + part.weightNPerM * lengthM };
}

/** Finds what lies, or the lift at the anchor, that brings the top to the height. Plain halving, 80 times. */
export function integrated(
  line: Line,
  heightM: number,
  loadN: number,
  pieces: number,
): Walked & { groundedM: number; liftN: number } {
  const lengthM = line.chain.lengthM + line.rope.lengthM;
  const state = (unknown: number) => ({ groundedM: Math.max(0, -unknown), liftN: Math.max(0, unknown) });
  const at = (unknown: number) => {
    const { groundedM, liftN } = state(unknown);
    return walk(line, loadN, groundedM, liftN, pieces);
  };
  let lo = -lengthM;
  let hi = 1;
  while (at(hi).heightM < heightM) hi *= 2;
  for (let i = 0; i < 80; i++) {
    const middle = (lo + hi) / 2;
    if (at(middle).heightM < heightM) lo = middle;
    else hi = middle;
  }
  return { ...at(hi), ...state(hi) };
}
