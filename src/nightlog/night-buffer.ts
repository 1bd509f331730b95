/** What of one night waits to be written. Bounded: while the disk fails, the oldest waiting rows are let go. */
import type { Alert } from "../alerts/life-cycle.ts";
import type { RawLine } from "./raw-chunk.ts";
import type { Phase, Sample } from "./sample.ts";
import { grown, type Span, spanRow } from "./span.ts";
import { addChange, addSample, emptySummary, type NightSummary } from "./summary.ts";
import { type Cell, trackRow } from "./track-row.ts";

export type Ending = "aweigh" | "slip" | "cut-off" | "log-end";

export interface Act {
  atMs: number;
  port: string;
  text: string;
  /** `ACK`, or `NAK` with its reason. */
  answer: string;
}

export interface NightBuffer {
  /** Undefined until its row is written. */
  id: number | undefined;
  beganMs: number;
  letGoMs: number;
  lastMs: number;
  ended: { atMs: number; ending: Ending } | undefined;
  /** The let go was taken back: nothing of it is kept. */
  undone: boolean;
  /** Begins with each start of the daemon: within one, stamps never step. */
  run: { fromMs: number; utcOffsetMs: number | undefined };
  summary: NightSummary;
  track: Cell[][];
  spans: Cell[][];
  span: Span | undefined;
  alerts: Alert[];
  acts: Act[];
  phases: { atMs: number; phase: Phase }[];
  raw: RawLine[];
}

export function newBuffer(fromMs: number, letGoMs: number): NightBuffer {
  return {
    id: undefined,
    beganMs: fromMs,
    letGoMs,
    lastMs: letGoMs,
    ended: undefined,
    undone: false,
    run: { fromMs, utcOffsetMs: undefined },
    summary: emptySummary(),
    track: [],
    spans: [],
    span: undefined,
    alerts: [],
    acts: [],
    phases: [],
    raw: [],
  };
}

const MOST_TRACK = 7200;
const MOST_RAW = 60_000;

function bounded<T>(list: T[], most: number): void {
  if (list.length > most) list.splice(0, list.length - Math.floor(most * 0.9));
}

/** @param everySecond keep it, however little happens */
export function bufferSample(buffer: NightBuffer, sample: Sample, everySecond: boolean): void {
  buffer.lastMs = Math.max(buffer.lastMs, sample.atMs);
  buffer.run.utcOffsetMs = sample.utcOffsetMs ?? buffer.run.utcOffsetMs;
  addSample(buffer.summary, sample);
  const span = grown(buffer.span, sample);
  if (buffer.span !== undefined && buffer.span !== span) buffer.spans.push(spanRow(buffer.span));
  buffer.span = span;
  if (everySecond || sample.atMs % 5000 === 0) buffer.track.push(trackRow(sample));
  bounded(buffer.track, MOST_TRACK);
}

export function bufferAlert(buffer: NightBuffer, alert: Alert): void {
  addChange(buffer.summary, alert);
  buffer.alerts.push(alert);
}

export function bufferLine(buffer: NightBuffer, line: RawLine): void {
  buffer.raw.push(line);
  bounded(buffer.raw, MOST_RAW);
}

/** Rows that wait. */
export function waiting({ track, spans, alerts, acts, phases, raw }: NightBuffer): number {
  return track.length + spans.length + alerts.length + acts.length + phases.length + raw.length;
}

/** Forgets what has been written. */
export function written(buffer: NightBuffer): void {
  for (const list of [buffer.track, buffer.spans, buffer.alerts, buffer.acts, buffer.phases, buffer.raw])
    list.length = 0;
}
