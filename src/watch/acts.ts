/**
 * What the operator does. In: state, an order, the picture; out: the next state, or a refusal with its reason
 * and the state unchanged. Each verb is one function in the table; a verb that is not there is not kept yet.
 */
import type { Picture } from "../instruments/picture.ts";
import { STRONGEST_MPS } from "../instruments/wind.ts";
import type { Order, Verb } from "../nmea/sentences/own.ts";
import { aboardM } from "../tackle/rode.ts";
import { vectorOf } from "../units/angle.ts";
import { M_PER_NM } from "../units/length.ts";
import { distanceM, moved, type Position } from "../units/position.ts";
import { MINUTE_MS } from "../units/time.ts";
import { DEEPEST_M, newAnchor, type Placed, resurveyed, rollerPosition, sunk } from "./anchor-position.ts";
import { circleNow } from "./circle.ts";
import type { DragState } from "./drag-state.ts";
import { factAlert } from "./facts.ts";
import { heightsNow } from "./ground.ts";
import { placedAnew } from "./hold.ts";
import { OFF } from "./latch.ts";
import { wishedPlace } from "./let-go-place.ts";
import type { Act, Answer, Outcome, Scene } from "./outcome.ts";
import type { WatchSettings } from "./settings.ts";
import { isDown, type KeepOff, type Stay, UNDER_WAY, type WatchState } from "./state.ts";

/** So long an act can be taken back. */
export const UNDO_MS = MINUTE_MS;
const FARTHEST_M = 5 * M_PER_NM;
/** Of a rode that is not configured. */
export const LONGEST_M = 1000;

