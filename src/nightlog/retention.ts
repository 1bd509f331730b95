/**
 * How much is kept: so many nights, and no more than half of the room that the log and what is free make
 * together. The oldest goes first, the night under way never. Deleted by slices, each its own short transaction.
 */
import { statfsSync } from "node:fs";
import type { Database } from "better-sqlite3";
import { NIGHT_TABLES } from "./schema.ts";

export interface Limits {
  nights: number;
  bytes: number;
}

const SLICE_ROWS = 400;
const SLICE_PAGES = 64;

/** Half of what the log takes and what is still free. */
export function roomFor(directory: string, logBytes: number): number {
  const { bavail, bsize } = statfsSync(directory);
  return (logBytes + bavail * bsize) / 2;
}

export function sizeOf(database: Database): number {
  const pragma = (name: string) => Number(database.pragma(name, { simple: true }));
  return (pragma("page_count") - pragma("freelist_count")) * pragma("page_size");
}

/**
 * Deletes what is beyond the limits: yields after each slice, so that others get their turn. Not
 * carried to its end, it goes on from there the next time.
 */
export function* retain(
  database: Database,
  limits: Limits,
  currentId: number | undefined,
): Generator<undefined> {
  for (let id = oldestBeyond(database, limits, currentId); id !== undefined; ) {
    yield* deleteNight(database, id);
    id = oldestBeyond(database, limits, currentId);
  }
}

function oldestBeyond(database: Database, limits: Limits, currentId: number | undefined): number | undefined {
  const count = database.prepare<[], number>("SELECT count(*) FROM nights").pluck().get() ?? 0;
  if (count <= limits.nights && sizeOf(database) <= limits.bytes) return undefined;
  return database
    .prepare<[number | null], number>(
      "SELECT id FROM nights WHERE ended_ms IS NOT NULL AND id IS NOT ? ORDER BY let_go_ms, id LIMIT 1",
    )
    .pluck()
    .get(currentId ?? null);
}

/** Rows first, the night itself last: cut short, the night is still in the list and goes the next time. */
function* deleteNight(database: Database, id: number): Generator<undefined> {
  for (const [table, key] of NIGHT_TABLES) {
    const columns = key.replace(/[()]/g, "");
    const slice = database.prepare<[number, number]>(
      `DELETE FROM ${table} WHERE ${key} IN (SELECT ${columns} FROM ${table} WHERE night_id = ? LIMIT ?)`,
    );
    while (slice.run(id, SLICE_ROWS).changes > 0) yield undefined;
  }
  database.prepare<[number]>("DELETE FROM nights WHERE id = ?").run(id);
  database.prepare("DELETE FROM configs WHERE id NOT IN (SELECT config_id FROM nights)").run();
  yield* giveBack(database);
}

/** Gives free pages back to the file system. */
export function* giveBack(database: Database): Generator<undefined> {
  while (Number(database.pragma("freelist_count", { simple: true })) > 0) {
    database.pragma(`incremental_vacuum(${SLICE_PAGES})`);
    yield undefined;
  }
}
