/**
 * When a hold of the anchor begins anew: by the operator's acts, never by itself. In: the stay, the picture; out:
 * the hold to go on with. After every act the windows start empty, and what was found is answered.
 */
import type { Picture } from "../instruments/picture.ts";
import { aboardM } from "../tackle/rode.ts";
import { distanceM, type Position } from "../units/position.ts";
import { SECOND_MS } from "../units/time.ts";
import { fitFrom, newReach, placeKnownTo, settled } from "./anchor-fit.ts";
import { FIX_M } from "./anchor-position.ts";
import { type DragState, freshWindows, type Hold, holdOf } from "./drag-state.ts";
import { lieFor } from "./drag-test.ts";
import type { WatchSettings } from "./settings.ts";
import { strayed } from "./spread.ts";
import type { Anchor, Stay } from "./state.ts";

/** Rode told is good to 5 %; the rest of the reach to this, for she lies inside of it oftener than out (a judgement). */
const RODE_SHARE = 0.05;
const REST_M = 1.8;
const MOST_SHARE = 0.1;
/** A rode that nobody has told: anything up to the whole. */
const UNTOLD_SHARE = 0.3;
/** Where roller and antenna are apart is not known either. */
const OFFSET_M = 3;
/** What nothing else accounts for, on each axis. */
const PLACE_REST_M = 1;
/** Digging in takes an anchor a metre or two toward the boat (common practice; the spread is a judgement). */
const SETTING_M = 1.5;
const SETTING_SD_M = 1;

function reachPrior(rodeM: number, told: boolean, offsetKnown: boolean): { sdM: number; mostC: number } {
  const share = told ? RODE_SHARE : UNTOLD_SHARE;
  const sdM = Math.hypot(share * rodeM, REST_M, offsetKnown ? 0 : OFFSET_M);
  return { sdM, mostC: (told ? MOST_SHARE : 2 * UNTOLD_SHARE) * rodeM + (offsetKnown ? 0 : 2 * OFFSET_M) };
}

/** The hold of this second. In place: `state.hold` is set. */
export function keepHold(state: DragState, stay: Stay, picture: Picture, settings: WatchSettings): void {
  const { anchor, phase } = stay;
  if (anchor === undefined || phase === "underway") {
    state.hold = undefined;
    return;
  }
  const rodeM = stay.rode?.lengthM;
  const before = state.hold;
  if (before === undefined || isNewPlace(before, anchor)) {
    state.hold = begun(anchor, rodeM, settings);
    if (before?.ridingMs !== undefined) state.hold.ridingMs = picture.atMs;
  } else if (rodeM !== before.rodeM && phase !== "weighing") veered(before, rodeM, picture, settings);
  if (phase !== "let-go" && state.hold?.ridingMs === undefined && state.hold !== undefined)
    broughtUp(state.hold, picture);
}

const SAME_PLACE_M = 10;

/**
 * The operator says where the anchor is. If that is where it was, an alarm was the receiver's doing: so far does
 * it stray, and the bar for the next is higher. `beyondM`: how far beyond the bare circle she is while its alarm
 * stands; undefined: it does not. The hold begins anew.
 */
export function placedAnew(drag: DragState, at: Position, beyondM: number | undefined): DragState {
  const { hold, source } = drag;
  if (hold === undefined || distanceM(hold.anchor, at) >= SAME_PLACE_M) return { ...drag, hold: undefined };
  const movedM = hold.tier.alarm === undefined ? 0 : Math.max(hold.suspicious.peakM, hold.result.movedM);
  const receivers = drag.receivers.map((one) => {
    if (one.source !== source) return one;
    return { ...one, spread: { ...one.spread, strayM: strayed(one.spread, beyondM ?? 0, movedM) } };
  });
  return { ...drag, receivers, hold: undefined };
}

