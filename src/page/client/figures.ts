/** The picture → the written lines of the page. Pure: state in, texts out. */
import type { BoatState } from "../boat-state.ts";
import {
  bearing,
  clock,
  coarseLength,
  coarseNumber,
  compassPoint,
  fineLength,
  none,
  offBow,
  ratio,
  type Speak,
  speedWords,
  type Units,
  unitName,
} from "./wording.ts";

export interface Figure {
  label: string;
  /** The figure, or the words for its absence. */
  value: string;
  /** A second, smaller line; empty when there is nothing to add. */
  note: string;
  look: "known" | "absent" | "short";
}

const known = (label: string, value: string, note = ""): Figure => ({ label, value, note, look: "known" });
const absent = (label: string, value: string): Figure => ({ label, value, note: "", look: "absent" });

/** The lines in the order of the drawing: what hangs below, then what lies around. */
export function figuresOf(state: BoatState, speak: Speak): Figure[] {
  const units = speak.lengths;
  const lines = [phaseLine(state), depthLine(state, units), windLine(state, speak)];
  // Alerts have a list of their own, further up.
  const calm = state.alerts.length === 0 ? [known("alerts", "none now")] : [];
  if (state.phase === "underway" && state.anchor.lat === null) return [...lines, ...calm];
  return [
    ...lines,
    rodeLine(state, units),
    scopeLine(state),
    pullLine(state, units),
    anchorLine(state, units),
    circleLine(state, units),
    ...(state.receiver.words === null ? [] : [known("receiver", "", state.receiver.words)]),
    ...calm,
  ];
}

const PHASES: Readonly<Record<BoatState["phase"], string>> = {
  underway: "under way",
  "let-go": "anchor let go, veering",
  riding: "riding to her anchor",
  weighing: "weighing",
};

function phaseLine(state: BoatState): Figure {
  return known("phase", PHASES[state.phase]);
}

function depthLine({ at, depth }: BoatState, units: Units): Figure {
  const { surfaceM, underKeelM, ageS } = depth;
  const under = underKeelM === null ? "" : `${fineLength(underKeelM, units)} under the keel`;
  if (surfaceM !== null) return known("depth", fineLength(surfaceM, units), under);
  return under === "" ? absent("depth", none("depth", ageS, Date.parse(at))) : known("depth", under);
}

function windLine({ at, wind }: BoatState, speak: Speak): Figure {
  const gust = wind.gustKn === null ? "" : `gusts ${speedWords(wind.gustKn, speak)}`;
  const from =
    wind.fromDeg === null
      ? "direction not known"
      : `from ${compassPoint(wind.fromDeg)}, ${bearing(wind.fromDeg)}`;
  if (wind.meanKn !== null)
    return known("wind", speedWords(wind.meanKn, speak), gust === "" ? from : `${from}; ${gust}`);
  if (wind.apparentKn !== null) {
    const side = wind.apparentDeg === null ? "" : `, ${offBow(wind.apparentDeg)}`;
    return known("wind", `${speedWords(wind.apparentKn, speak)} apparent${side}`, "no mean yet");
  }
  return absent("wind", none("wind", wind.ageS, Date.parse(at)));
}

function rodeLine({ rode }: BoatState, units: Units): Figure {
  const { outM, requiredM, uncertaintyM } = rode;
  const required = requiredM === null ? undefined : coarseLength(requiredM, units, "ceil");
  const want = required === undefined ? "required not known" : `${required} required`;
  if (outM === null) return { ...absent("rode", "rode out not told"), note: want };
  const spread =
    uncertaintyM === null || uncertaintyM < 0.5 ? "" : ` ± ${coarseNumber(uncertaintyM, units, "ceil")}`;
  const value = `${coarseNumber(outM, units)}${spread} ${unitName(units)} out`;
  if (requiredM === null) return known("rode", value, want);
  if (requiredM <= outM) return known("rode", value, `${required} is enough`);
  const lack = coarseLength(requiredM - outM, units, "ceil");
  return { label: "rode", value, note: `${want}: ${lack} short`, look: "short" };
}

function scopeLine({ scope }: BoatState): Figure {
  const { now, atHighWater, target } = scope;
  const want = target === null ? "target not known" : `want ${ratio(target)}`;
  if (now === null) return { ...absent("scope", "not known"), note: want };
  const tide = atHighWater === null ? "" : `; ${ratio(atHighWater)} at high water`;
  const isShort = target !== null && Math.min(now, atHighWater ?? now) < target;
  return {
    label: "scope",
    value: `${ratio(now)} to 1`,
    note: `${want}${tide}`,
    look: isShort ? "short" : "known",
  };
}

function pullLine({ pull }: BoatState, units: Units): Figure {
  const { deg, groundedM, loadN } = pull;
  const load = loadN === null ? "load not known" : `load ${Math.round(loadN / 10) * 10}\u00a0N`;
  if (deg === null) return absent("pull", "not known");
  const onBottom =
    groundedM === null || groundedM < 0.5
      ? "nothing on the bottom"
      : `${coarseLength(groundedM, units)} on the bottom`;
  const value = deg < 0.5 ? "flat along the bottom" : `anchor pulled up ${deg.toFixed(0)}°`;
  return known("pull", value, `${onBottom}; ${load}`);
}

function anchorLine({ at, anchor, position }: BoatState, units: Units): Figure {
  if (anchor.lat === null) return absent("anchor", "its place is not known");
  if (anchor.rangeM === null) return absent("anchor", none("position", position.ageS, Date.parse(at)));
  const to = anchor.bearingDeg === null ? "" : `, bearing ${bearing(anchor.bearingDeg)}`;
  return known("anchor", `${coarseLength(anchor.rangeM, units)} off${to}`, movedNote(anchor, units));
}

function movedNote(anchor: BoatState["anchor"], units: Units): string {
  const place =
    anchor.uncertaintyM === null ? "" : `its place ± ${coarseLength(anchor.uncertaintyM, units, "ceil")}`;
  if (anchor.movedM === null) return place;
  const spread = anchor.movedSdM === null ? "" : ` ± ${coarseNumber(anchor.movedSdM, units, "ceil")}`;
  const since = anchor.since === null ? "" : ` since ${clock(Date.parse(anchor.since))}`;
  const moved = `moved ${coarseNumber(anchor.movedM, units)}${spread} ${unitName(units)}${since}`;
  return place === "" ? moved : `${moved}; ${place}`;
}

function circleLine({ circle, anchor }: BoatState, units: Units): Figure {
  const { radiusM, outside } = circle;
  if (radiusM === null) return absent("circle", "none");
  const size = `circle of ${coarseLength(radiusM, units)}`;
  if (anchor.rangeM === null) return { ...absent("circle", "not known whether inside"), note: size };
  const spareM = radiusM - anchor.rangeM;
  if (outside === true || spareM < 0)
    return {
      label: "circle",
      value: `${coarseLength(Math.abs(spareM), units, "ceil")} outside`,
      note: size,
      look: "short",
    };
  return known("circle", `${coarseLength(spareM, units, "floor")} to spare`, size);
}
