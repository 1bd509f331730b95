/** Buffers into the database: each call one transaction, all of it or nothing. */
import type { Database, Statement } from "better-sqlite3";
import type { Alert } from "../alerts/life-cycle.ts";
import type { Ending, NightBuffer } from "./night-buffer.ts";
import { newBuffer } from "./night-buffer.ts";
import { plainText, type RawLine } from "./raw-chunk.ts";
import { NIGHT_TABLES } from "./schema.ts";
import { SPAN_COLUMNS, spanRow } from "./span.ts";
import { emptySummary, type NightSummary, SUMMARY_COLUMNS, summaryCells } from "./summary.ts";
import { type Cell, TRACK_COLUMNS, unscaled } from "./track-row.ts";

export type Origin = "watch" | "import";

export interface Writer {
  /** Writes all that waits in these. Sets the id of a night that is new. */
  write(buffers: readonly NightBuffer[]): void;
  /** The night that a watch begun at `fromMs` goes on with: the one still open, as a buffer of its own run. */
  resume(fromMs: number, letGoMs: number): NightBuffer | undefined;
  /** Ends nights of the watch that were cut off and are not gone on with. */
  endCutOff(currentId: number | undefined): void;
}

type Values = unknown[];

function insert(
  database: Database,
  table: string,
  columns: readonly string[],
  verb = "INSERT",
): Statement<Values> {
  const all = ["night_id", ...columns];
  return database.prepare<Values>(
    `${verb} INTO ${table} (${all.join(", ")}) VALUES (${all.map(() => "?").join(", ")})`,
  );
}

export function createWriter(database: Database, origin: Origin, config: string | (() => string)): Writer {
  const begin = database.prepare<Values>(
    `INSERT INTO nights (origin, config_id, began_ms, let_go_ms, last_ms)
     VALUES (?, (SELECT id FROM configs WHERE text = ?), ?, ?, ?)`,
  );
  const addRun = insert(database, "runs", ["from_ms", "utc_offset_ms"], "INSERT OR REPLACE");
  const addTrack = insert(database, "track", TRACK_COLUMNS, "INSERT OR REPLACE");
  const addSpan = insert(database, "conditions", SPAN_COLUMNS, "INSERT OR REPLACE");
  const addAlert = insert(database, "alerts", ["at_ms", "key", "raised_ms", "priority", "status", "text"]);
  const addAct = insert(database, "acts", ["at_ms", "port", "text", "answer"]);
  const addPhase = insert(database, "phases", ["at_ms", "phase"]);
  const addRaw = insert(database, "raw_pending", ["to_ms", "lines", "data"]);
  const summarize = database.prepare<Values>(
    `UPDATE nights SET last_ms = ?, ended_ms = ?, ending = ?, alerts = ?, alarms = ?,
     ${SUMMARY_COLUMNS.map((column) => `${column} = ?`).join(", ")} WHERE id = ?`,
  );

  const addConfig = database.prepare<Values>("INSERT OR IGNORE INTO configs (text) VALUES (?)");
  const rowOf = (buffer: NightBuffer): number => {
    const text = typeof config === "string" ? config : config();
    addConfig.run(text);
    const { beganMs, letGoMs, lastMs } = buffer;
    return Number(begin.run(origin, text, beganMs, letGoMs, lastMs).lastInsertRowid);
  };
  const writeEvents = ({ alerts, acts, phases }: NightBuffer, id: number): void => {
    for (const alert of alerts) addAlert.run(id, ...alertCells(alert));
    for (const { atMs, port, text, answer } of acts) addAct.run(id, atMs, port, text, answer);
    for (const { atMs, phase } of phases) addPhase.run(id, Math.floor(atMs), phase);
  };
  const writeOne = (buffer: NightBuffer, id: number): void => {
    addRun.run(id, Math.floor(buffer.run.fromMs), buffer.run.utcOffsetMs ?? null);
    for (const row of buffer.track) addTrack.run(id, ...row);
    for (const row of buffer.spans) addSpan.run(id, ...row);
    // The minute under way too: a power cut must not cost it.
    if (buffer.span !== undefined) addSpan.run(id, ...spanRow(buffer.span));
    writeEvents(buffer, id);
    if (buffer.raw.length > 0) addRaw.run(id, ...rawCells(buffer.raw));
    const { lastMs, ended, summary } = buffer;
    const counts = [summary.raised.size, summary.alarmed.size];
    summarize.run(
      lastMs,
      ended?.atMs ?? null,
      ended?.ending ?? null,
      ...counts,
      ...summaryCells(summary),
      id,
    );
  };
  const writeAll = database.transaction((buffers: readonly NightBuffer[]) => {
    const ids: (number | undefined)[] = [];
    for (const buffer of buffers) {
      if (buffer.undone) {
        if (buffer.id !== undefined) forget(database, buffer.id);
        ids.push(undefined);
        continue;
      }
      const id = buffer.id ?? rowOf(buffer);
      writeOne(buffer, id);
      ids.push(id);
    }
    return ids;
  });

  return {
    write(buffers) {
      const ids = writeAll.immediate(buffers);
      // Only now: a transaction that failed has given no ids.
      for (const [i, buffer] of buffers.entries()) buffer.id = ids[i];
    },
    resume: (fromMs, letGoMs) => resumed(database, fromMs, letGoMs),
    endCutOff(currentId) {
      database
        .prepare<Values>(
          `UPDATE nights SET ended_ms = last_ms, ending = ? WHERE ended_ms IS NULL AND origin = 'watch' AND id IS NOT ?`,
        )
        .run("cut-off" satisfies Ending, currentId ?? null);
    },
  };
}

