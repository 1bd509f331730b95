/**
 * Looking at what was kept. In: the log's directory; out: nights, their rows and lines, all times true UTC. It
 * never writes, and has its own connection, so that looking and keeping do not wait for one another.
 */
import type { Database } from "better-sqlite3";
import { clockOf, type NightClock } from "./clock.ts";
import { lineOf, listOf, type NightLine, type NightRow, nameNear, namesIn } from "./night-list.ts";
import { plainLines, type RawLine, unpacked } from "./raw-chunk.ts";
import { openForReading } from "./store.ts";
import { type Cell, TRACK_COLUMNS, type TrackPoint, trackPoint } from "./track-row.ts";

/** One raising of an alert, with every state it went through. */
export interface NightAlert {
  key: string;
  /** The highest it reached. */
  priority: string;
  raisedMs: number;
  /** Null: never an alarm; never over. */
  alarmMs: number | null;
  clearedMs: number | null;
  text: string;
  states: { atMs: number; priority: string; status: string; text: string }[];
}

export interface Night extends NightLine {
  beganMs: number;
  lastMs: number;
  config: string;
  phases: { atMs: number; phase: string }[];
  acts: { atMs: number; port: string; text: string; answer: string }[];
  alertList: NightAlert[];
  /** Lines as heard, their bytes, and what they take on the disk. */
  raw: { lines: number; bytes: number; keptBytes: number };
}

export interface Review {
  list(): NightLine[];
  night(id: number): Night | undefined;
  /** The track in order. */
  track(id: number): Generator<TrackPoint>;
  /** Where she was then, or a little before: the last row with a fix up to a minute old. */
  pointAt(id: number, atMs: number): TrackPoint | undefined;
  /** What was known then: the last row of the minute before, with a fix or without. */
  rowAt(id: number, atMs: number): TrackPoint | undefined;
  /** Lines as they were heard, stamped with UTC. */
  lines(id: number): Generator<RawLine>;
  database: Database;
  close(): void;
}

/** Undefined when no night has been kept there. */
export function openReview(directory: string): Review | undefined {
  const database = openForReading(directory);
  if (database === undefined) return undefined;
  return {
    list: () => listOf(database),
    night: (id) => nightOf(database, id),
    track: (id) => trackOf(database, id),
    pointAt: (id, atMs) => pointAt(database, id, atMs, true),
    rowAt: (id, atMs) => pointAt(database, id, atMs, false),
    lines: (id) => linesOf(database, id),
    database,
    close: () => database.close(),
  };
}

function nightOf(database: Database, id: number): Night | undefined {
  const row = database
    .prepare<[number], NightRow & { config: string }>(
      "SELECT nights.*, text AS config FROM nights JOIN configs ON configs.id = config_id WHERE nights.id = ?",
    )
    .get(id);
  if (row === undefined) return undefined;
  const clock = clockOf(database, id);
  const timed = <T extends { atMs: number }>(rows: T[]): T[] =>
    rows.map((one) => ({ ...one, atMs: clock.utcMs(one.atMs) }));
  const { night, ...line } = { night: row, ...lineOf(row, clock) };
  return {
    ...line,
    place: line.place ?? nameNear(namesIn(database), line),
    beganMs: clock.utcMs(night.began_ms),
    lastMs: clock.utcMs(night.last_ms),
    config: night.config,
    phases: timed(
      database
        .prepare<[number], { atMs: number; phase: string }>(
          "SELECT at_ms AS atMs, phase FROM phases WHERE night_id = ? ORDER BY at_ms, rowid",
        )
        .all(id),
    ),
    acts: timed(
      database
        .prepare<[number], Night["acts"][number]>(
          "SELECT at_ms AS atMs, port, text, answer FROM acts WHERE night_id = ? ORDER BY at_ms, rowid",
        )
        .all(id),
    ),
    alertList: alertsOf(database, id, clock),
    raw: rawSizes(database, id),
  };
}

interface AlertRow {
  atMs: number;
  key: string;
  raisedMs: number;
  priority: string;
  status: string;
  text: string;
}

const RANK: Readonly<Record<string, number>> = { caution: 1, warning: 2, alarm: 3 };

