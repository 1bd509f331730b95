/**
 * What the operator does. In: state, an order, the picture; out: the next state, or a refusal with its reason
 * and the state unchanged. Each verb is one function in the table; a verb that is not there is not kept yet.
 */
import type { Picture } from "../instruments/picture.ts";
import type { Order, Verb } from "../nmea/sentences/own.ts";
import { aboardM } from "../tackle/rode.ts";
import { vectorOf } from "../units/angle.ts";
import { M_PER_NM } from "../units/length.ts";
import { distanceM, moved, type Position } from "../units/position.ts";
import { MINUTE_MS } from "../units/time.ts";
import { type Placed, resurveyed, rollerPosition } from "./anchor-position.ts";
import { factAlert } from "./facts.ts";
import { heightsNow } from "./ground.ts";
import { OFF } from "./latch.ts";
import type { WatchSettings } from "./settings.ts";
import { isDown, type Stay, UNDER_WAY, type WatchState } from "./state.ts";

export type NakReason = "phase" | "range" | "format" | "port" | "far" | "rode";

export type Answer = { ok: true; state: WatchState } | { ok: false; reason: NakReason };

interface Scene {
  state: WatchState;
  stay: Stay;
  picture: Picture;
  settings: WatchSettings;
}

/** A new stay, which UNDO takes back; a new state for the rest; or why not. */
type Outcome = { stay?: Stay | undefined; state?: WatchState } | NakReason;

type Act<V extends Verb> = (order: Extract<Order, { verb: V }>, scene: Scene) => Outcome;

const UNDO_MS = MINUTE_MS;
const FARTHEST_M = 5 * M_PER_NM;
const DEEPEST_M = 200;
const STRONGEST_MPS = 100;
const LONGEST_M = 1000;

const ACTS: { readonly [V in Verb]?: Act<V> } = {
  LETGO: ({ position }, scene) => {
    if (isDown(scene.stay.phase)) return "phase";
    const placed =
      position === undefined ? rollerPosition(scene.picture, scene.settings.boat) : told(position);
    if (placed === undefined) return "range";
    if (isFar(placed.position, scene.picture)) return "far";
    const { atMs } = scene.picture;
    const anchor = { ...placed, sinceMs: atMs, depthM: scene.picture.depth?.value.surfaceM };
    const { rise, expectMps } = scene.stay;
    return { stay: { ...UNDER_WAY, phase: "let-go", phaseSinceMs: atMs, anchor, rise, expectMps } };
  },
  RODE: ({ lengthM }, { stay, settings, picture }) => {
    if (!isDown(stay.phase)) return "phase";
    if (lengthM === undefined || lengthM < 0) return "range";
    const mostM = settings.rode === undefined ? LONGEST_M : aboardM(settings.rode);
    if (lengthM > mostM) return "rode";
    return { stay: { ...stay, rode: { lengthM, source: "told", atMs: picture.atMs } } };
  },
  BROUGHTUP: (_, { state, stay, picture, settings }) => {
    if (stay.phase === "let-go") return { stay: { ...stay, phase: "riding", phaseSinceMs: picture.atMs } };
    if (stay.phase !== "riding" || stay.anchor === undefined) return "phase";
    const heightM = heightsNow(stay, picture, settings).forCircleM;
    const rodeM = stay.rode?.lengthM ?? (settings.rode === undefined ? undefined : aboardM(settings.rode));
    const placed =
      rodeM === undefined ? undefined : resurveyed(picture, settings.boat, stay.anchor, rodeM, heightM);
    if (placed === undefined) return "range";
    const latches = { ...state.latches, "outside-circle": OFF, "outside-far": OFF };
    const anchor = {
      ...stay.anchor,
      ...placed,
      sinceMs: picture.atMs,
      depthM: picture.depth?.value.surfaceM,
    };
    return { state: { ...state, latches }, stay: { ...stay, anchor } };
  },
  PLACE: ({ at }, { stay, picture }) => {
    if (!isDown(stay.phase) || stay.anchor === undefined) return "phase";
    const position = at?.aim === undefined ? at?.position : aimed(stay.anchor.position, at.aim);
    if (position === undefined || "kind" in position) return "range";
    if (isFar(position, picture)) return "far";
    return { stay: { ...stay, anchor: { ...stay.anchor, ...told(position) } } };
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
  SPLICE: (_, { stay, settings, picture }) => {
    if (!isDown(stay.phase)) return "phase";
    if (settings.rode === undefined || settings.rode.chainM <= 0) return "rode";
    return {
      stay: { ...stay, rode: { lengthM: settings.rode.chainM, source: "splice", atMs: picture.atMs } },
    };
  },
  EXPECT: ({ speedMps }, { stay }) => {
    if (speedMps === undefined || speedMps > STRONGEST_MPS) return "range";
    return { stay: { ...stay, expectMps: speedMps } };
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
  if (outcome.stay === undefined) return { ok: true, state: next };
  return { ok: true, state: { ...next, stay: outcome.stay, undo: { stay: state.stay, atMs: picture.atMs } } };
}

function undone(state: WatchState, picture: Picture): Answer {
  const { undo } = state;
  if (undo === undefined || picture.atMs - undo.atMs > UNDO_MS) return { ok: false, reason: "phase" };
  return { ok: true, state: { ...state, stay: undo.stay, undo: undefined } };
}

function ended(picture: Picture, slipped: Position | undefined): Stay {
  return { ...UNDER_WAY, phaseSinceMs: picture.atMs, slipped };
}

const TOLD_M = 3;

function told(position: Position): Placed {
  return { position: { latDeg: position.latDeg, lonDeg: position.lonDeg }, uncertaintyM: TOLD_M };
}

function aimed(from: Position, aim: { bearingDeg: number; rangeM: number }): Position {
  return moved(from, vectorOf(aim.rangeM, aim.bearingDeg));
}

function isFar(position: Position, picture: Picture): boolean {
  const here = picture.lastFix?.position;
  return here !== undefined && distanceM(here, position) > FARTHEST_M;
}
