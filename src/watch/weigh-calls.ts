/** What could be said while weighing: dangers, then steering, then how far it has come. */
import type { Picture } from "../instruments/picture.ts";
import { type Candidate, candidate } from "./callout.ts";
import type { Saying } from "./calls.ts";
import type { WatchSettings } from "./settings.ts";
import type { WeighStage } from "./weigh-stage.ts";
import type { Weigh } from "./weighing.ts";
import { directionText, lengthText } from "./wording.ts";

const STEER_FROM_DEG = 15;
const STEER_STEP_DEG = 5;
const NEAR_M = 8;

export function weighCalls({ guidance, picture, settings }: Saying): Candidate[] {
  const { weigh } = guidance;
  if (weigh === undefined || weigh.distanceM === undefined) return [candidate("nothing-to-steer-by")];
  const out = [...stillOut(weigh, settings), ...bearingAlone(weigh, picture)].join("; ");
  const calls = dangers(weigh);
  if (weigh.stage === "foul" || weigh.stage === "aweigh")
    return [...calls, stageCall(weigh, weigh.stage, out)];
  const steer = weigh.steerDeg;
  // Close to, stages come before steering: her bow swings and the bearing runs round.
  const steering =
    steer !== undefined && Math.abs(steer) >= STEER_FROM_DEG
      ? [candidate("steer", [inSteps(steer), steer < 0 ? "port" : "starboard"], out)]
      : [];
  if (weigh.stage === undefined || weigh.stage === "come-up") {
    const come = candidate("come-up", [lengthText(roundly(weigh.distanceM), settings.units)], out);
    return [...calls, ...steering, come];
  }
  const stage = stageCall(weigh, weigh.stage, out);
  return weigh.distanceM > NEAR_M ? [...calls, stage, ...steering] : [...calls, stage];
}

function stillOut({ rodeOutM }: Weigh, { units }: WatchSettings): string[] {
  return rodeOutM === undefined ? [] : [`${lengthText(rodeOutM, units)} still out`];
}

/** Where no heading says how far to steer. */
function bearingAlone({ bearingDeg }: Weigh, { headingDeg }: Picture): string[] {
  return headingDeg !== undefined || bearingDeg === undefined
    ? []
    : [`no heading: it bears ${directionText(bearingDeg)}`];
}

const ROUND_M = 5;

/** Spoken each 5 metres, not each. */
function roundly(lengthM: number): number {
  return Math.max(ROUND_M, Math.round(lengthM / ROUND_M) * ROUND_M);
}

function inSteps(deg: number): string {
  return String(Math.round(Math.abs(deg) / STEER_STEP_DEG) * STEER_STEP_DEG);
}

function dangers(weigh: Weigh): Candidate[] {
  const calls: Candidate[] = [];
  if (weigh.overrunning) calls.push(candidate("overrunning", [], "The anchor is abaft; the rode under her"));
  if (weigh.rodeSlack) calls.push(candidate("rode-slack", [], "Closing faster than the windlass hauls"));
  if (weigh.engineNotWindlass && weigh.loadN !== undefined)
    calls.push(candidate("engine-not-windlass", [], `About ${weigh.loadN.toFixed(0)} N on the bow`));
  if (weigh.sideways) calls.push(candidate("sideways", [], "The rode leads off the side"));
  return calls;
}

const FOUL_WHY =
  "Lifejacket, clip on: make fast short, let the swell work; then ease and pull from the other side; slip last";

function stageCall({ hangsM }: Weigh, stage: WeighStage, out: string): Candidate {
  switch (stage) {
    case "foul":
      return candidate("foul", [], FOUL_WHY);
    case "aweigh":
      return candidate("aweigh", [], "She moves off beyond what the rode allows");
    case "up-and-down":
      return candidate("up-and-down", [], hangsM === undefined ? out : "Aweigh comes before the splice here");
    case "splice-near":
      return candidate("splice-near", [], out);
    default:
      return candidate("short-stay", [], out);
  }
}
