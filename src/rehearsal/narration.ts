/** What a bystander would say of the true events: wind risen or shifted, a hard gust, the anchor's travels. */
import { directionOf, turnDeg, type Vector, vectorOf } from "../units/angle.ts";
import { toKn } from "../units/speed.ts";
import { plus, times } from "./plane.ts";
import type { Wind } from "./weather.ts";

export interface Narrator {
  /** Mean wind over some minutes, as a vector (from) and a speed, and what was last said of it. */
  from: Vector;
  meanKn: number;
  saidKn: number;
  saidDeg: number;
  topKn: number;
  saidGustKn: number;
  draggedM: number;
  saidDraggedM: number;
  dragging: boolean;
}

export function narratorOf(wind: Wind): Narrator {
  const meanKn = toKn(wind.speedMps);
  return {
    from: vectorOf(wind.speedMps, wind.fromDeg),
    meanKn,
    saidKn: Math.round(meanKn / STEP_KN) * STEP_KN,
    saidDeg: wind.fromDeg,
    topKn: 0,
    saidGustKn: 25,
    draggedM: 0,
    saidDraggedM: 0,
    dragging: false,
  };
}

const STEP_KN = 5;
/** A new mean is a step only when it is past it by so much, so that nothing is said to and fro. */
const CLEAR_KN = 0.5;
const MEAN_S = 240;
const SHIFT_DEG = 45;
const DRAG_STEP_M = 20;

/** One second's narration. `dragging`: the anchor has lost its hold; undefined: it is not on the bottom. */
export function narrate(
  narrator: Narrator,
  wind: Wind,
  draggedM: number,
  dragging: boolean | undefined,
): string[] {
  return [...windWords(narrator, wind), ...dragWords(narrator, draggedM, dragging)];
}

function windWords(narrator: Narrator, wind: Wind): string[] {
  const nowKn = toKn(wind.speedMps);
  const words: string[] = [];
  narrator.topKn = Math.max(narrator.topKn, nowKn);
  narrator.meanKn += (nowKn - narrator.meanKn) / MEAN_S;
  const from = vectorOf(wind.speedMps, wind.fromDeg);
  narrator.from = plus(times(narrator.from, 1 - 1 / MEAN_S), times(from, 1 / MEAN_S));
  if (narrator.meanKn > narrator.saidKn + STEP_KN + CLEAR_KN) {
    narrator.saidKn += STEP_KN;
    words.push(`wind has risen to ${narrator.saidKn} kn`);
  } else if (narrator.meanKn < narrator.saidKn - STEP_KN - CLEAR_KN) {
    narrator.saidKn -= STEP_KN;
    words.push(`wind has eased to ${narrator.saidKn} kn`);
  }
  if (nowKn > narrator.saidGustKn + 2) {
    narrator.saidGustKn = nowKn;
    words.push(`gust of ${nowKn.toFixed(0)} kn`);
  }
  const fromDeg = directionOf(narrator.from) ?? narrator.saidDeg;
  if (narrator.meanKn > 3 && Math.abs(turnDeg(narrator.saidDeg, fromDeg)) > SHIFT_DEG) {
    narrator.saidDeg = fromDeg;
    words.push(`wind has shifted to ${fromDeg.toFixed(0).padStart(3, "0")}`);
  }
  return words;
}

function dragWords(narrator: Narrator, draggedM: number, dragging: boolean | undefined): string[] {
  const words: string[] = [];
  if (draggedM >= narrator.saidDraggedM + DRAG_STEP_M) {
    narrator.saidDraggedM += DRAG_STEP_M;
    words.push(`the anchor has dragged ${narrator.saidDraggedM} m`);
  }
  if (narrator.dragging && dragging === false)
    words.push(`the anchor holds again, ${draggedM.toFixed(0)} m on`);
  narrator.dragging = dragging ?? false;
  narrator.draggedM = draggedM;
  return words;
}

/** The scene in one line, at its end. */
export function summary(narrator: Narrator, lengthS: number): string {
  const hours = Math.floor(lengthS / 3600);
  const minutes = Math.round((lengthS % 3600) / 60);
  const wind = `wind to ${narrator.topKn.toFixed(0)} kn`;
  const drag =
    narrator.draggedM > 0 ? `the anchor dragged ${narrator.draggedM.toFixed(0)} m` : "the anchor held";
  return `end of the scene after ${hours} h ${minutes} min: ${wind}, ${drag}`;
}
