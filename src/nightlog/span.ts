/**
 * Least, mean and greatest of the figures over a minute. In: samples; out: one row of the table `conditions` a
 * minute. A minute that a restart cuts in two is two rows: each is of its own samples only.
 */
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import type { Sample } from "./sample.ts";
import { type Cell, scaled } from "./track-row.ts";

/** Column stem, figure, and how many of the column's units go into one of the figure's. */
const FIGURES = [
  ["depth_cm", "depthM", 100],
  ["wind_cmps", "windMps", 100],
  ["gust_cmps", "gustMps", 100],
  ["scope_c", "scope", 100],
  ["range_cm", "rangeM", 100],
  ["load_n", "loadN", 1],
] as const;

export type SpanFigure = (typeof FIGURES)[number][1];

/** In units of the track's columns of the same name. */
export const SPAN_FIGURES: readonly SpanFigure[] = FIGURES.map(([, figure]) => figure);
export const SPAN_COLUMNS: readonly string[] = [
  "from_s",
  "seconds",
  ...FIGURES.flatMap(([stem]) => [`${stem}_min`, `${stem}_mean`, `${stem}_max`]),
];

interface Extent {
  min: number;
  max: number;
  sum: number;
  n: number;
}

/** A minute under way. */
export interface Span {
  fromMs: number;
  seconds: number;
  extents: Partial<Record<SpanFigure, Extent>>;
}

/** The span that this sample falls in: the one given, grown in place, or a new one. */
export function grown(span: Span | undefined, sample: Sample): Span {
  const same = span !== undefined && minuteOf(span.fromMs) === minuteOf(sample.atMs);
  const into = same ? span : { fromMs: sample.atMs, seconds: 0, extents: {} };
  into.seconds++;
  for (const [, figure] of FIGURES) {
    const value = sample[figure];
    if (value !== undefined) widen(into.extents, figure, value);
  }
  return into;
}

function minuteOf(atMs: number): number {
  return Math.floor(atMs / MINUTE_MS);
}

function widen(extents: Span["extents"], figure: SpanFigure, value: number): void {
  const extent = extents[figure];
  if (extent === undefined) {
    extents[figure] = { min: value, max: value, sum: value, n: 1 };
    return;
  }
  extent.min = Math.min(extent.min, value);
  extent.max = Math.max(extent.max, value);
  extent.sum += value;
  extent.n++;
}

/** In the order of `SPAN_COLUMNS`. */
export function spanRow(span: Span): Cell[] {
  const cells = FIGURES.flatMap(([, figure, perUnit]) => {
    const extent = span.extents[figure];
    return extent === undefined
      ? [null, null, null]
      : [extent.min, extent.sum / extent.n, extent.max].map((value) => scaled(value, perUnit));
  });
  return [Math.round(span.fromMs / SECOND_MS), span.seconds, ...cells];
}
