/**
 * Stamps of a night as true UTC. Stamps never step, and each run of the daemon has one offset: the last that its
 * receiver told in that night, in whole seconds, so that a stamp has one time and seconds stay whole.
 */
import type { Database } from "better-sqlite3";
import { SECOND_MS } from "../units/time.ts";

export interface NightClock {
  utcMs(atMs: number): number;
  /** False where a run never heard the time: its times are the board's own. */
  isKnown: boolean;
}

interface Run {
  from_ms: number;
  utc_offset_ms: number | null;
}

export function clockOf(database: Database, nightId: number): NightClock {
  const runs = database
    .prepare<[number], Run>("SELECT from_ms, utc_offset_ms FROM runs WHERE night_id = ? ORDER BY from_ms")
    .all(nightId);
  const offsets = runs.map((run) => Math.round((run.utc_offset_ms ?? 0) / SECOND_MS) * SECOND_MS);
  return {
    utcMs(atMs) {
      let i = runs.length - 1;
      while (i > 0 && (runs[i]?.from_ms ?? 0) > atMs) i--;
      return atMs + (offsets[i] ?? 0);
    },
    isKnown: runs.length > 0 && runs.every((run) => run.utc_offset_ms !== null),
  };
}
