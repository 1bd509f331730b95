/** The list of nights: a line each, from the summaries alone. In: a database; out: lines, times true UTC. */
import type { Database } from "better-sqlite3";
import { distanceM } from "../units/position.ts";
import { formatInstant, HOUR_MS } from "../units/time.ts";
import { clocksOf, type NightClock } from "./clock.ts";
import { type Cell, unscaled } from "./track-row.ts";

/** One line of the list. Times RFC 3339, absent null. */
export interface NightLine {
  id: number;
  origin: string;
  /** False: the receiver never told the time, so these are the board's own. */
  utcKnown: boolean;
  letGo: string;
  ended: string | null;
  ending: string | null;
  hours: number;
  /** The operator's name for it, given to this night or to another near it. */
  place: string | null;
  lat: number | null;
  lon: number | null;
  rodeM: number | null;
  meanMps: number | null;
  gustMps: number | null;
  /** Where the greatest mean wind came from. */
  windFromDeg: number | null;
  leastScope: number | null;
  leastDepthM: number | null;
  outsideM: number | null;
  /** Least room left to the circle while on watch; below zero: outside. */
  spareM: number | null;
  draggedM: number | null;
  alerts: number;
  alarms: number;
}

export interface NightRow {
  id: number;
  origin: string;
  began_ms: number;
  let_go_ms: number;
  last_ms: number;
  ended_ms: number | null;
  ending: string | null;
  place: string | null;
  alerts: number;
  alarms: number;
  [column: string]: Cell | string;
}

const LISTED = `SELECT id, origin, began_ms, let_go_ms, last_ms, ended_ms, ending, place, lat_e7, lon_e7, rode_cm,
  mean_cmps, from_ddeg, gust_cmps, least_scope_c, least_depth_cm, outside_cm, spare_cm, dragged_cm, alerts, alarms
  FROM nights`;

export function listOf(database: Database): NightLine[] {
  const clock = clocksOf(database);
  const names = namesIn(database);
  return database
    .prepare<[], NightRow>(`${LISTED} ORDER BY let_go_ms DESC, id DESC`)
    .all()
    .map((row) => lineOf(row, clock(row.id)))
    .map((line) => ({ ...line, place: line.place ?? nameNear(names, line) }));
}

export function lineOf(row: NightRow, clock: NightClock): NightLine {
  const figure = (column: string, perUnit: number): number | null =>
    unscaled(typeof row[column] === "number" ? Number(row[column]) : null, perUnit) ?? null;
  const letGoMs = clock.utcMs(row.let_go_ms);
  const untilMs = clock.utcMs(row.ended_ms ?? row.last_ms);
  return {
    id: row.id,
    origin: row.origin,
    utcKnown: clock.isKnown,
    letGo: formatInstant(letGoMs),
    ended: row.ended_ms === null ? null : formatInstant(clock.utcMs(row.ended_ms)),
    ending: row.ending,
    hours: Math.round(((untilMs - letGoMs) / HOUR_MS) * 100) / 100,
    place: row.place,
    lat: figure("lat_e7", 1e7),
    lon: figure("lon_e7", 1e7),
    rodeM: figure("rode_cm", 100),
    meanMps: figure("mean_cmps", 100),
    gustMps: figure("gust_cmps", 100),
    windFromDeg: figure("from_ddeg", 10),
    leastScope: figure("least_scope_c", 100),
    leastDepthM: figure("least_depth_cm", 100),
    outsideM: figure("outside_cm", 100),
    spareM: figure("spare_cm", 100),
    draggedM: figure("dragged_cm", 100),
    alerts: row.alerts,
    alarms: row.alarms,
  };
}

/** Anchors nearer than this lie in the same place. */
const SAME_PLACE_M = 300;

export interface NamedPlace {
  id: number;
  name: string;
  lat: number;
  lon: number;
}

export type Placed = Pick<NightLine, "lat" | "lon">;

export function namesIn(database: Database): NamedPlace[] {
  return database
    .prepare<[], NamedPlace>(
      `SELECT id, place AS name, lat_e7 / 1e7 AS lat, lon_e7 / 1e7 AS lon FROM nights
       WHERE place IS NOT NULL AND lat_e7 IS NOT NULL ORDER BY let_go_ms DESC`,
    )
    .all();
}

/** The name that was last given to a place near by. */
export function nameNear(names: readonly NamedPlace[], { lat, lon }: Placed): string | null {
  if (lat === null || lon === null) return null;
  const here = { latDeg: lat, lonDeg: lon };
  return names.find((one) => isNear(here, one))?.name ?? null;
}

function isNear(here: { latDeg: number; lonDeg: number }, { lat, lon }: NamedPlace): boolean {
  // Most are far: a degree of latitude is 111 km.
  if (Math.abs(here.latDeg - lat) > 0.01) return false;
  return distanceM(here, { latDeg: lat, lonDeg: lon }) <= SAME_PLACE_M;
}
