/** While something may be moving nothing is learnt; and what came back by itself tells how far a receiver strays. */
import { MINUTE_MS } from "../units/time.ts";
import type { Hold } from "./drag-state.ts";
import { type Spread, strayed } from "./spread.ts";

export interface Suspicion {
  on: boolean;
  quietSinceMs: number | undefined;
  /** Farthest out while it lasts, m, less one sigma. */
  peakM: number;
}

export const UNSUSPICIOUS: Suspicion = { on: false, quietSinceMs: undefined, peakM: 0 };

const ON = 3.5;
const QUIET = 2;
const QUIET_MS = 20 * MINUTE_MS;

/** In place: `hold.suspicious`, and the receiver's stray. */
export function suspect(hold: Hold, spread: Spread, atMs: number): void {
  const { suspicion, movedM, sdM } = hold.result;
  const { suspicious } = hold;
  if (suspicion > ON) {
    const peakM = Math.max(suspicious.peakM, movedM - sdM);
    hold.suspicious = { on: true, quietSinceMs: undefined, peakM };
    return;
  }
  if (!suspicious.on) return;
  if (suspicion >= QUIET) {
    hold.suspicious = { ...suspicious, quietSinceMs: undefined };
    return;
  }
  const quietSinceMs = suspicious.quietSinceMs ?? atMs;
  if (atMs - quietSinceMs < QUIET_MS) {
    hold.suspicious = { ...suspicious, quietSinceMs };
    return;
  }
  // It went away by itself: an excursion of the receiver's, not a drag.
  if (hold.tier.alarm === undefined) spread.strayM = strayed(spread, suspicious.peakM);
  hold.suspicious = UNSUSPICIOUS;
}
