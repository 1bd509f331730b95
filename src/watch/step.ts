/**
 * One second of the watch. In: state, picture, settings; out: the next state, what was found, and the figures
 * that page, sentences and summary show. Pure: time is the picture's.
 */
import type { Picture } from "../instruments/picture.ts";
import { aboardM } from "../tackle/rode.ts";
import { MINUTE_MS } from "../units/time.ts";
import { LONGEST_M, UNDO_MS } from "./acts.ts";
import { circleNow, HARD_WANDER_M, UNLEARNT_WANDER_M } from "./circle.ts";
import { conditionFindings } from "./conditions.ts";
import { dragNow, watchDrag } from "./drag-watch.ts";
import { draggingFinding } from "./dragging.ts";
import { factFindings } from "./facts.ts";
import type { Figures } from "./figures.ts";
import type { Finding } from "./finding.ts";
import { heightsNow } from "./ground.ts";
import { guidanceNow } from "./guidance.ts";
import { lostFindings } from "./lost.ts";
import { rodeFindings } from "./rode-conditions.ts";
import { scopeNow, targetWind } from "./scope.ts";
import type { WatchSettings } from "./settings.ts";
import type { RodeOut, WatchState } from "./state.ts";
import { concluded, keptCourse } from "./stay-course.ts";
import { stayFindings } from "./stay-findings.ts";
import { tackleNow } from "./tackle-now.ts";
import { keepSounding, tideNow } from "./tide-now.ts";

export interface Watched {
  state: WatchState;
  findings: Finding[];
  figures: Figures;
}

/** The given state is used up: the returned one takes its place. */
export function step(before: WatchState, picture: Picture, settings: WatchSettings): Watched {
  const state = keptCourse(remember(before, picture, settings), picture, settings);
  const heights = heightsNow(state.stay, picture, settings);
  const wind = targetWind(state, picture, settings);
  const tackle = tackleNow(state.stay, picture, heights, wind.speedMps, settings);
  const { scope, target } = scopeNow(state, picture, heights, tackle, settings);
  state.target = target;
  Object.assign(state, keepSounding(state, picture));
  watchDrag(state.drag, state.stay, picture, settings);
  const drag = dragNow(state.drag, picture.atMs, UNLEARNT_WANDER_M, HARD_WANDER_M);
  const circle = circleNow(state, picture, heights, settings, drag.circleWanderM);
  const reckoned = { heights, circle, scope, tackle, tide: tideNow(state, picture, heights, settings), drag };
  const figures: Figures = { ...reckoned, guidance: guidanceNow(state, picture, reckoned, settings) };
  const moved = draggingFinding(state.drag, picture);
  const findings = [
    ...(moved === undefined ? [] : [moved]),
    ...conditionFindings(state, picture, figures, settings),
    ...rodeFindings(state, picture, figures, settings),
    ...stayFindings(state, picture, figures, settings),
    ...lostFindings(state, picture),
    ...factFindings(state, picture),
  ];
  const after = concluded(state, picture, figures, findings, settings);
  return { state: giveUpWeighing(after, circle?.rangeM, picture.atMs), findings, figures };
}

/** What must outlast the instruments: when each was last there, the last mean wind, the hardest gust. */
function remember(state: WatchState, picture: Picture, settings: WatchSettings): WatchState {
  const { atMs, windMean, rodeCountedM } = picture;
  const seenMs = {
    depth: picture.depth?.atMs ?? state.seenMs.depth,
    wind: picture.wind?.atMs ?? state.seenMs.wind,
    heading: picture.headingDeg?.atMs ?? state.seenMs.heading,
  };
  const fresh = picture.wind !== undefined && windMean !== undefined;
  const lastMean = fresh ? { speedMps: windMean.speedMps, fromDeg: windMean.fromDeg, atMs } : state.lastMean;
  const riding = state.stay.phase !== "underway";
  const gust =
    riding && windMean !== undefined
      ? Math.max(state.greatestGustMps ?? 0, windMean.gustMps)
      : state.greatestGustMps;
  const rode = riding ? rodeBy(rodeCountedM?.value, state.stay.rode, atMs, settings) : undefined;
  const stay = rode === undefined ? state.stay : { ...state.stay, rode };
  // What cannot be taken back any more need not be kept, nor saved.
  const undo = state.undo !== undefined && atMs - state.undo.atMs > UNDO_MS ? undefined : state.undo;
  const countedM = rodeCountedM?.value ?? state.countedM;
  return { ...state, stay, undo, seenMs, lastMean, greatestGustMps: gust, countedM };
}

/** More than there is aboard is a counter's fault: believed, it would widen the circle without end. */
function canBeOut(countedM: number, settings: WatchSettings): boolean {
  return countedM >= 0 && countedM <= mostOutM(settings);
}

function mostOutM({ rode }: WatchSettings): number {
  return rode === undefined ? LONGEST_M : aboardM(rode);
}

/** A counter that trembles is not veering: the time of a length is when it last changed. */
const COUNTER_M = 0.2;
/** More between two readings is a counter set anew, or one that was not heard for long. */
const COUNTED_ON_M = 5;

/**
 * Rode out by the counter where that has moved; undefined: what is known stands. After a length was told it counts on
 * from that, so that one that was not zeroed, or hangs, does not overrule the person who has looked at the marks.
 */
function rodeBy(
  countedM: number | undefined,
  before: RodeOut | undefined,
  atMs: number,
  settings: WatchSettings,
): RodeOut | undefined {
  if (countedM === undefined || !canBeOut(countedM, settings)) return undefined;
  const counted = { source: "counted", atMs, countedM } as const;
  if (before?.countedM === undefined) return { ...counted, lengthM: countedM };
  const movedM = countedM - before.countedM;
  if (Math.abs(movedM) < COUNTER_M) return undefined;
  if (Math.abs(movedM) <= COUNTED_ON_M)
    return { ...counted, lengthM: Math.min(mostOutM(settings), Math.max(0, before.lengthM + movedM)) };
  return before.source === "counted" ? { ...counted, lengthM: countedM } : { ...before, countedM };
}

const CLOSING_M = 3;
const CLOSING_MS = 10 * MINUTE_MS;

/** Weighing that does not close on the anchor for 10 minutes is riding again. */
function giveUpWeighing(state: WatchState, rangeM: number | undefined, atMs: number): WatchState {
  if (state.stay.phase !== "weighing")
    return state.closing === undefined ? state : { ...state, closing: undefined };
  const { closing } = state;
  if (rangeM !== undefined && (closing === undefined || rangeM < closing.leastM - CLOSING_M)) {
    return { ...state, closing: { leastM: rangeM, atMs } };
  }
  const sinceMs = closing?.atMs ?? state.stay.phaseSinceMs;
  if (atMs - sinceMs < CLOSING_MS) return state;
  const stay = { ...state.stay, phase: "riding" as const, phaseSinceMs: atMs };
  return { ...state, closing: undefined, gaveUpMs: atMs, stay };
}
