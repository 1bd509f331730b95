/** A night's track as CSV after RFC 4180: CRLF, quotes only where needed, units in the header, absent empty. */
import { toKn } from "../../units/speed.ts";
import { formatInstant } from "../../units/time.ts";
import type { TrackPoint } from "../track-row.ts";

type Value = string | number | undefined;

const COLUMNS: readonly (readonly [header: string, value: (point: TrackPoint) => Value])[] = [
  ["time (UTC)", ({ atMs }) => formatInstant(atMs)],
  ["latitude (deg)", ({ position }) => position?.latDeg.toFixed(7)],
  ["longitude (deg)", ({ position }) => position?.lonDeg.toFixed(7)],
  ["range to anchor (m)", ({ rangeM }) => rangeM],
  ["bearing of anchor (deg true)", ({ bearingDeg }) => bearingDeg],
  ["alarm circle (m)", ({ circleM }) => circleM],
  ["heading (deg true)", ({ headingDeg }) => headingDeg],
  ["speed over ground (kn)", ({ sogMps }) => knots(sogMps)],
  ["course over ground (deg true)", ({ cogDeg }) => cogDeg],
  ["depth from surface (m)", ({ depthM }) => depthM],
  ["wind (kn)", ({ windMps }) => knots(windMps)],
  ["wind from (deg true)", ({ windFromDeg }) => windFromDeg],
  ["10-minute mean wind (kn)", ({ meanMps }) => knots(meanMps)],
  ["10-minute mean wind from (deg true)", ({ meanFromDeg }) => meanFromDeg],
  ["10-minute gust (kn)", ({ gustMps }) => knots(gustMps)],
  ["rode out (m)", ({ rodeM }) => rodeM],
  ["scope", ({ scope }) => scope],
  ["target scope", ({ target }) => target],
  ["anchor moved (m)", ({ draggedM }) => draggedM],
  ["load at gust (N)", ({ loadN }) => loadN],
];

function knots(speedMps: number | undefined): Value {
  return speedMps === undefined ? undefined : toKn(speedMps).toFixed(2);
}

export function* csvOf(points: Iterable<TrackPoint>): Generator<string> {
  yield recordOf(COLUMNS.map(([header]) => header));
  for (const point of points) yield recordOf(COLUMNS.map(([, value]) => value(point)));
}

/** One record, its line end with it. */
export function recordOf(values: readonly Value[]): string {
  return `${values.map(fieldOf).join(",")}\r\n`;
}

function fieldOf(value: Value): string {
  const text = value === undefined ? "" : String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
