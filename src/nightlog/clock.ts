/**
 * Stamps of a night as true UTC. Stamps never step, and each run of the daemon has one offset: the last that its
 * receiver told in that night, in whole seconds, so that a stamp has one time and seconds stay whole.
 *
 * What the receiver told of a second was taken at that second's end: the offset is up to a second too small, plus
 * the fraction that the sentence took to come. The next whole second above is nearer, within 0.7 s for a sentence
 * that comes 0.3 s late, where the one below may be 1.3 s slow. An imported log's stamps are UTC as they are.
 */
import type { Database } from "better-sqlite3";
import { SECOND_MS } from "../units/time.ts";

export interface NightClock {
  utcMs(atMs: number): number;
  /** The other way. */
  stampMs(utcMs: number): number;
  /** The runs, each up to the next: what to add to its stamps. */
  pieces: readonly { fromMs: number; toMs: number; offsetMs: number }[];
  /** False where a run never heard the time: its times are the board's own. */
  isKnown: boolean;
}

interface Run {
  night_id: number;
  from_ms: number;
  utc_offset_ms: number | null;
  origin: string;
}

const RUNS = "SELECT runs.*, origin FROM runs JOIN nights ON nights.id = night_id";

function offsetOf({ utc_offset_ms: toldMs, origin }: Run): number {
  if (toldMs === null) return 0;
  const seconds = origin === "import" ? Math.round(toldMs / SECOND_MS) : Math.floor(toldMs / SECOND_MS) + 1;
  return seconds * SECOND_MS;
}

export function clockOf(database: Database, nightId: number): NightClock {
  const runs = database.prepare<[number], Run>(`${RUNS} WHERE night_id = ? ORDER BY from_ms`).all(nightId);
  return clockFrom(runs);
}

/** The clocks of all nights, by their ids. */
export function clocksOf(database: Database): (nightId: number) => NightClock {
  const runs = new Map<number, Run[]>();
  for (const run of database.prepare<[], Run>(`${RUNS} ORDER BY night_id, from_ms`).all()) {
    const own = runs.get(run.night_id);
    if (own === undefined) runs.set(run.night_id, [run]);
    else own.push(run);
  }
  return (nightId) => clockFrom(runs.get(nightId) ?? []);
}

function clockFrom(runs: readonly Run[]): NightClock {
  const offsets = runs.map(offsetOf);
  const runAt = (isBefore: (fromMs: number, offsetMs: number) => boolean): number => {
    let i = runs.length - 1;
    while (i > 0 && isBefore(runs[i]?.from_ms ?? 0, offsets[i] ?? 0)) i--;
    return i;
  };
  return {
    utcMs: (atMs) => atMs + (offsets[runAt((fromMs) => atMs < fromMs)] ?? 0),
    stampMs: (utcMs) => utcMs - (offsets[runAt((fromMs, offsetMs) => utcMs < fromMs + offsetMs)] ?? 0),
    pieces: piecesOf(runs, offsets),
    isKnown: runs.length > 0 && runs.every((run) => run.utc_offset_ms !== null),
  };
}

function piecesOf(runs: readonly Run[], offsets: readonly number[]): NightClock["pieces"] {
  if (runs.length === 0)
    return [{ fromMs: Number.MIN_SAFE_INTEGER, toMs: Number.MAX_SAFE_INTEGER, offsetMs: 0 }];
  return runs.map((run, i) => ({
    // What lies before the first run's beginning (there is nothing) is its own.
    fromMs: i === 0 ? Number.MIN_SAFE_INTEGER : run.from_ms,
    toMs: runs[i + 1]?.from_ms ?? Number.MAX_SAFE_INTEGER,
    offsetMs: offsets[i] ?? 0,
  }));
}