function isNewPlace(hold: Hold, anchor: Anchor): boolean {
  return (
    hold.anchor.latDeg !== anchor.position.latDeg ||
    hold.anchor.lonDeg !== anchor.position.lonDeg ||
    hold.placedMs !== anchor.sinceMs ||
    hold.uncertaintyM !== anchor.uncertaintyM
  );
}

function begun(anchor: Anchor, rodeM: number | undefined, settings: WatchSettings): Hold {
  const { position, uncertaintyM, byFix, sinceMs } = anchor;
  const lengthM = rodeM ?? (settings.rode === undefined ? 0 : aboardM(settings.rode));
  const prior = reachPrior(lengthM, rodeM !== undefined, settings.boat.rollerToAntennaM !== undefined);
  const fit = fitFrom({
    reachSdM: prior.sdM,
    placeSdM: Math.hypot(uncertaintyM, PLACE_REST_M),
    delta: { north: 0, east: 0 },
    mostC: prior.mostC,
  });
  const fixSdM = byFix ? FIX_M : undefined;
  return holdOf({ anchor: position, placedMs: sinceMs, uncertaintyM, fixSdM, rodeM, fit });
}

const GRACE_MS = 120 * SECOND_MS;
const FALL_BACK_MPS = 0.2;

const LEAST_VEERED_M = 0.5;
const VEERED_SHARE = 0.03;

/** Rode veered or shortened: the anchor stays; she is given the time to fall back. */
function veered(hold: Hold, rodeM: number | undefined, picture: Picture, settings: WatchSettings): void {
  // From the length that the windows began with: a counter that ticks to and fro is not veering, one that goes on is.
  const changeM = Math.abs((rodeM ?? 0) - (hold.begunRodeM ?? hold.rodeM ?? 0));
  hold.rodeM = rodeM;
  if (changeM < Math.max(LEAST_VEERED_M, VEERED_SHARE * (rodeM ?? 0)) && hold.ridingMs !== undefined) return;
  hold.begunRodeM = rodeM;
  const prior = reachPrior(rodeM ?? 0, rodeM !== undefined, settings.boat.rollerToAntennaM !== undefined);
  newReach(hold.fit, prior.sdM, prior.mostC);
  hold.taughtReachM = undefined;
  const { fit, tier, result } = hold;
  const graceMs = Math.min(GRACE_MS, (changeM / FALL_BACK_MPS) * SECOND_MS);
  const alarmed = tier.alarm !== undefined;
  Object.assign(hold, freshWindows(), { fit, graceUntilMs: picture.atMs + graceMs });
  // More rode is what one does about a dragging anchor: it does not answer whether she holds.
  if (alarmed) Object.assign(hold, { tier, result });
}

const SETTING_SEEN_S = 40;

/** Brought up: what the anchor moved while it was set is taken into its place; the watch begins. */
function broughtUp(hold: Hold, picture: Picture): void {
  const lying = lieFor(hold.lie, SETTING_SEEN_S, 0);
  settled(hold.fit, lying?.u ?? { north: 0, east: 0 }, SETTING_M, SETTING_SD_M);
  Object.assign(hold, freshWindows());
  hold.ridingMs = picture.atMs;
}

/** Of the wander in a fix by itself: less than this is not believed of any, and more makes no difference. */
const LEAST_FIX_M = 0.8;
const MOST_FIX_M = 8;
/** A change by less is not worth it. */
const FIX_CHANGE = 1.2;

/**
 * The receiver has become known: the fix at let go was as good or as bad as it is, not as an unknown one's. In
 * place.
 */
export function placedByKnown(hold: Hold, wanderSdM: number): void {
  const before = hold.fixSdM;
  if (before === undefined) return;
  const now = Math.min(MOST_FIX_M, Math.max(LEAST_FIX_M, wanderSdM));
  if (Math.max(now / before, before / now) < FIX_CHANGE) return;
  const ownVar = hold.uncertaintyM ** 2 - FIX_M ** 2 + PLACE_REST_M ** 2;
  placeKnownTo(hold.fit, before ** 2 + ownVar, now ** 2 + ownVar);
  hold.fixSdM = now;
}
