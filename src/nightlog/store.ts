/**
 * The database file. In: a directory; out: an open database of our version. A damaged file is renamed, never
 * written over, and its new name returned. Commits do not wait for the disk: `createSync` brings them there
 * from another thread, so that a slow card keeps no alarm waiting.
 */
import { existsSync, mkdirSync, renameSync, statSync } from "node:fs";
import { type FileHandle, open } from "node:fs/promises";
import { join } from "node:path";
import BetterSqlite3, { type Database } from "better-sqlite3";
import { migrate, VERSION, versionOf } from "./schema.ts";

export const FILE_NAME = "nights.sqlite";
const SIDE_FILES = ["-wal", "-shm"];
/** For another process that writes (an import). Short: the watch must not wait for it, and tries again. */
const BUSY_MS = 50;
const CACHE_KIB = 2048;

export function logFile(directory: string): string {
  return join(directory, FILE_NAME);
}

/** Opens for writing, made anew where there is none. Throws what SQLite throws. */
export function openForWriting(directory: string): Database {
  mkdirSync(directory, { recursive: true });
  const database = new BetterSqlite3(logFile(directory), { timeout: BUSY_MS });
  try {
    if (versionOf(database) === 0) database.pragma("auto_vacuum = INCREMENTAL");
    database.pragma("journal_mode = WAL");
    database.pragma("synchronous = NORMAL");
    database.pragma(`cache_size = -${CACHE_KIB}`);
    // When to write back is decided where the time for it is known.
    database.pragma("wal_autocheckpoint = 0");
    migrate(database);
    return database;
  } catch (error) {
    database.close();
    throw error;
  }
}

/** Throws what the file system says where it does not let us look. */
function isThere(file: string): boolean {
  return statSync(file, { throwIfNoEntry: false }) !== undefined;
}

/** Opens for looking; undefined when nothing has been kept yet. A log of an earlier version is migrated first. */
export function openForReading(directory: string): Database | undefined {
  const file = logFile(directory);
  if (!isThere(file)) return undefined;
  const database = new BetterSqlite3(file, { readonly: true, timeout: BUSY_MS });
  if (versionOf(database) === VERSION) return database;
  database.close();
  openForWriting(directory).close();
  return new BetterSqlite3(file, { readonly: true, timeout: BUSY_MS });
}

/** Opens a log of our version to change what people call things in it; undefined where there is none. */
export function openForNaming(directory: string): Database | undefined {
  openForReading(directory)?.close();
  const file = logFile(directory);
  return existsSync(file) ? new BetterSqlite3(file, { timeout: BUSY_MS }) : undefined;
}

/**
 * Is this the error of a file, or of one of its side files, that this user may not open? Even to look, SQLite needs
 * the side files of a log that nobody has open, and makes them anew.
 */
export function isRefused(error: unknown): boolean {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return /^(EACCES|EPERM|SQLITE_CANTOPEN|SQLITE_READONLY|SQLITE_PERM)/.test(code);
}

/** Is this the error of a file that can never be gone on with? */
export function isDamage(error: unknown): boolean {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return code.startsWith("SQLITE_CORRUPT") || code === "SQLITE_NOTADB";
}

/** Renames a damaged database; returns its new path. */
export function setAside(directory: string, nowMs: number): string {
  const file = logFile(directory);
  const aside = `${file}.damaged-${Math.floor(nowMs)}`;
  renameSync(file, aside);
  for (const end of SIDE_FILES) if (existsSync(file + end)) renameSync(file + end, aside + end);
  return aside;
}

export interface Sync {
  /** Brings what is committed to the disk. Resolves when all committed before the call is there, or has failed. */
  request(): Promise<void>;
  close(): Promise<void>;
}

/** @param done told after each, with what went wrong */
export function createSync(directory: string, done: (error: unknown) => void): Sync {
  const file = `${logFile(directory)}-wal`;
  let handle: FileHandle | undefined;
  let running: Promise<void> | undefined;
  let next: Promise<void> | undefined;
  const once = async (): Promise<void> => {
    try {
      handle ??= await open(file, "r+");
      await handle.datasync();
      done(undefined);
    } catch (error) {
      done(error);
    }
  };
  const start = (): Promise<void> => {
    next = undefined;
    const own = once().finally(() => {
      if (running === own) running = undefined;
    });
    running = own;
    return own;
  };
  return {
    request() {
      if (running === undefined) return start();
      // One under way may have begun before the commit: calls during it share the one after.
      next ??= running.then(start);
      return next;
    },
    async close() {
      await (next ?? running);
      await handle?.close();
      handle = undefined;
    },
  };
}
