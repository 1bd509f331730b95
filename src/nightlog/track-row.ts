/**
 * A sample as a row of the table `track`: whole numbers, because SQLite keeps a small one in one to four bytes
 * where a fraction always takes eight. The name of each column says its unit. In: samples; out: rows, and back.
 */
import type { Position } from "../units/position.ts";
import { SECOND_MS } from "../units/time.ts";
import type { Sample } from "./sample.ts";

export type Cell = number | null;

export interface TrackPoint extends Omit<Sample, "anchor" | "phase" | "utcOffsetMs" | "position"> {
  position: Position | undefined;
}

export type Figure = Exclude<keyof TrackPoint, "atMs" | "position">;

/** Column, what it holds, and how many of its units go into one of the figure's. */
const COLUMNS: readonly (readonly [column: string, figure: Figure, perUnit: number])[] = [
  ["range_cm", "rangeM", 100],
  ["bearing_ddeg", "bearingDeg", 10],
  ["circle_cm", "circleM", 100],
  ["heading_ddeg", "headingDeg", 10],
  ["sog_cmps", "sogMps", 100],
  ["cog_ddeg", "cogDeg", 10],
  ["depth_cm", "depthM", 100],
  ["wind_cmps", "windMps", 100],
  ["wind_from_ddeg", "windFromDeg", 10],
  ["mean_cmps", "meanMps", 100],
  ["mean_from_ddeg", "meanFromDeg", 10],
  ["gust_cmps", "gustMps", 100],
  ["rode_cm", "rodeM", 100],
  ["scope_c", "scope", 100],
  ["target_c", "target", 100],
  ["dragged_cm", "draggedM", 100],
  ["load_n", "loadN", 1],
];

/** After the time and the place. */
const FIRST_FIGURE = 3;
/** Steps of 11 mm: finer than any receiver aboard. */
const PER_DEG = 1e7;

export const TRACK_COLUMNS: readonly string[] = [
  "at_s",
  "lat_e7",
  "lon_e7",
  ...COLUMNS.map(([name]) => name),
];

export function scaled(value: number | undefined, perUnit: number): Cell {
  return value === undefined ? null : Math.round(value * perUnit);
}

export function unscaled(cell: Cell | undefined, perUnit: number): number | undefined {
  return cell === null || cell === undefined ? undefined : cell / perUnit;
}

/** In the order of `TRACK_COLUMNS`. */
export function trackRow(sample: Sample): Cell[] {
  return [
    Math.round(sample.atMs / SECOND_MS),
    scaled(sample.position?.latDeg, PER_DEG),
    scaled(sample.position?.lonDeg, PER_DEG),
    ...COLUMNS.map(([, figure, perUnit]) => scaled(sample[figure], perUnit)),
  ];
}

/** Where a figure stands in a row, and how many of its column's units go into one of its own. */
export function placeOf(figure: Figure): { at: number; perUnit: number } {
  const i = COLUMNS.findIndex(([, name]) => name === figure);
  return { at: i + FIRST_FIGURE, perUnit: COLUMNS[i]?.[2] ?? 1 };
}

/** A row in the order of `TRACK_COLUMNS`, as it was kept. */
export function trackPoint(row: readonly Cell[]): TrackPoint {
  const point: Record<string, unknown> = {
    atMs: (row[0] ?? 0) * SECOND_MS,
    position: positionIn(row),
  };
  for (const [i, [, figure, perUnit]] of COLUMNS.entries())
    point[figure] = unscaled(row[i + FIRST_FIGURE], perUnit);
  return point as unknown as TrackPoint;
}

export function positionIn(row: readonly Cell[]): Position | undefined {
  const latDeg = unscaled(row[1], PER_DEG);
  const lonDeg = unscaled(row[2], PER_DEG);
  return latDeg === undefined || lonDeg === undefined ? undefined : { latDeg, lonDeg };
}
