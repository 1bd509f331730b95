/** What the published design load is too much for: chain, rope, windlass. Pure: the rode and its loads in. */
import type { Rode } from "./rode.ts";
import { chainStrength, ropeStrength } from "./strengths.ts";

export interface WeakLink {
  link: "chain" | "rope" | "windlass";
  workingN: number;
}

/**
 * The links whose working load is below the load, in the order from the anchor up. What has no size is passed over.
 * @param windlassPullN continuous working load from its plate
 */
export function weakLinks(
  rode: Rode | undefined,
  windlassPullN: number | undefined,
  designLoadN: number,
): WeakLink[] {
  const links: WeakLink[] = [];
  if (rode !== undefined && rode.chainM > 0 && rode.chainDiameterM !== undefined)
    links.push({ link: "chain", workingN: chainStrength(rode.chainDiameterM).workingN });
  if (rode !== undefined && rode.ropeM > 0 && rode.ropeKind !== undefined && rode.ropeDiameterM !== undefined)
    links.push({ link: "rope", workingN: ropeStrength(rode.ropeKind, rode.ropeDiameterM).workingN });
  if (windlassPullN !== undefined) links.push({ link: "windlass", workingN: windlassPullN });
  return links.filter(({ workingN }) => workingN < designLoadN);
}
