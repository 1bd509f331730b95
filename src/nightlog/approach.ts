/** The last ten minutes before the anchor is let go, in a bounded ring: the approach belongs to the night. */
import type { Alert } from "../alerts/life-cycle.ts";
import { MINUTE_MS } from "../units/time.ts";
import type { Act } from "./night-buffer.ts";
import type { RawLine } from "./raw-chunk.ts";
import type { Sample } from "./sample.ts";

export type Entry =
  | { kind: "sample"; atMs: number; sample: Sample }
  | { kind: "line"; atMs: number; line: RawLine }
  | { kind: "alert"; atMs: number; alert: Alert }
  | { kind: "act"; atMs: number; act: Act };

const KEPT_MS = 10 * MINUTE_MS;
/** Nine lines a second make 5,400 in ten minutes; a bus in flood keeps the last of it. */
const MOST = 24_000;
const SLACK = 2000;

export interface Approach {
  push(entry: Entry): void;
  entries(): readonly Entry[];
  clear(): void;
}

export function createApproach(): Approach {
  let ring: Entry[] = [];
  let first = 0;
  const clear = (): void => {
    ring = [];
    first = 0;
  };
  return {
    push(entry) {
      // A recorder's time that begins anew, earlier: what came before it belongs to no approach.
      if ((ring.at(-1)?.atMs ?? entry.atMs) - entry.atMs > MINUTE_MS) clear();
      ring.push(entry);
      while (ring.length - first > MOST || (ring[first]?.atMs ?? entry.atMs) < entry.atMs - KEPT_MS) first++;
      if (first <= SLACK) return;
      ring = ring.slice(first);
      first = 0;
    },
    entries: () => ring.slice(first),
    clear,
  };
}
