/** What could be said under way: the last of the stay before, and the reading of wind and tide. */

import { toVeer } from "../tackle/veer-length.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { type Approach, comeFromDeg, NO_WIND_DIRECTION } from "./approach.ts";
import { type Candidate, candidate } from "./callout.ts";
import type { Saying } from "./calls.ts";
import type { WatchSettings } from "./settings.ts";
import { SPLICE_ALLOWANCE_M } from "./weigh-stage.ts";
import { directionText, lengthText } from "./wording.ts";

const SLIPPED_SAID_MS = 10 * MINUTE_MS;
const HERE_M = 6;

export function approachCalls(saying: Saying): Candidate[] {
  const { state, picture, guidance } = saying;
  const calls = risingCalls(saying);
  const { slipped, phaseSinceMs } = state.stay;
  if (slipped !== undefined && picture.atMs - phaseSinceMs < SLIPPED_SAID_MS)
    calls.push(candidate("rode-slipped", [], "Shown and sent as a waypoint for recovery"));
  if (guidance.approach?.neutral === true) calls.push(...neutralCalls(saying));
  return [...calls, candidate("under-way", [], () => rodeHere(saying))];
}

/** The anchor is off the bottom and still hangs below: by what the windlass can have taken in since. */
function risingCalls({ state, picture, settings }: Saying): Candidate[] {
  const { aweigh } = state.memory;
  if (aweigh === undefined) return [];
  const hauledM = ((picture.atMs - aweigh.atMs) / SECOND_MS) * (settings.windlassMps ?? SLOW_MPS);
  const hangsM = aweigh.hangsM - hauledM;
  if (hangsM <= 0) return [];
  if (hangsM <= NEAR_ROLLER_M) return [candidate("near-roller", [], byWindlass(settings))];
  const chainM = settings.rode?.chainM ?? 0;
  if (aweigh.hangsM <= chainM) return [];
  if (hangsM > chainM && hangsM <= chainM + SPLICE_ALLOWANCE_M)
    return [candidate("splice-near", [], byWindlass(settings))];
  const length = lengthText(hangsM, settings.units);
  return [candidate("hanging", [length], "Keep off the rode; nothing into gear astern")];
}

const SLOW_MPS = 0.2;
const NEAR_ROLLER_M = 3;

function byWindlass({ windlassMps }: WatchSettings): string {
  return windlassMps === undefined ? "By the time since aweigh" : "By the windlass's speed since aweigh";
}

function neutralCalls({ guidance, settings, figures }: Saying): Candidate[] {
  const { approach, veer } = guidance;
  const calls: Candidate[] = [];
  if (approach === undefined) return calls;
  if (veer?.tooShort === true && figures.scope.aboardM !== undefined)
    calls.push(
      candidate("rode-too-short", [], `Wants ${toVeer(figures.scope.requiredM ?? 0, settings.units).text}`),
    );
  const { letGo } = approach;
  if (letGo?.distanceM !== undefined && letGo.bearingDeg !== undefined) {
    const wished = letGo.waypoint === undefined ? "" : `; stern on waypoint ${letGo.waypoint}`;
    const why = `Place good to ${lengthText(letGo.uncertaintyM, settings.units)}${wished}`;
    const there = [lengthText(letGo.distanceM, settings.units), directionText(letGo.bearingDeg)];
    calls.push(
      letGo.distanceM <= HERE_M ? candidate("let-go-here", [], why) : candidate("let-go-there", there, why),
    );
  }
  return [...calls, lieCall(approach)];
}

function lieCall({ lie, drift, lacks }: Approach): Candidate {
  if (lacks === NO_WIND_DIRECTION)
    return candidate("tell-wind", [], "Without it no drift says wind from tide");
  if (lie === undefined)
    return drift === undefined
      ? candidate("reading-drift", [], "Leave her out of gear")
      : candidate("no-drift", [], `Lacks ${lacks ?? "enough drift"}`);
  const ratio = lie.ratio === undefined ? "" : `${lie.ratio.toFixed(1)} times the other; `;
  const come = `come from ${directionText(comeFromDeg(lie))}, ± ${lie.uncertaintyDeg.toFixed(0)} degrees`;
  return candidate(
    lie.rules === "wind" ? "wind-rules" : "tide-rules",
    [directionText(lie.headingDeg)],
    ratio + come,
  );
}

/** `42 m of rode here now; 52 m for the wind expected`. */
function rodeHere({ figures, guidance, settings }: Saying): string {
  const { requiredM } = figures.scope;
  if (requiredM === undefined) return "";
  const expectedM = guidance.approach?.expectedRodeM;
  const now = `${toVeer(requiredM, settings.units).text} of rode would do here`;
  return expectedM === undefined || expectedM <= requiredM
    ? now
    : `${now}, ${toVeer(expectedM, settings.units).text} for the wind expected`;
}
