/**
 * One hanging part of a line under a horizontal load H that is the same all along it: how far it rises and how
 * far it spans. Elastic catenary in the form of Irvine and Jonkman (as in published mooring codes), strain on
 * the unstretched length:
 *   rise = (T₂ − T₁)/w + (V₁ + V₂)·L/2EA        span = (H/w)·[asinh(V₂/H) − asinh(V₁/H)] + H·L/EA
 * with V₁ at the lower end, V₂ = V₁ + wL, T = √(H² + V²). Both are rearranged so that a light line, a great load
 * or no load at all loses no digits: (T₂ − T₁)/w = L·(V₁ + V₂)/(T₁ + T₂).
 */
import type { Part } from "./rode.ts";

/** Height gained, metres, from the lower end of `lengthM` of the part to its upper end. */
export function riseM(part: Part, lengthM: number, loadN: number, verticalN: number): number {
  const upperN = verticalN + part.weightNPerM * lengthM;
  const sumV = verticalN + upperN;
  const sumT = tension(loadN, verticalN) + tension(loadN, upperN);
  if (sumT === 0) return 0;
  return lengthM * sumV * (1 / sumT + 0.5 / part.stiffnessN);
}

/** Horizontal distance gained, metres, likewise. */
export function spanM(part: Part, lengthM: number, loadN: number, verticalN: number): number {
  if (loadN === 0 || lengthM === 0) return 0;
  const lowerT = tension(loadN, verticalN);
  const upperN = verticalN + part.weightNPerM * lengthM;
  const slope = (verticalN + upperN) / (lowerT + tension(loadN, upperN));
  // V + T of the lower end, written so that a line hanging below its end loses no digits either
  const base = verticalN >= 0 ? verticalN + lowerT : loadN ** 2 / (lowerT - verticalN);
  const grown = (lengthM * (1 + slope)) / base;
  const weight = part.weightNPerM;
  const hanging = weight === 0 ? grown : Math.log1p(weight * grown) / weight;
  return loadN * (hanging + lengthM / part.stiffnessN);
}

export function tension(loadN: number, verticalN: number): number {
  return Math.sqrt(loadN * loadN + verticalN * verticalN);
}
