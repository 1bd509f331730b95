/**
 * The position's front end: which fixes are accepted. In: the chosen fix each second; out: accepted, held
 * back (with why), or nothing new. It delays a jump and never smooths: an accepted fix is the receiver's own.
 *
 * Rules (all ours, tried on recordings): a fix further from the last accepted one than a gate that grows with
 * time is held back; held-back fixes that agree with one another for 10 s and connect to the last accepted
 * fix at a boat's speed are accepted at once, so a boat adrift is never held back; a jump that persists is
 * accepted as a new level once the gate has grown to it, after three minutes at the latest. A repeated fix
 * (same time, same place) is no fix.
 */
import { distanceM, type Position } from "../units/position.ts";
import { MINUTE_MS } from "../units/time.ts";

export interface Fix extends Position {
  /** Decimals of its minutes: three are steps of nearly 2 m. */
  decimals: number;
  timeOfDayS: number | undefined;
}

export interface AcceptedFix {
  position: Position;
  atMs: number;
  source: string;
}

export interface FixState {
  accepted: AcceptedFix | undefined;
  /** When the first of all was accepted. */
  firstMs: number | undefined;
  held:
    | { firstMs: number; last: Position; lastMs: number; connects: boolean; agreeSinceMs: number }
    | undefined;
  heldCount: number;
  /** Time of the last new level: the windows of the watch restart there. */
  newLevelMs: number | undefined;
}

export const NO_FIXES: FixState = {
  accepted: undefined,
  firstMs: undefined,
  held: undefined,
  heldCount: 0,
  newLevelMs: undefined,
};

const GATE_M = 12;
/** Three times the wander assumed before a receiver is known, 2.5 m. */
const WANDER_M = 7.5;
const GATE_MPS = 2;
/** While fixes are held back it grows more slowly, so that 100 m for a minute never passes. */
const HELD_GATE_MPS = 1;
const DRIFT_MPS = 6;
const AGREE_MS = 10_000;
const NEW_LEVEL_MS = 3 * MINUTE_MS;
/** A receiver just switched on begins far off as often as not: where it stood for less than this is no claim. */
const CLAIM_MS = 5_000;
/** Held-back fixes with a longer gap between them are no row. */
const ROW_GAP_MS = 20_000;
/** No boat this is made for exceeds 60 kn; a searching receiver does. */
const FASTEST_MPS = 31;

/**
 * Judges one new fix. `sogMps` widens the gate of a boat under way; beyond 60 kn it condemns the fix.
 */
export function judgeFix(state: FixState, fix: AcceptedFix, sogMps: number | undefined): FixState {
  if (sogMps !== undefined && sogMps > FASTEST_MPS) return hold(state, fix);
  const last = state.accepted;
  if (last === undefined) return accept(state, fix);
  const isNear = distanceM(last.position, fix.position) <= gateM(state, last, fix.atMs, sogMps ?? 0);
  if (isNear && !isOfJump(state, fix)) return accept(state, fix);
  const next = hold(state, fix);
  const held = next.held;
  if (held === undefined) return next;
  const agreedMs = fix.atMs - held.agreeSinceMs;
  if (held.connects && agreedMs >= AGREE_MS) return accept(next, fix);
  const young = last.atMs - (state.firstMs ?? last.atMs) < CLAIM_MS;
  if (isNear || agreedMs >= (young ? AGREE_MS : NEW_LEVEL_MS))
    return { ...accept(next, fix), newLevelMs: fix.atMs };
  return next;
}

function gateM(state: FixState, last: AcceptedFix, atMs: number, sogMps: number): number {
  const seconds = Math.max(1, (atMs - last.atMs) / 1000);
  const heldSeconds = state.held === undefined ? 0 : (atMs - state.held.firstMs) / 1000;
  return (
    GATE_M +
    WANDER_M +
    1.5 * sogMps * seconds +
    GATE_MPS * (seconds - heldSeconds) +
    HELD_GATE_MPS * heldSeconds
  );
}

/** One of a row of held-back fixes that lie where she could not have drifted to: a jump, whatever the gate says. */
function isOfJump({ held }: FixState, fix: AcceptedFix): boolean {
  return held !== undefined && !held.connects && fix.atMs - held.agreeSinceMs >= AGREE_MS && inRow(held, fix);
}

function accept(state: FixState, fix: AcceptedFix): FixState {
  return { ...state, accepted: fix, firstMs: state.firstMs ?? fix.atMs, held: undefined };
}

function within(a: Position, aMs: number, b: Position, bMs: number): boolean {
  return distanceM(a, b) <= GATE_M + DRIFT_MPS * Math.max(1, (bMs - aMs) / 1000);
}

function inRow(held: NonNullable<FixState["held"]>, fix: AcceptedFix): boolean {
  return fix.atMs - held.lastMs <= ROW_GAP_MS && within(held.last, held.lastMs, fix.position, fix.atMs);
}

function hold(state: FixState, fix: AcceptedFix): FixState {
  const { held, accepted } = state;
  const heldCount = state.heldCount + 1;
  const agrees = held !== undefined && inRow(held, fix);
  if (held !== undefined && agrees) {
    return { ...state, heldCount, held: { ...held, last: fix.position, lastMs: fix.atMs } };
  }
  return {
    ...state,
    heldCount,
    held: {
      firstMs: held?.firstMs ?? fix.atMs,
      last: fix.position,
      lastMs: fix.atMs,
      connects: accepted !== undefined && within(accepted.position, accepted.atMs, fix.position, fix.atMs),
      agreeSinceMs: fix.atMs,
    },
  };
}
