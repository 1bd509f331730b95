/**
 * Rows of the track gathered by columns in SQLite itself, which is several times faster than taking every row out.
 * In: a span of stamps; out: per column the extremes in the track's own whole numbers, the last directions, the
 * first place and the farthest.
 */
import type { Database } from "better-sqlite3";
import type { Columns } from "./decimation.ts";
import { type Cell, type Figure, placeOf, TRACK_COLUMNS, unscaled } from "./track-row.ts";

export interface Gathered<Band, Direction> {
  bands: { column: number; band: Band; min: Cell; max: Cell }[];
  directions: { column: number; direction: Direction; deg: number }[];
  /** In order of time, seconds of UTC. */
  places: [lat: number, lon: number, atS: number][];
}

type Bound = [
  offsetMs: number,
  fromMs: number,
  count: number,
  lengthMs: number,
  id: number,
  fromS: number,
  toS: number,
];

const nameOf = (figure: Figure): string => TRACK_COLUMNS[placeOf(figure).at] ?? "";
const HAS_FIX = "AND lat_e7 IS NOT NULL";

/** Stamps from `fromS` up to `toS`, whose UTC is `offsetMs` ahead. */
export function gatherer<Band extends Figure, Direction extends Figure>(
  database: Database,
  id: number,
  { fromMs, toMs, count }: Columns,
  wish: { bands: readonly Band[]; directions: readonly Direction[] },
): (fromS: number, toS: number, offsetMs: number) => Gathered<Band, Direction> {
  const by = (cells: string, where = "") =>
    database
      .prepare<Bound, Cell[]>(
        `SELECT CAST((at_s * 1000 + ? - ?) * ? / ? AS INTEGER) AS place, ${cells} FROM track
         WHERE night_id = ? AND at_s >= ? AND at_s < ? ${where} GROUP BY place ORDER BY place`,
      )
      .raw();
  const extremes = by(wish.bands.map((band) => `min(${nameOf(band)}), max(${nameOf(band)})`).join(", "));
  // With one max() or min() alone, SQLite takes the other cells from the row that holds it.
  const last = by(`max(at_s), ${wish.directions.map(nameOf).join(", ")}`);
  const first = by("min(at_s), lat_e7, lon_e7", HAS_FIX);
  const farthest = by("max(coalesce(range_cm, -1)), lat_e7, lon_e7, at_s", HAS_FIX);
  return (fromS, untilS, offsetMs) => {
    const bound: Bound = [offsetMs, fromMs, count, toMs - fromMs, id, fromS, untilS];
    return {
      bands: extremes.all(...bound).flatMap(([column, ...cells]) =>
        wish.bands.map((band, i) => ({
          column: column ?? 0,
          band,
          min: cells[2 * i] ?? null,
          max: cells[2 * i + 1] ?? null,
        })),
      ),
      directions: last.all(...bound).flatMap(([column, , ...cells]) =>
        wish.directions.flatMap((direction, i) => {
          const deg = unscaled(cells[i], placeOf(direction).perUnit);
          return deg === undefined ? [] : [{ column: column ?? 0, direction, deg }];
        }),
      ),
      places: placesIn(first.all(...bound), farthest.all(...bound), offsetMs),
    };
  };
}

function placesIn(first: Cell[][], farthest: Cell[][], offsetMs: number): Gathered<never, never>["places"] {
  const place = (atS?: Cell, lat?: Cell, lon?: Cell): [number, number, number] => [
    Number(lat) / 1e7,
    Number(lon) / 1e7,
    Math.round(Number(atS) + offsetMs / 1000),
  ];
  return first.flatMap(([, atS, lat, lon], i) => {
    const [, , farLat, farLon, farS] = farthest[i] ?? [];
    const own = [place(atS, lat, lon)];
    return farS === atS ? own : [...own, place(farS, farLat, farLon)];
  });
}
