/** What is known and suggested of the tide, and what is too weak for the gust, as written lines. Pure. */
import type { BoatState } from "../boat-state.ts";
import type { Figure } from "./figures.ts";
import { fineLength, type Units } from "./wording.ts";

type Guidance = NonNullable<BoatState["guidance"]>;

const FROM = { told: "as told", table: "by the tide as set", configured: "as set, from let go" } as const;

/** The tide to come, or what is lacking of it; and what the sounder suggests, never as a fact. */
export function tideLines({ guidance }: BoatState, units: Units): Figure[] {
  if (guidance === null) return [];
  const { riseM, riseFrom, depthAtLowM, leastAtLowM, lacks } = guidance.tide;
  const lowM = leastAtLowM ?? depthAtLowM;
  const low = lowM === null ? [] : [`${fineLength(lowM, units)} of water at low water`];
  const from = riseFrom === null ? [] : [FROM[riseFrom]];
  const note = [...from, ...low, ...(lacks === null ? [] : [lacks]), ...suggestion(guidance.tide, units)];
  if (note.length === 0) return [];
  const value = riseM === null ? "rise not told" : `${fineLength(riseM, units)} to come`;
  return [{ label: "tide", value, note: note.join("; "), look: riseM === null ? "absent" : "known" }];
}

function suggestion(tide: Guidance["tide"], units: Units): string[] {
  const { suggested, riseM, riseFrom } = tide;
  const likelyM = suggestedRiseM(tide);
  if (suggested === null || likelyM === undefined) return [];
  const agrees = riseM !== null && Math.abs(riseM - likelyM) <= Math.max(LEAST_M, 2 * suggested.riseSdM);
  if (agrees && riseFrom !== "configured") return [];
  return [`sounder suggests ${fineLength(likelyM, units)} ± ${fineLength(suggested.riseSdM, units)} to come`];
}

/** By the sounder, where it is worth saying: more than a ripple, and known to half of itself. */
export function suggestedRiseM({ suggested }: Guidance["tide"]): number | undefined {
  if (suggested === null || suggested.riseM < LEAST_M) return undefined;
  return suggested.riseSdM > suggested.riseM / 2 ? undefined : suggested.riseM;
}

const LEAST_M = 0.2;

/** One line where the published design load at the gust is more than something bears. */
export function strengthLines({ guidance }: BoatState): Figure[] {
  if (guidance === null || guidance.strength.weak.length === 0) return [];
  const { designLoadN, weak } = guidance.strength;
  const links = weak.map(({ link, workingN }) => `${link} ${force(workingN)}`).join(", ");
  const cleat = weak.some(({ link }) => link === "windlass") ? "; load on a cleat, not the windlass" : "";
  const value = designLoadN === null ? "" : `${force(designLoadN)} in the gusts`;
  return [
    { label: "design load", value, note: `more than the working load: ${links}${cleat}`, look: "short" },
  ];
}

function force(forceN: number): string {
  return forceN >= 1000 ? `${(forceN / 1000).toFixed(1)}\u00a0kN` : `${Math.round(forceN / 10) * 10}\u00a0N`;
}