/** Every state change, gathered by raising. The condition is over when the alert is rectified, or ends at once. */
function alertsOf(database: Database, id: number, clock: NightClock): NightAlert[] {
  const rows = database
    .prepare<[number], AlertRow>(
      `SELECT at_ms AS atMs, key, raised_ms AS raisedMs, priority, status, text FROM alerts
       WHERE night_id = ? ORDER BY at_ms, rowid`,
    )
    .all(id);
  const raisings = new Map<string, NightAlert>();
  for (const { atMs, key, raisedMs, priority, status, text } of rows) {
    const name = `${key} ${raisedMs}`;
    const alert = raisings.get(name) ?? {
      key,
      priority,
      raisedMs: clock.utcMs(raisedMs),
      alarmMs: null,
      clearedMs: null,
      text,
      states: [],
    };
    raisings.set(name, alert);
    const changedMs = clock.utcMs(atMs);
    alert.states.push({ atMs: changedMs, priority, status, text });
    const over = status === "rectified" || status === "normal";
    if (over) alert.clearedMs ??= changedMs;
    else alert.clearedMs = null;
    if ((RANK[priority] ?? 0) > (RANK[alert.priority] ?? 0)) Object.assign(alert, { priority, text });
    if (priority === "alarm" && !over) alert.alarmMs ??= changedMs;
  }
  return [...raisings.values()];
}

function rawSizes(database: Database, id: number): Night["raw"] {
  const sums = (table: string, bytes: string) =>
    database
      .prepare<[number], { lines: number | null; bytes: number | null; kept: number | null }>(
        `SELECT sum(lines) AS lines, sum(${bytes}) AS bytes, sum(length(data)) AS kept FROM ${table} WHERE night_id = ?`,
      )
      .get(id);
  const chunks = sums("raw_chunks", "bytes");
  const pending = sums("raw_pending", "length(data)");
  return {
    lines: (chunks?.lines ?? 0) + (pending?.lines ?? 0),
    bytes: (chunks?.bytes ?? 0) + (pending?.bytes ?? 0),
    keptBytes: (chunks?.kept ?? 0) + (pending?.kept ?? 0),
  };
}

const SLICE = 200;

/** By slices: a connection that is being read row by row can do nothing else. Stamps are the core's. */
function* trackSlices(database: Database, id: number): Generator<Cell[][]> {
  const slice = database
    .prepare<[number, number, number], Cell[]>(
      `SELECT ${TRACK_COLUMNS.join(", ")} FROM track WHERE night_id = ? AND at_s > ? ORDER BY at_s LIMIT ?`,
    )
    .raw();
  let afterS = Number.MIN_SAFE_INTEGER;
  for (;;) {
    const rows = slice.all(id, afterS, SLICE);
    yield rows;
    if (rows.length < SLICE) return;
    afterS = Number(rows.at(-1)?.[0]);
  }
}

function* trackOf(database: Database, id: number): Generator<TrackPoint> {
  const clock = clockOf(database, id);
  for (const rows of trackSlices(database, id)) {
    for (const row of rows) {
      const point = trackPoint(row);
      yield { ...point, atMs: clock.utcMs(point.atMs) };
    }
  }
}

const FIX_AGE_MS = 60_000;

function pointAt(database: Database, id: number, utcMs: number, needsFix: boolean): TrackPoint | undefined {
  const clock = clockOf(database, id);
  const atS = Math.ceil(clock.stampMs(utcMs) / 1000);
  const row = database
    .prepare<[number, number, number], Cell[]>(
      `SELECT ${TRACK_COLUMNS.join(", ")} FROM track WHERE night_id = ? AND at_s BETWEEN ? AND ?
       ${needsFix ? "AND lat_e7 IS NOT NULL" : ""} ORDER BY at_s DESC LIMIT 1`,
    )
    .raw()
    .get(id, atS - FIX_AGE_MS / 1000, atS);
  if (row === undefined) return undefined;
  const point = trackPoint(row);
  return { ...point, atMs: clock.utcMs(point.atMs) };
}

function* linesOf(database: Database, id: number): Generator<RawLine> {
  const clock = clockOf(database, id);
  // In one view: a chunk that is packed meanwhile must be neither missed nor met twice.
  const { chunks, pending } = database.transaction(() => ({
    chunks: database
      .prepare<[number], number>("SELECT id FROM raw_chunks WHERE night_id = ? ORDER BY id")
      .pluck()
      .all(id),
    pending: database
      .prepare<[number], Buffer>("SELECT data FROM raw_pending WHERE night_id = ? ORDER BY id")
      .pluck()
      .all(id),
  }))();
  const chunk = database.prepare<[number], Buffer>("SELECT data FROM raw_chunks WHERE id = ?").pluck();
  for (const one of chunks) {
    const data = chunk.get(one);
    if (data !== undefined) yield* timedLines(unpacked(data), clock);
  }
  for (const data of pending) yield* timedLines(plainLines(data.toString("latin1")), clock);
}

function* timedLines(lines: readonly RawLine[], clock: NightClock): Generator<RawLine> {
  for (const line of lines) yield { ...line, atMs: clock.utcMs(line.atMs) };
}