const ACTS: { readonly [V in Verb]?: Act<V> } = {
  LETGO: ({ position }, scene) => {
    if (isDown(scene.stay.phase)) return "phase";
    const { picture, settings, state, stay } = scene;
    const placed =
      position === undefined
        ? rollerPosition(picture, settings.boat, state.memory.lastCourse)
        : told(position);
    if (placed === undefined) return "range";
    if (isFar(placed.position, picture)) return "far";
    const { atMs } = picture;
    const anchor = newAnchor(placed, picture, position !== undefined);
    const { expectMps, keepOffs } = stay;
    // Taken now: tomorrow's route must not move it.
    const lie = wishedPlace(stay, picture)?.position;
    // Told on the approach, over another depth: from here on it is reckoned from this one.
    const rise = stay.rise && { ...stay.rise, depthM: anchor.depthM };
    return {
      stay: { ...UNDER_WAY, phase: "let-go", phaseSinceMs: atMs, anchor, rise, expectMps, keepOffs, lie },
      state: { ...state, greatestGustMps: undefined },
    };
  },
  RODE: ({ lengthM }, { state, stay, settings, picture }) => {
    if (!isDown(stay.phase)) return "phase";
    if (lengthM === undefined || lengthM < 0) return "range";
    const mostM = settings.rode === undefined ? LONGEST_M : aboardM(settings.rode);
    if (lengthM > mostM) return "rode";
    const countedM = picture.rodeCountedM?.value ?? state.countedM;
    return { stay: { ...stay, rode: { lengthM, source: "told", atMs: picture.atMs, countedM } } };
  },
  BROUGHTUP: (_, { state, stay, picture, settings }) => {
    if (stay.phase === "let-go") return { stay: { ...stay, phase: "riding", phaseSinceMs: picture.atMs } };
    if (stay.phase !== "riding" || stay.anchor === undefined) return "phase";
    const heightM = heightsNow(stay, picture, settings).forCircleM;
    const rodeM = stay.rode?.lengthM ?? (settings.rode === undefined ? undefined : aboardM(settings.rode));
    const placed =
      rodeM === undefined
        ? undefined
        : resurveyed(picture, settings.boat, stay.anchor, rodeM, heightM, drags(state.drag));
    if (placed === undefined) return "range";
    const latches = { ...state.latches, "outside-circle": OFF, "outside-far": OFF };
    // Said once more and nothing against it: what the watch has learnt since goes on.
    if (placed === stay.anchor && !drags(state.drag)) return { state: { ...state, latches }, stay };
    const anchor = {
      ...stay.anchor,
      ...placed,
      sinceMs: picture.atMs,
      depthM: placed === stay.anchor ? stay.anchor.depthM : picture.depth?.value.surfaceM,
      onBottom: true,
      antennaAtLetGo: undefined,
    };
    return { state: { ...state, latches }, stay: { ...stay, anchor } };
  },
  PLACE: ({ at }, scene) => {
    const { state, stay, picture } = scene;
    if (!isDown(stay.phase) || stay.anchor === undefined) return "phase";
    const position = at?.aim === undefined ? at?.position : aimed(stay.anchor.position, at.aim);
    if (position === undefined || "kind" in position) return "range";
    if (isFar(position, picture)) return "far";
    const anchor = { ...stay.anchor, ...told(position), onBottom: true, antennaAtLetGo: undefined };
    // It answers what was found: the drag watch begins anew from here, even where the place is the same.
    const drag = placedAnew(state.drag, position, beyondCircleM(scene));
    return { state: { ...state, drag }, stay: { ...stay, anchor } };
  },
  WEIGH: ({ ball }, { stay, picture }) => {
    if (stay.phase !== "let-go" && stay.phase !== "riding") return "phase";
    return { stay: { ...stay, phase: "weighing", phaseSinceMs: picture.atMs, ball: ball !== undefined } };
  },
  AWEIGH: (_, { stay, picture }) => (isDown(stay.phase) ? { stay: ended(picture, undefined) } : "phase"),
  SLIP: (_, { stay, picture }) =>
    isDown(stay.phase) ? { stay: ended(picture, stay.anchor?.position) } : "phase",
  RISE: ({ riseM }, { stay, picture }) => {
    if (riseM === undefined || riseM < 0 || riseM > DEEPEST_M) return "range";
    return { stay: { ...stay, rise: { riseM, depthM: picture.depth?.value.surfaceM, atMs: picture.atMs } } };
  },
  SPLICE: (_, { state, stay, settings, picture }) => {
    if (!isDown(stay.phase)) return "phase";
    if (settings.rode === undefined || settings.rode.chainM <= 0) return "rode";
    const countedM = picture.rodeCountedM?.value ?? state.countedM;
    const lengthM = settings.rode.chainM;
    return { stay: { ...stay, rode: { lengthM, source: "splice", atMs: picture.atMs, countedM } } };
  },
  EXPECT: ({ speedMps }, { stay }) => {
    if (speedMps === undefined || speedMps > STRONGEST_MPS) return "range";
    return { stay: { ...stay, expectMps: speedMps } };
  },
  KEEPOFF: ({ aim, name }, { stay, picture }) => {
    const here = picture.position?.value;
    if (aim === undefined || here === undefined || aim.rangeM <= 0) return "range";
    if (aim.rangeM > FARTHEST_M) return "far";
    const mark: KeepOff = {
      name: name ?? "mark",
      position: aimed(here, aim),
      uncertaintyM: Math.max(LEAST_JUDGED_M, JUDGED_SHARE * aim.rangeM),
    };
    const others = stay.keepOffs.filter((other) => other.name !== mark.name);
    return others.length >= MOST_KEEP_OFFS ? "range" : { stay: { ...stay, keepOffs: [...others, mark] } };
  },
  NEUTRAL: (_, { stay, picture }) =>
    isDown(stay.phase) ? "phase" : { stay: { ...stay, neutralMs: picture.atMs } },
  LIE: ({ position }, { stay, picture }) => {
    if (stay.phase === "weighing") return "phase";
    if (position === undefined) return "range";
    if (isFar(position, picture)) return "far";
    return { stay: { ...stay, lie: { latDeg: position.latDeg, lonDeg: position.lonDeg } } };
  },
  BOTTOM: (_, { stay, picture, settings }) => {
    const { anchor, phase } = stay;
    if (phase !== "let-go" || anchor === undefined || anchor.onBottom) return "phase";
    const roller = rollerPosition(picture, settings.boat, undefined);
    if (roller === undefined) return "range";
    return { stay: { ...stay, anchor: { ...anchor, ...sunk(anchor, roller), onBottom: true } } };
  },
  WIND: ({ speedMps, fromDeg }, { state, picture }) => {
    if (speedMps === undefined || speedMps > STRONGEST_MPS) return "range";
    return { state: { ...state, windTold: { speedMps, fromDeg, atMs: picture.atMs } } };
  },
  FACT: ({ key, on, text }, { state, picture }) => {
    if (key === undefined || factAlert(key) === undefined) return "format";
    const { [key]: before, ...facts } = state.facts;
    if (on !== "on") return { state: { ...state, facts } };
    return {
      state: {
        ...state,
        facts: { ...facts, [key]: { text: text ?? key, sinceMs: before?.sinceMs ?? picture.atMs } },
      },
    };
  },
};

