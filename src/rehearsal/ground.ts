/** The anchor in the bottom: it digs in, holds, and drags when the scene says so. */
import { turnDeg, type Vector, vectorOf } from "../units/angle.ts";
import type { Chance } from "./chance.ts";
import { clamp, plus } from "./plane.ts";

export interface GroundForm {
  /** How far the anchor moves while it digs in, metres, and the pull that digs it in. */
  creepM: number;
  diggingN: number;
  /** Above this pull it drags, whatever the scene says. */
  holdingN: number;
}

/** How an anchor drags. Speeds are means while the rode pulls: a slack rode drags nothing. */
export interface Drag {
  kind: "creep" | "drag" | "runaway";
  speedMps: number;
  /** It bites again after so many metres; undefined: not by itself. */
  resetsAfterM: number | undefined;
}

export type DragKind = "creep" | "drag" | "runaway" | "drag-and-reset" | "drag-at-turn";

/** Parameters of a drag drawn by chance: creep 0.2-1, drag 2-10, at the turn 1-8 m/min; runaway 0.3-1 m/s. */
export function drawDrag(kind: DragKind, chance: Chance): Drag {
  const mPerMin = (least: number, most: number): number => chance.between(least, most) / 60;
  switch (kind) {
    case "creep":
      return { kind, speedMps: mPerMin(0.2, 1), resetsAfterM: undefined };
    case "drag":
      return { kind, speedMps: mPerMin(2, 10), resetsAfterM: undefined };
    case "runaway":
      return { kind, speedMps: chance.between(0.3, 1), resetsAfterM: undefined };
    case "drag-and-reset":
      return { kind: "drag", speedMps: mPerMin(2, 10), resetsAfterM: chance.between(10, 30) };
    case "drag-at-turn":
      return { kind: "drag", speedMps: mPerMin(1, 8), resetsAfterM: undefined };
  }
}

export interface Anchor {
  at: Vector;
  /** Moved while digging in; and by dragging, metres along the bottom. */
  creptM: number;
  draggedM: number;
  drag: Drag | undefined;
  /** Dragged when the present drag began; what a creep should have gone by now and has not, metres. */
  draggedBeforeM: number;
  owedM: number;
  /** Greatest pull and its bearing so far, for digging in; the pull's mean over some minutes. */
  dugN: number;
  dugDeg: number | undefined;
  meanPullN: number;
}

export function letGoAt(at: Vector): Anchor {
  return {
    at,
    creptM: 0,
    draggedM: 0,
    drag: undefined,
    draggedBeforeM: 0,
    owedM: 0,
    dugN: 0,
    dugDeg: undefined,
    meanPullN: 0,
  };
}

export function breakOut(anchor: Anchor, drag: Drag): void {
  anchor.drag = drag;
  anchor.draggedBeforeM = anchor.draggedM;
  anchor.owedM = 0;
}

const MEAN_PULL_S = 300;
/**
 * However broken out, an anchor of this size lies still under its own friction, about 120 N, which is 0.3 of this:
 * a boat adrift on slack chain drags nothing.
 */
const LEAST_DRAGGING_N = 400;

/** Moves the anchor for one step: always along the rode, toward the boat (`bearingDeg`), and only under load. */
export function pullOn(
  anchor: Anchor,
  form: GroundForm,
  pullN: number,
  bearingDeg: number,
  stepS: number,
): void {
  anchor.meanPullN += ((pullN - anchor.meanPullN) * stepS) / MEAN_PULL_S;
  const creepM = digIn(anchor, form, pullN, bearingDeg);
  const dragM = draggingM(anchor, form, pullN, stepS);
  anchor.creptM += creepM;
  anchor.draggedM += dragM;
  anchor.at = plus(anchor.at, vectorOf(creepM + dragM, bearingDeg));
  const resetsAfterM = anchor.drag?.resetsAfterM;
  if (resetsAfterM !== undefined && anchor.draggedM - anchor.draggedBeforeM >= resetsAfterM)
    anchor.drag = undefined;
}

/** Metres for this step. Creep belongs to the first loading; half of it comes again when the pull turns over. */
function digIn(anchor: Anchor, form: GroundForm, pullN: number, bearingDeg: number): number {
  const loaded = pullN > form.diggingN * 0.15;
  if (anchor.dugDeg !== undefined && loaded && Math.abs(turnDeg(anchor.dugDeg, bearingDeg)) > 90) {
    anchor.dugDeg = bearingDeg;
    anchor.dugN = Math.min(anchor.dugN, form.diggingN / 2);
  }
  if (pullN <= anchor.dugN || anchor.dugN >= form.diggingN) return 0;
  const creepM = (form.creepM * (Math.min(pullN, form.diggingN) - anchor.dugN)) / form.diggingN;
  anchor.dugN = pullN;
  if (loaded) anchor.dugDeg ??= bearingDeg;
  return creepM;
}

function draggingM(anchor: Anchor, form: GroundForm, pullN: number, stepS: number): number {
  const overM = clamp((pullN - form.holdingN) / form.holdingN, 0, 1) * stepS;
  return overM + (anchor.drag === undefined ? 0 : dragStepM(anchor, anchor.drag, pullN, stepS));
}

function dragStepM(anchor: Anchor, drag: Drag, pullN: number, stepS: number): number {
  const pulls = pullN / Math.max(anchor.meanPullN, LEAST_DRAGGING_N);
  switch (drag.kind) {
    case "creep": {
      // It stands between the gusts and goes in them, so that its mean comes out.
      if (pulls > 0.5) anchor.owedM += drag.speedMps * stepS;
      const goesM = pulls > 1.1 ? Math.min(anchor.owedM, 6 * drag.speedMps * stepS) : 0;
      anchor.owedM -= goesM;
      return goesM;
    }
    case "drag":
      return drag.speedMps * clamp((pulls - 0.3) / 0.4, 0, 1) * stepS;
    case "runaway":
      return drag.speedMps * clamp(pulls / 0.3, 0, 1) * stepS;
  }
}
