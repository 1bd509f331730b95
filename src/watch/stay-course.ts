/**
 * The course of the stay beside what the operator says: it begins, the anchor's place is refined, what is proposed
 * is accepted where the boat is set so, and at the end it is closed. In: state and picture; out: state.
 */
import type { Picture } from "../instruments/picture.ts";
import type { Boat } from "../tackle/boat.ts";
import { distanceM, offsetM } from "../units/position.ts";
import { fromKn } from "../units/speed.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { FALL_BACK_AFTER_MS, placedByFallBack } from "./anchor-position.ts";
import { callOut } from "./callout.ts";
import { callsNow } from "./calls.ts";
import type { Figures } from "./figures.ts";
import type { Finding } from "./finding.ts";
import { stepsFor } from "./guidance.ts";
import { forNewStay } from "./memory.ts";
import type { WatchSettings } from "./settings.ts";
import { isDown, type WatchState } from "./state.ts";
import { closedStay, journalled } from "./stay-summary.ts";
import { keepTrack } from "./track.ts";

/** Faster than this she goes ahead: nobody makes two knots astern. */
const AHEAD_MPS = fromKn(2);

/** Before anything is reckoned: the track, a new stay's memory, the anchor's place by the fall back. */
export function keptCourse(state: WatchState, picture: Picture, settings: WatchSettings): WatchState {
  const isNew = state.memory.journal === undefined && isDown(state.stay.phase);
  const memory = isNew ? forNewStay(state.memory) : state.memory;
  keepTrack(memory.track, picture);
  const { cogDeg, sogMps } = picture.motion?.value ?? { cogDeg: undefined, sogMps: 0 };
  if (cogDeg !== undefined && sogMps >= AHEAD_MPS) memory.lastCourse = { deg: cogDeg, atMs: picture.atMs };
  return refined(isNew ? { ...state, memory } : state, picture, settings.boat);
}

const REFINE_EVERY_MS = 10 * SECOND_MS;
/** Less than this changes nothing, and every change of place begins the drag watch's baseline anew. */
const REFINE_M = 1;

/** No heading at let go: the bearing in which she falls back gives the side on which the roller was. */
function refined(state: WatchState, picture: Picture, boat: Boat): WatchState {
  const { stay, memory } = state;
  const { anchor } = stay;
  const antenna = anchor?.antennaAtLetGo;
  if (stay.phase !== "let-go" || anchor === undefined || antenna === undefined) return state;
  const sinceMs = picture.atMs - anchor.sinceMs;
  if (picture.position?.atMs !== picture.atMs || sinceMs < FALL_BACK_AFTER_MS) return state;
  const off = offsetM(antenna, picture.position.value);
  const { north, east, count } = memory.fallBack ?? { north: 0, east: 0, count: 0 };
  const sum = { north: north + off.north, east: east + off.east, count: count + 1 };
  memory.fallBack = sum;
  if (sinceMs % REFINE_EVERY_MS !== 0) return state;
  const mean = { north: sum.north / sum.count, east: sum.east / sum.count };
  const placed = placedByFallBack(antenna, mean, boat);
  if (placed === undefined) return state;
  const uncertaintyM = Math.min(anchor.uncertaintyM, placed.uncertaintyM);
  const isSame =
    distanceM(anchor.position, placed.position) < REFINE_M && uncertaintyM === anchor.uncertaintyM;
  return isSame ? state : { ...state, stay: { ...stay, anchor: { ...anchor, ...placed, uncertaintyM } } };
}

/** After the findings: callout, steps, journal, and "brought up" where the boat is set to take it so. */
export function concluded(
  state: WatchState,
  picture: Picture,
  figures: Figures,
  findings: readonly Finding[],
  settings: WatchSettings,
): WatchState {
  const { memory, stay } = state;
  const { guidance } = figures;
  guidance.steps = stepsFor(findings, guidance, figures, settings);
  closeOrKeep(state, picture, figures, findings);
  guidance.closed = memory.closed;
  memory.callout = callOut(
    memory.callout,
    callsNow({ state, picture, guidance, figures, settings }),
    picture.atMs,
  );
  guidance.callout = memory.callout;
  return acceptsItself(state, figures, settings)
    ? { ...state, stay: { ...stay, phase: "riding", phaseSinceMs: picture.atMs } }
    : state;
}

function closeOrKeep(
  state: WatchState,
  picture: Picture,
  figures: Figures,
  findings: readonly Finding[],
): void {
  const { memory, stay } = state;
  if (isDown(stay.phase)) {
    memory.journal = journalled(memory.journal, stay, picture, figures, findings);
    return;
  }
  if (memory.journal !== undefined) {
    memory.closed = closedStay(memory.journal, stay);
    memory.journal = undefined;
    const hangsM = figures.heights.forScopeM;
    const isAweigh = memory.closed.how === "aweigh" && hangsM !== undefined;
    memory.aweigh = isAweigh ? { atMs: stay.phaseSinceMs, hangsM } : undefined;
  }
  if (memory.aweigh !== undefined && picture.atMs - memory.aweigh.atMs > AFTER_AWEIGH_MS)
    memory.aweigh = undefined;
}

/** Longer than this after the anchor came up nothing of it is said any more. */
const AFTER_AWEIGH_MS = 3 * MINUTE_MS;
/** Time for a person to say no. */
const STANDS_MS = 10 * SECOND_MS;

/** An anchor that came to rest elsewhere is not taken so: its place must be told first. */
function acceptsItself(
  { stay, memory }: WatchState,
  { guidance }: Figures,
  settings: WatchSettings,
): boolean {
  const { bringingUp } = guidance;
  if (!settings.autoBroughtUp || stay.phase !== "let-go" || bringingUp?.proposed !== true) return false;
  if (bringingUp.creptM !== undefined || stay.rode === undefined) return false;
  const sinceMs = memory.proposedSinceMs;
  const untilMs = memory.journal?.untilMs ?? 0;
  return sinceMs !== undefined && untilMs - sinceMs >= STANDS_MS;
}
