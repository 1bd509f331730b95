/**
 * The boat's track of the last hours, in memory: a ring of ten-second spans, each with its least and greatest.
 * In: every second walked and every alert raised; out: columns for the page, decimated. A restart begins anew.
 */
import type { Advance, Second } from "../core.ts";
import type { TrackAnswer } from "../page/boat-state.ts";
import { toKn } from "../units/speed.ts";
import { SECOND_MS } from "../units/time.ts";

const SPAN_MS = 10 * SECOND_MS;
/** Fourteen hours: the longest night at anchor and the evening before it. */
const MOST_SPANS = 5040;
const MOST_MARKS = 300;
export const MOST_POINTS = 600;

interface Span {
  atMs: number;
  lat: number | null;
  lon: number | null;
  rangeMinM: number | null;
  rangeMaxM: number | null;
  circleM: number | null;
  scope: number | null;
  windKn: number | null;
  gustKn: number | null;
}

export interface Track {
  take(advanced: Advance): void;
  /** All spans after `sinceMs`, in at most 600 points. */
  answer(sinceMs: number): TrackAnswer;
}

export function createTrack(): Track {
  let spans: Span[] = [];
  let marks: TrackAnswer["marks"] = [];
  let offsetMs = 0;
  const marked = new Map<string, string>();

  function keep(second: Second): void {
    offsetMs = second.picture.utcOffsetMs ?? offsetMs;
    const span = spanOf(second, offsetMs);
    const last = spans.at(-1);
    if (last !== undefined && sameSpan(last.atMs, span.atMs)) {
      spans[spans.length - 1] = joined([last, span]);
      return;
    }
    spans.push(span);
    if (spans.length > MOST_SPANS) spans = spans.slice(-MOST_SPANS);
  }

  return {
    take({ seconds, changes }) {
      for (const second of seconds) keep(second);
      // Once for each raising, and once more for each rise in priority: not for repetitions.
      for (const { key, priority, status, raisedMs, changedMs } of changes) {
        if (status === "normal" || status === "rectified") marked.delete(key);
        else if (marked.get(key) !== `${raisedMs} ${priority}`) {
          marked.set(key, `${raisedMs} ${priority}`);
          marks.push({ atMs: changedMs + offsetMs, key, priority });
        }
      }
      if (marks.length > MOST_MARKS) marks = marks.slice(-MOST_MARKS);
    },
    answer(sinceMs) {
      // The span under way is told when it is over: so none is told twice.
      const over = spans.slice(0, -1).filter((span) => span.atMs > sinceMs);
      return {
        ...columnsOf(decimated(over, MOST_POINTS)),
        marks: marks.filter((mark) => mark.atMs > sinceMs),
      };
    },
  };
}

function sameSpan(aMs: number, bMs: number): boolean {
  return Math.floor(aMs / SPAN_MS) === Math.floor(bMs / SPAN_MS);
}

function spanOf({ atMs, picture, figures }: Second, offsetMs: number): Span {
  const { position, wind, windMean } = picture;
  const rangeM = figures.circle?.rangeM ?? null;
  const mean = wind === undefined ? undefined : windMean;
  return {
    atMs: atMs + offsetMs,
    lat: position?.value.latDeg ?? null,
    lon: position?.value.lonDeg ?? null,
    rangeMinM: rangeM,
    rangeMaxM: rangeM,
    circleM: figures.circle?.radiusM ?? null,
    scope: figures.scope.now ?? null,
    windKn: mean === undefined ? null : toKn(mean.speedMps),
    gustKn: mean === undefined ? null : toKn(mean.gustMps),
  };
}

/** Several spans as one: extremes are kept, the place is that of the greatest range, the rest is the last's. */
function joined(spans: readonly Span[]): Span {
  let all = spans[0] as Span;
  for (const next of spans.slice(1)) {
    const isFarther = (next.rangeMaxM ?? -1) >= (all.rangeMaxM ?? -1) && next.lat !== null;
    const place = isFarther ? next : all;
    all = {
      atMs: next.atMs,
      lat: place.lat ?? next.lat,
      lon: place.lon ?? next.lon,
      rangeMinM: extreme(Math.min, all.rangeMinM, next.rangeMinM),
      rangeMaxM: extreme(Math.max, all.rangeMaxM, next.rangeMaxM),
      circleM: next.circleM ?? all.circleM,
      scope: extreme(Math.min, all.scope, next.scope),
      windKn: next.windKn ?? all.windKn,
      gustKn: extreme(Math.max, all.gustKn, next.gustKn),
    };
  }
  return all;
}

function extreme(of: (a: number, b: number) => number, a: number | null, b: number | null): number | null {
  if (a === null || b === null) return a ?? b;
  return of(a, b);
}

function decimated(spans: readonly Span[], most: number): Span[] {
  const share = Math.ceil(spans.length / most);
  if (share <= 1) return [...spans];
  return Array.from({ length: Math.ceil(spans.length / share) }, (_, i) =>
    joined(spans.slice(i * share, (i + 1) * share)),
  );
}

function columnsOf(spans: readonly Span[]): Omit<TrackAnswer, "marks"> {
  const round = (value: number | null, to: number) => (value === null ? null : Math.round(value * to) / to);
  const column = (key: Exclude<keyof Span, "atMs">, to: number) => spans.map((span) => round(span[key], to));
  return {
    atMs: spans.map((span) => span.atMs),
    lat: column("lat", 1e7),
    lon: column("lon", 1e7),
    rangeMinM: column("rangeMinM", 10),
    rangeMaxM: column("rangeMaxM", 10),
    circleM: column("circleM", 10),
    scope: column("scope", 100),
    windKn: column("windKn", 10),
    gustKn: column("gustKn", 10),
  };
}