/** Verbs that are kept so far. */
export const KEPT_VERBS: readonly Verb[] = [...(Object.keys(ACTS) as Verb[]), "UNDO"];

/** Carries out one order. */
export function act(state: WatchState, order: Order, picture: Picture, settings: WatchSettings): Answer {
  if (order.verb === "UNDO") return undone(state, picture);
  const carryOut = ACTS[order.verb] as Act<Verb> | undefined;
  if (carryOut === undefined) return { ok: false, reason: "format" };
  const outcome = carryOut(order, { state, stay: state.stay, picture, settings });
  if (typeof outcome === "string") return { ok: false, reason: outcome };
  const next = outcome.state ?? state;
  // What the edges report is no act of a person: it is not taken back.
  if (order.verb === "FACT") return { ok: true, state: next };
  const { stay, windTold, memory } = state;
  // The journal is kept only where the stay has ended and with it the journal: while a stay goes on, it is written on.
  const hasEnded = outcome.stay !== undefined && !isDown(outcome.stay.phase);
  const undo = {
    stay,
    windTold,
    journal: hasEnded ? memory.journal : undefined,
    drag: touchesHold(state, outcome) ? copied(state.drag) : undefined,
    atMs: picture.atMs,
  };
  return { ok: true, state: { ...next, stay: outcome.stay ?? stay, undo } };
}

/** As a restart would read it: the watch changes what it has in place. */
function copied(drag: DragState): DragState {
  return JSON.parse(JSON.stringify(drag)) as DragState;
}

/** Does the drag watch begin anew, end, or go on under another rode? */
function touchesHold(state: WatchState, outcome: Exclude<Outcome, string>): boolean {
  const { stay, drag } = state;
  const next = outcome.stay ?? stay;
  const isSameStay = next.phase === stay.phase && next.anchor === stay.anchor && next.rode === stay.rode;
  return !isSameStay || (outcome.state ?? state).drag !== drag;
}

function undone(state: WatchState, picture: Picture): Answer {
  const { undo } = state;
  if (undo === undefined || picture.atMs - undo.atMs > UNDO_MS) return { ok: false, reason: "phase" };
  const { stay, windTold, journal, drag } = undo;
  // Aweigh taken back: the stay that was closed goes on.
  const reopened = isDown(stay.phase) && !isDown(state.stay.phase);
  const memory = reopened ? { ...state.memory, journal, closed: undefined } : state.memory;
  return {
    ok: true,
    state: { ...state, stay, windTold, memory, drag: drag ?? state.drag, undo: undefined },
  };
}

function ended(picture: Picture, slipped: Position | undefined): Stay {
  return { ...UNDER_WAY, phaseSinceMs: picture.atMs, slipped };
}

/** A distance over the water, as a person judges it, one sigma: a judgement. */
const JUDGED_SHARE = 0.1;
const LEAST_JUDGED_M = 3;
const MOST_KEEP_OFFS = 30;

const TOLD_M = 3;

/** How far she is beyond the circle as it would be for a perfect receiver, while the circle's alarm stands. */
function beyondCircleM({ state, stay, picture, settings }: Scene): number | undefined {
  if (state.latches["outside-circle"]?.on !== true) return undefined;
  const circle = circleNow({ ...state, stay }, picture, heightsNow(stay, picture, settings), settings, 0);
  return circle?.rangeM === undefined ? undefined : circle.rangeM - circle.radiusM;
}

function drags({ hold }: DragState): boolean {
  return hold?.tier.alarm !== undefined || hold?.tier.warning !== undefined;
}

function told(position: Position): Placed {
  return {
    position: { latDeg: position.latDeg, lonDeg: position.lonDeg },
    uncertaintyM: TOLD_M,
    byFix: false,
  };
}

function aimed(from: Position, aim: { bearingDeg: number; rangeM: number }): Position {
  return moved(from, vectorOf(aim.rangeM, aim.bearingDeg));
}

function isFar(position: Position, picture: Picture): boolean {
  const here = picture.lastFix?.position;
  return here !== undefined && distanceM(here, position) > FARTHEST_M;
}
