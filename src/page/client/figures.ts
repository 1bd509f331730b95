/** The picture → the written lines of the page. Pure: state in, texts out. */
import type { BoatState } from "../boat-state.ts";
import { strengthLines, tideLines } from "./tide-lines.ts";
import {
  coarseLength,
  coarseNumber,
  fineLength,
  type Speak,
  speedWords,
  type Units,
  unitName,
} from "./wording.ts";
import { none, offBow, phases, told } from "./words.ts";

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
  const tide = tideLines(state, units);
  const calm = state.alerts.length === 0 ? [known("alerts", told.none)] : [];
  if (state.phase === "underway" && state.anchor.lat === null) return [...lines, ...tide, ...calm];
  return [
    ...lines,
    rodeLine(state, units),
    scopeLine(state),
    ...tide,
    pullLine(state, units),
    ...strengthLines(state),
    anchorLine(state, units),
    circleLine(state, units),
    ...(state.receiver.words === null ? [] : [known("receiver", "", state.receiver.words)]),
    ...calm,
  ];
}

function phaseLine(state: BoatState): Figure {
  return known("phase", phases[state.phase].line);
}

function depthLine({ at, depth }: BoatState, units: Units): Figure {
  const { surfaceM, underKeelM, ageS } = depth;
  const under = underKeelM === null ? "" : told.underKeel(underKeelM, units);
  if (surfaceM !== null) return known("depth", fineLength(surfaceM, units), under);
  return under === "" ? absent("depth", none("depth", ageS, Date.parse(at))) : known("depth", under);
}

function windLine({ at, wind }: BoatState, speak: Speak): Figure {
  const gust = wind.gustKn === null ? "" : told.gusts(wind.gustKn, speak);
  const from = wind.fromDeg === null ? told.noDirection : told.from(wind.fromDeg);
  if (wind.meanKn !== null)
    return known("wind", speedWords(wind.meanKn, speak), gust === "" ? from : `${from}; ${gust}`);
  if (wind.apparentKn !== null) {
    const side = wind.apparentDeg === null ? "" : `, ${offBow(wind.apparentDeg)}`;
    return known("wind", told.apparent(wind.apparentKn, side, speak), told.noMean);
  }
  return absent("wind", none("wind", wind.ageS, Date.parse(at)));
}

function rodeLine({ rode }: BoatState, units: Units): Figure {
  const { outM, requiredM, uncertaintyM } = rode;
  const required = requiredM === null ? undefined : coarseLength(requiredM, units, "ceil");
  const want = told.required(required);
  if (outM === null) return { ...absent("rode", told.notTold), note: want };
  const spread =
    uncertaintyM === null || uncertaintyM < 0.5 ? "" : ` ± ${coarseNumber(uncertaintyM, units, "ceil")}`;
  const value = told.out(`${coarseNumber(outM, units)}${spread} ${unitName(units)}`);
  if (requiredM === null || required === undefined) return known("rode", value, want);
  if (requiredM <= outM) return known("rode", value, told.enough(required));
  const lack = coarseLength(requiredM - outM, units, "ceil");
  return { label: "rode", value, note: told.short(want, lack), look: "short" };
}

function scopeLine({ scope }: BoatState): Figure {
  const { now, atHighWater, target } = scope;
  const want = told.target(target);
  if (now === null) return { ...absent("scope", told.notKnown), note: want };
  const tide = atHighWater === null ? "" : told.atHighWater(atHighWater);
  const isShort = target !== null && Math.min(now, atHighWater ?? now) < target;
  return {
    label: "scope",
    value: told.scope(now),
    note: `${want}${tide}`,
    look: isShort ? "short" : "known",
  };
}

function pullLine({ pull }: BoatState, units: Units): Figure {
  const { deg, groundedM, loadN } = pull;
  const load = told.load(loadN);
  if (deg === null) return absent("pull", told.notKnown);
  const onBottom = groundedM === null || groundedM < 0.5 ? told.lifted : told.grounded(groundedM, units);
  return known("pull", told.pull(deg), `${onBottom}; ${load}`);
}

function anchorLine({ at, anchor, position }: BoatState, units: Units): Figure {
  if (anchor.lat === null) return absent("anchor", told.noAnchor);
  if (anchor.rangeM === null) return absent("anchor", none("position", position.ageS, Date.parse(at)));
  return known("anchor", told.off(anchor.rangeM, anchor.bearingDeg, units), movedNote(anchor, units));
}

function movedNote(anchor: BoatState["anchor"], units: Units): string {
  const place = anchor.uncertaintyM === null ? "" : told.place(anchor.uncertaintyM, units);
  if (anchor.movedM === null) return place;
  const spread = anchor.movedSdM === null ? "" : ` ± ${coarseNumber(anchor.movedSdM, units, "ceil")}`;
  const since = anchor.since === null ? "" : told.since(anchor.since);
  const moved = told.moved(`${coarseNumber(anchor.movedM, units)}${spread} ${unitName(units)}`, since);
  return place === "" ? moved : `${moved}; ${place}`;
}

function circleLine({ circle, anchor }: BoatState, units: Units): Figure {
  const { radiusM, outside } = circle;
  if (radiusM === null) return absent("circle", "none");
  const size = told.circle(radiusM, units);
  if (anchor.rangeM === null) return { ...absent("circle", told.insideOrNot), note: size };
  const spareM = radiusM - anchor.rangeM;
  if (outside === true || spareM < 0)
    return {
      label: "circle",
      value: told.outside(Math.abs(spareM), units),
      note: size,
      look: "short",
    };
  return known("circle", told.spare(spareM, units), size);
}
