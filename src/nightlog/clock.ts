/**
 * Stamps of a night as true UTC. Stamps never step, and each run of the daemon has one offset: the last that its
 * receiver told in that night, in whole seconds, so that a stamp has one time and seconds stay whole.
 */
import type { Database } from "better-sqlite3";
import { SECOND_MS } from "../units/time.ts";

export interface NightClock {
  utcMs(atMs: number): number;
  /** The other way. */
  stampMs(utcMs: number): number;
  /** False where a run never heard the time: its times are the board's own. */
  isKnown: boolean;
}

interface Run {
  night_id: number;
  from_ms: number;
  utc_offset_ms: number | null;
}

export function clockOf(database: Database, nightId: number): NightClock {
  const runs = database
    .prepare<[number], Run>("SELECT * FROM runs WHERE night_id = ? ORDER BY from_ms")
    .all(nightId);
  return clockFrom(runs);
}

/** The clocks of all nights, by their ids. */
export function clocksOf(database: Database): (nightId: number) => NightClock {
  const runs = new Map<number, Run[]>();
  for (const run of database.prepare<[], Run>("SELECT * FROM runs ORDER BY night_id, from_ms").all()) {
    const own = runs.get(run.night_id);
    if (own === undefined) runs.set(run.night_id, [run]);
    else own.push(run);
  }
  return (nightId) => clockFrom(runs.get(nightId) ?? []);
}

function clockFrom(runs: readonly Run[]): NightClock {
  const offsets = runs.map((run) => Math.round((run.utc_offset_ms ?? 0) / SECOND_MS) * SECOND_MS);
  const runAt = (isBefore: (fromMs: number, offsetMs: number) => boolean): number => {
    let i = runs.length - 1;
    while (i > 0 && isBefore(runs[i]?.from_ms ?? 0, offsets[i] ?? 0)) i--;
    return i;
  };
  return {
    utcMs: (atMs) => atMs + (offsets[runAt((fromMs) => atMs < fromMs)] ?? 0),
    stampMs: (utcMs) => utcMs - (offsets[runAt((fromMs, offsetMs) => utcMs < fromMs + offsetMs)] ?? 0),
    isKnown: runs.length > 0 && runs.every((run) => run.utc_offset_ms !== null),
  };
}
