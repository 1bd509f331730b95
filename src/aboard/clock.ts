/**
 * The daemon's time: UTC at start plus monotonic time elapsed, so that it never steps. With a recorder on board
 * (a port with `clock = "tag"`) its stamps are the time and drive the ticks; when it falls silent, time goes on
 * by itself after a while, since silence must alarm too.
 */
import { SECOND_MS } from "../units/time.ts";

export interface AboardClock {
  /** Now, ms of UTC. Never goes back. */
  nowMs(): number;
  /** A stamp heard from a recorder. True when it is the first. */
  heard(stampMs: number): boolean;
  /** Should the passing of time itself be fed in? */
  ticks(): boolean;
}

/** More than the night log may be ahead of the state file. */
const KEPT_AHEAD_MS = 10 * SECOND_MS;

/**
 * UTC to start from: the wall clock's, or, on a board that wakes in the past for want of a clock of its own, just
 * after all that may have been kept of the last watch.
 */
export function startTime(wallMs: number, savedMs: number | undefined): number {
  return savedMs === undefined || wallMs > savedMs ? wallMs : savedMs + KEPT_AHEAD_MS;
}

const SILENT_MS = 15 * SECOND_MS;

/**
 * @param startMs UTC to start from
 * @param byTag true when a recorder's stamps are the time
 */
export function createAboardClock(startMs: number, byTag: boolean): AboardClock {
  const begun = performance.now();
  if (!byTag) {
    return { nowMs: () => startMs + (performance.now() - begun), heard: () => false, ticks: () => true };
  }
  let lastMs: number | undefined;
  let lastAt = begun;
  const silentMs = () => performance.now() - lastAt;
  return {
    nowMs: () => (lastMs ?? startMs) + Math.max(0, silentMs() - SILENT_MS),
    heard(stampMs) {
      const first = lastMs === undefined;
      // A recorder whose stamps stand still, or went back, has fallen silent as far as time goes.
      if (lastMs !== undefined && stampMs <= lastMs) return false;
      lastMs = stampMs;
      lastAt = performance.now();
      return first;
    },
    ticks: () => silentMs() > SILENT_MS,
  };
}
