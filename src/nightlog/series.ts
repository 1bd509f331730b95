/**
 * A night for plotting, in so many columns. In: a review, an id, a width; out: arrays that JSON can carry, times
 * true UTC. Read by slices with pauses between them: nobody who looks may keep an alarm waiting.
 */
import { setImmediate as turn } from "node:timers/promises";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { clockOf } from "./clock.ts";
import { type Columns, columnOf, type Extremes, noExtremes, takeIn } from "./decimation.ts";
import { gatherer } from "./gatherer.ts";
import type { Night, Review } from "./review.ts";
import { SPAN_COLUMNS, SPAN_FIGURES } from "./span.ts";
import { type Cell, type Figure, placeOf } from "./track-row.ts";

const BANDS = [
  "rangeM",
  "circleM",
  "depthM",
  "scope",
  "target",
  "meanMps",
  "gustMps",
  "rodeM",
] as const satisfies readonly Figure[];
/** Directions have no least and greatest: the last of each column stands for it. */
const DIRECTIONS = [
  "headingDeg",
  "bearingDeg",
  "windFromDeg",
  "meanFromDeg",
] as const satisfies readonly Figure[];

type Band = (typeof BANDS)[number];
type Direction = (typeof DIRECTIONS)[number];

export interface SeriesWish {
  /** Columns. */
  width: number;
  /** A part of the night, ms of UTC; left out, all of it. */
  fromMs?: number | undefined;
  toMs?: number | undefined;
}

export interface NightSeries {
  night: Omit<Night, "config">;
  /** Middle of each column, seconds of UTC. */
  atS: number[];
  bands: Record<Band, Extremes>;
  directions: Record<Direction, (number | null)[]>;
  /** Of each column the first place and the farthest from the anchor: `[lat, lon, second of UTC]`. */
  plan: [lat: number, lon: number, atS: number][];
}

const LEAST_WIDTH = 10;
export const MOST_WIDTH = 4000;
/** In columns as wide as this, a minute's extreme belongs to its column. */
const MINUTE_FITS_MS = 30 * SECOND_MS;

/** Undefined for a night that is not there. */
export async function nightSeries(
  review: Review,
  id: number,
  wish: SeriesWish,
): Promise<NightSeries | undefined> {
  const night = review.night(id);
  if (night === undefined) return undefined;
  const columns = columnsFor(night, wish);
  const { count } = columns;
  const { config: _config, ...shown } = night;
  const perColumnMs = (columns.toMs - columns.fromMs) / count;
  const series: NightSeries = {
    night: shown,
    atS: Array.from({ length: count }, (_, i) =>
      Math.round((columns.fromMs + (i + 0.5) * perColumnMs) / SECOND_MS),
    ),
    bands: Object.fromEntries(BANDS.map((band) => [band, noExtremes(count)])) as NightSeries["bands"],
    directions: Object.fromEntries(
      DIRECTIONS.map((name) => [name, Array.from({ length: count }, () => null)]),
    ) as NightSeries["directions"],
    plan: [],
  };
  await takeTrack(review, id, columns, series);
  if (perColumnMs >= MINUTE_FITS_MS) takeMinutes(review, id, columns, series);
  // Until here in the whole numbers that are kept: the comparing is most of the work.
  for (const band of BANDS) scale(series.bands[band], placeOf(band).perUnit);
  return series;
}

/** The part that is wished for, as far as it lies in the night. */
function columnsFor({ beganMs, lastMs }: Night, { width, fromMs, toMs }: SeriesWish): Columns {
  const count = Math.round(Math.min(MOST_WIDTH, Math.max(LEAST_WIDTH, width)));
  const endMs = Math.max(lastMs, beganMs) + SECOND_MS;
  const from = Math.min(Math.max(beganMs, fromMs ?? beganMs), endMs - SECOND_MS);
  return { fromMs: from, toMs: Math.max(from + SECOND_MS, Math.min(endMs, toMs ?? endMs)), count };
}

/** A column that a slice of time cuts in two is joined again here. */
async function takeTrack(
  { database }: Review,
  id: number,
  columns: Columns,
  series: NightSeries,
): Promise<void> {
  const gathered = gatherer(database, id, columns, { bands: BANDS, directions: DIRECTIONS });
  for (const { fromMs, toMs, offsetMs } of clockOf(database, id).pieces) {
    const firstMs = Math.max(fromMs, columns.fromMs - offsetMs);
    const endMs = Math.min(toMs, columns.toMs - offsetMs);
    for (let sliceMs = firstMs; sliceMs < endMs; sliceMs += SLICE_MS) {
      const untilMs = Math.min(endMs, sliceMs + SLICE_MS);
      const slice = gathered(sliceMs / SECOND_MS, untilMs / SECOND_MS, offsetMs);
      for (const { column, band, min, max } of slice.bands) {
        takeIn(series.bands[band], column, min);
        takeIn(series.bands[band], column, max);
      }
      for (const { column, direction, deg } of slice.directions) series.directions[direction][column] = deg;
      series.plan.push(...slice.places);
      await turn();
    }
  }
}

/** So many rows, where one was kept each second, are gathered in a few milliseconds. */
const SLICE_MS = 15 * MINUTE_MS;

function scale({ min, max }: Extremes, perUnit: number): void {
  for (const list of [min, max])
    for (const [i, value] of list.entries()) if (value !== null) list[i] = value / perUnit;
}

/** What happened between two kept rows is still in the minute's least and greatest. */
function takeMinutes({ database }: Review, id: number, columns: Columns, series: NightSeries): void {
  const clock = clockOf(database, id);
  const rows = database
    .prepare<[number], Cell[]>(
      `SELECT ${SPAN_COLUMNS.join(", ")} FROM conditions WHERE night_id = ? ORDER BY from_s`,
    )
    .raw()
    .iterate(id);
  for (const [fromS, seconds, ...cells] of rows) {
    const middleMs = clock.utcMs(((fromS ?? 0) + (seconds ?? 0) / 2) * SECOND_MS);
    if (middleMs < columns.fromMs || middleMs >= columns.toMs) continue;
    const column = columnOf(columns, middleMs);
    for (const [i, figure] of SPAN_FIGURES.entries()) {
      const band = BANDS.find((name) => name === figure);
      if (band === undefined) continue;
      takeIn(series.bands[band], column, cells[3 * i]);
      takeIn(series.bands[band], column, cells[3 * i + 2]);
    }
  }
}
