/**
 * Waiting lines into compressed chunks. In: a database with rows in `raw_pending`; out: chunks in their place,
 * swapped in one transaction, so that at any instant each line is kept exactly once.
 */
import { setImmediate as turn } from "node:timers/promises";
import type { Database } from "better-sqlite3";
import { packed, plainLines, type RawLine } from "./raw-chunk.ts";

/** About seven minutes of nine sentences a second: larger chunks save little, and take longer to lay in columns. */
export const CHUNK_LINES = 4000;

interface PendingRow {
  id: number;
  night_id: number;
  lines: number;
  data: Buffer;
}

/**
 * Packs the oldest chunk that is due: full, or of a night that has ended. False when none is.
 * Done in many short turns; the compressing is another thread's.
 */
export async function packNext(database: Database): Promise<boolean> {
  const rows = duePending(database);
  const [first] = rows;
  if (first === undefined) return false;
  const lines: RawLine[] = [];
  for (const { data } of rows) {
    lines.push(...plainLines(data.toString("latin1")));
    await turn();
  }
  const data = await packed(lines);
  const bytes = lines.reduce((sum, { text }) => sum + text.length + LINE_END, 0);
  if (!database.open) return false;
  const swap = database.transaction(() => {
    const gone = database.prepare<[number, number, number]>(
      "DELETE FROM raw_pending WHERE night_id = ? AND id BETWEEN ? AND ?",
    );
    // None left to delete: the night was taken back meanwhile.
    if (gone.run(first.night_id, first.id, rows.at(-1)?.id ?? first.id).changes === 0) return;
    database
      .prepare<[number, number, number, number, number, Buffer]>(
        "INSERT INTO raw_chunks (night_id, from_ms, to_ms, lines, bytes, data) VALUES (?, ?, ?, ?, ?, ?)",
      )
      .run(first.night_id, lines[0]?.atMs ?? 0, lines.at(-1)?.atMs ?? 0, lines.length, bytes, data);
  });
  swap.immediate();
  return true;
}

const LINE_END = 2;

function duePending(database: Database): PendingRow[] {
  const night = database
    .prepare<[number], { night_id: number }>(
      `SELECT night_id FROM raw_pending JOIN nights ON nights.id = night_id
       GROUP BY night_id HAVING sum(lines) >= ? OR max(ended_ms) IS NOT NULL ORDER BY night_id LIMIT 1`,
    )
    .get(CHUNK_LINES);
  if (night === undefined) return [];
  const rows: PendingRow[] = [];
  let lines = 0;
  const all = database.prepare<[number], PendingRow>(
    "SELECT * FROM raw_pending WHERE night_id = ? ORDER BY id",
  );
  for (const row of all.iterate(night.night_id)) {
    rows.push(row);
    lines += row.lines;
    if (lines >= CHUNK_LINES) break;
  }
  return rows;
}
