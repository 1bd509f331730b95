/**
 * A night for plotting, in so many columns. In: a review, an id, a width; out: arrays that JSON can carry, times
 * true UTC. Read by slices with pauses between them: nobody who looks may keep an alarm waiting.
 */
import { SECOND_MS } from "../units/time.ts";
import { clockOf } from "./clock.ts";
import { type Columns, columnOf, type Extremes, noExtremes, takeIn } from "./decimation.ts";
import { type Night, type Review, trackSlices } from "./review.ts";
import { SPAN_COLUMNS, SPAN_FIGURES } from "./span.ts";
import { type Cell, type Figure, placeOf, positionIn, unscaled } from "./track-row.ts";

const BANDS = [
  "rangeM",
  "circleM",
  "depthM",
  "scope",
  "target",
  "windMps",
  "meanMps",
  "gustMps",
  "rodeM",
  "draggedM",
  "loadN",
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
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** Undefined for a night that is not there. */
export async function nightSeries(
  review: Review,
  id: number,
  width: number,
): Promise<NightSeries | undefined> {
  const night = review.night(id);
  if (night === undefined) return undefined;
  const count = Math.round(Math.min(MOST_WIDTH, Math.max(LEAST_WIDTH, width)));
  const columns: Columns = {
    fromMs: night.beganMs,
    toMs: Math.max(night.lastMs, night.beganMs) + SECOND_MS,
    count,
  };
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

async function takeTrack(
  { database }: Review,
  id: number,
  columns: Columns,
  series: NightSeries,
): Promise<void> {
  const clock = clockOf(database, id);
  const plan = createPlan();
  const bands = BANDS.map((band) => ({ into: series.bands[band], ...placeOf(band) }));
  const directions = DIRECTIONS.map((name) => ({ into: series.directions[name], ...placeOf(name) }));
  for (const rows of trackSlices(database, id)) {
    for (const row of rows) {
      const utcMs = clock.utcMs((row[0] ?? 0) * SECOND_MS);
      const column = columnOf(columns, utcMs);
      for (const { into, at } of bands) takeIn(into, column, row[at]);
      for (const { into, at, perUnit } of directions)
        into[column] = unscaled(row[at], perUnit) ?? into[column] ?? null;
      plan.take(column, row, utcMs);
    }
    await turn();
  }
  series.plan = plan.places();
}

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
    const column = columnOf(columns, middleMs);
    for (const [i, figure] of SPAN_FIGURES.entries()) {
      takeIn(series.bands[figure], column, cells[3 * i]);
      takeIn(series.bands[figure], column, cells[3 * i + 2]);
    }
  }
}

/** First and farthest place of each column, in order of time. */
function createPlan() {
  const places: NightSeries["plan"] = [];
  const range = placeOf("rangeM");
  let column = -1;
  let farthest: { range: number; place: NightSeries["plan"][number] } | undefined;
  const finish = (): void => {
    if (farthest !== undefined && farthest.place !== places.at(-1)) places.push(farthest.place);
    farthest = undefined;
  };
  return {
    take(at: number, row: readonly Cell[], utcMs: number): void {
      const position = positionIn(row);
      if (position === undefined) return;
      const isFirst = at !== column;
      const out = row[range.at] ?? -1;
      if (!isFirst && out <= (farthest?.range ?? -1)) return;
      const place: NightSeries["plan"][number] = [
        position.latDeg,
        position.lonDeg,
        Math.round(utcMs / SECOND_MS),
      ];
      if (isFirst) {
        finish();
        column = at;
        places.push(place);
      }
      farthest = { range: out, place };
    },
    places(): NightSeries["plan"] {
      finish();
      return places;
    },
  };
}
