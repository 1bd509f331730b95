/** Lost data: what is missing, since when, and how much it matters in this phase. */
import type { Picture } from "../instruments/picture.ts";
import { formatClock, SECOND_MS } from "../units/time.ts";
import type { Finding, Priority } from "./finding.ts";
import { latch, OFF } from "./latch.ts";
import { isDown, type WatchState } from "./state.ts";

const LOST_MS = 10 * SECOND_MS;
const WORSE_MS = 60 * SECOND_MS;
/** Data must have been back for this long: a sensor that comes and goes makes one alert, not hundreds. */
const STEADY_MS = 60 * SECOND_MS;

interface Loss {
  key: "position-lost" | "depth-lost" | "wind-lost" | "heading-lost";
  /** When it was last there; undefined: not to be missed yet. */
  lastMs: number | undefined;
  priority: (goneMs: number) => Priority;
  text: () => string;
}

/**
 * Findings for position, depth, wind and heading. On passage all are cautions: nobody sleeps then.
 * `state.latches` is brought up to date in place.
 */
export function lostFindings(state: WatchState, picture: Picture): Finding[] {
  const down = isDown(state.stay.phase);
  const losses = [positionLoss(state, picture, down), depthLoss(state, picture, down), ...otherLosses(state)];
  return losses.flatMap((loss) => {
    const goneMs = loss.lastMs === undefined ? 0 : picture.atMs - loss.lastMs;
    const before = state.latches[loss.key] ?? OFF;
    const now = latch(before, goneMs >= LOST_MS, 0, STEADY_MS, picture.atMs);
    state.latches[loss.key] = now;
    if (!now.on) return [];
    const text = goneMs >= LOST_MS ? loss.text() : "Back, not steady yet";
    return [{ key: loss.key, priority: loss.priority(goneMs), text, amount: undefined }];
  });
}

function clock(picture: Picture, atMs: number): string {
  return formatClock(atMs + (picture.utcOffsetMs ?? 0));
}

/** Counted from the last accepted fix: a fix held back as a jump is no position. */
function positionLoss(state: WatchState, picture: Picture, down: boolean): Loss {
  const lastMs = picture.lastFix?.atMs ?? state.startedMs;
  const why = picture.heldBack === undefined ? "No fix" : "Fix jumps";
  const onWatch = (goneMs: number): Priority => (goneMs >= WORSE_MS ? "alarm" : "warning");
  return {
    key: "position-lost",
    lastMs,
    priority: down ? onWatch : () => "caution",
    text: () => `${why} since ${clock(picture, lastMs)}. Check by eye`,
  };
}

/** On watch a boat without any depth must be told so; on passage only the loss of one that was there. */
function depthLoss(state: WatchState, picture: Picture, down: boolean): Loss {
  const seenMs = state.seenMs.depth;
  const never = seenMs === undefined;
  const worse = down && !never;
  return {
    key: "depth-lost",
    lastMs: never && down ? (state.stay.anchor?.sinceMs ?? state.stay.phaseSinceMs) : seenMs,
    priority: (goneMs) => (worse && goneMs >= WORSE_MS ? "warning" : "caution"),
    text: () => (never ? "No sounder heard: scope not known" : `No depth since ${clock(picture, seenMs)}`),
  };
}

/** Wind and heading: a boat that never had the instrument is not told every night that it is missing. */
function otherLosses(state: WatchState): Loss[] {
  const caution = (): Priority => "caution";
  const { wind, heading } = state.seenMs;
  return [
    { key: "wind-lost", lastMs: wind, priority: caution, text: () => "No wind: target from the last known" },
    {
      key: "heading-lost",
      lastMs: heading,
      priority: caution,
      text: () => "No heading: anchor's place less sure",
    },
  ];
}
