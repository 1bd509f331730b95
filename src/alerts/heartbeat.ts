/**
 * Whether a display is alive, by its heartbeat (HBT). In: heartbeats as they are heard, by port; out: may what
 * it has taken over be left to it. A display may take an alert over only while its heartbeat is heard
 * (IEC 61162-1, ACN command O); when it falls silent the alert is ours again.
 */
import type { Sentence } from "../nmea/table.ts";
import { SECOND_MS } from "../units/time.ts";

export type Heartbeat = Extract<Sentence, { id: "HBT" }>;

/** By port: the last one that was heard, and how long after it the next may be. */
export type Heartbeats = Readonly<Record<string, { atMs: number; withinMs: number }>>;

/** Supervisors usually expect one a minute at least (common practice): one that is rarer supervises nothing. */
const RAREST_S = 60;
/** One may be lost on the way, and the next late. */
const MISSED = 2.5;

/** A heartbeat heard on a port. One that says "not normal", or comes too rarely, ends the trust in that display. */
export function heartbeat(before: Heartbeats, port: string, told: Heartbeat, atMs: number): Heartbeats {
  const intervalS = told.intervalS ?? RAREST_S;
  if (told.status !== "normal" || intervalS <= 0 || intervalS > RAREST_S) {
    const { [port]: _gone, ...others } = before;
    return others;
  }
  return { ...before, [port]: { atMs, withinMs: MISSED * intervalS * SECOND_MS } };
}

/** Is the display on that port alive? */
export function beats(heartbeats: Heartbeats, port: string | undefined, atMs: number): boolean {
  const last = port === undefined ? undefined : heartbeats[port];
  return last !== undefined && atMs - last.atMs <= last.withinMs;
}