function alertCells({ changedMs, key, raisedMs, priority, status, text }: Alert): Values {
  return [Math.floor(changedMs), key, Math.floor(raisedMs), priority, status, text];
}

function rawCells(lines: readonly RawLine[]): Values {
  return [lines.at(-1)?.atMs ?? 0, lines.length, Buffer.from(plainText(lines), "latin1")];
}

/** Deletes a short night whole. Long ones go by slices, see `retention.ts`. */
function forget(database: Database, id: number): void {
  for (const [table] of NIGHT_TABLES) database.prepare(`DELETE FROM ${table} WHERE night_id = ?`).run(id);
  database.prepare("DELETE FROM nights WHERE id = ?").run(id);
}

/** A let go later than anything the open night holds is another night's. */
const LATER_MS = 60_000;

interface OpenRow {
  id: number;
  began_ms: number;
  let_go_ms: number;
  last_ms: number;
  [column: string]: number | null;
}

function resumed(database: Database, fromMs: number, letGoMs: number): NightBuffer | undefined {
  const row = database
    .prepare<[], OpenRow>(
      "SELECT * FROM nights WHERE ended_ms IS NULL AND origin = 'watch' ORDER BY id DESC LIMIT 1",
    )
    .get();
  if (row === undefined || letGoMs > row.last_ms + LATER_MS || fromMs < row.last_ms) return undefined;
  const buffer = newBuffer(fromMs, row.let_go_ms);
  return {
    ...buffer,
    id: row.id,
    beganMs: row.began_ms,
    lastMs: row.last_ms,
    summary: summaryOf(database, row),
  };
}

function summaryOf(database: Database, row: OpenRow): NightSummary {
  const cell = (name: string): Cell => row[name] ?? null;
  const latDeg = unscaled(cell("lat_e7"), 1e7);
  const lonDeg = unscaled(cell("lon_e7"), 1e7);
  const raisings = database
    .prepare<[number], { raising: string; alarm: number }>(
      `SELECT key || ' ' || raised_ms AS raising, max(priority = 'alarm') AS alarm
       FROM alerts WHERE night_id = ? GROUP BY 1`,
    )
    .all(row.id);
  return {
    ...emptySummary(),
    anchor: latDeg === undefined || lonDeg === undefined ? undefined : { latDeg, lonDeg },
    rodeM: unscaled(cell("rode_cm"), 100),
    meanMps: unscaled(cell("mean_cmps"), 100),
    gustMps: unscaled(cell("gust_cmps"), 100),
    leastScope: unscaled(cell("least_scope_c"), 100),
    leastDepthM: unscaled(cell("least_depth_cm"), 100),
    outsideM: unscaled(cell("outside_cm"), 100),
    draggedM: unscaled(cell("dragged_cm"), 100),
    meanFromDeg: unscaled(cell("from_ddeg"), 10),
    spareM: unscaled(cell("spare_cm"), 100),
    raised: new Set(raisings.map(({ raising }) => raising)),
    alarmed: new Set(raisings.filter(({ alarm }) => alarm === 1).map(({ raising }) => raising)),
  };
}
