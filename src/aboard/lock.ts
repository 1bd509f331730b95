/**
 * One daemon to a state directory. In: a file there; out: held until it is let go or the process ends, however it
 * ends: it is SQLite's lock on an empty database, so the system's own, and no file that a crash leaves behind.
 */
import BetterSqlite3 from "better-sqlite3";

export interface Lock {
  release(): void;
}

/**
 * Throws one clear line when another has it. Undefined when the system cannot lock there at all (`failed` says
 * why): a watch without a lock is better than none.
 */
export function takeLock(file: string, failed: (why: string) => void): Lock | undefined {
  let database: InstanceType<typeof BetterSqlite3> | undefined;
  try {
    database = new BetterSqlite3(file, { timeout: 0 });
    database.exec("BEGIN EXCLUSIVE");
    const held = database;
    return { release: () => void held.close() };
  } catch (error) {
    database?.close();
    if (isHeld(error)) throw new Error(`another rodeward is running here (${file} is locked)`);
    failed(error instanceof Error ? error.message : String(error));
    return undefined;
  }
}

function isHeld(error: unknown): boolean {
  return error instanceof Error && "code" in error && String(error.code).startsWith("SQLITE_BUSY");
}
