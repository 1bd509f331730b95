/** An open log file with all that works on it. */
import { setImmediate as turn } from "node:timers/promises";
import type { Database } from "better-sqlite3";
import type { NightBuffer } from "./night-buffer.ts";
import { packNext } from "./packing.ts";
import { type Profiles, profilesIn } from "./profiles.ts";
import { giveBack, type Limits, retain, roomFor, sizeOf } from "./retention.ts";
import { createSync, openForWriting, type Sync } from "./store.ts";
import { createWriter, type Origin, type Writer } from "./writer.ts";

export interface OpenLog {
  writer: Writer;
  profiles: Profiles;
  sync: Sync;
  /** Compresses what is due, writes back what has grown large, deletes what is beyond the limits; by slices. */
  tidy(keepNights: number, current: () => NightBuffer | undefined): Promise<void>;
  close(): Promise<void>;
}

/** Pages of the write-ahead log after which they are written back into the database. */
const WRITE_BACK_PAGES = 1000;

/**
 * Throws what SQLite throws.
 * @param synced told after each time that data went to the disk, with what went wrong
 */
export function openLog(
  directory: string,
  origin: Origin,
  config: string | (() => string),
  synced: (error: unknown) => void,
): OpenLog {
  const database = openForWriting(directory);
  const sync = createSync(directory, synced);
  let tidying: Promise<void> | undefined;
  const limits = (keepNights: number): Limits => ({
    nights: keepNights,
    bytes: roomFor(directory, sizeOf(database)),
  });
  const tidy = async (keepNights: number, current: () => NightBuffer | undefined): Promise<void> => {
    while (database.open && (await packNext(database))) await turn();
    if (!database.open) return;
    const slices = [retain(database, limits(keepNights), current()?.id)];
    // What the packing has freed is used again while a night is going.
    if (current() === undefined) slices.push(giveBack(database));
    for (const slice of slices) await inTurns(database, slice);
    if (database.open) await writeBack(database, sync);
  };
  return {
    writer: createWriter(database, origin, config),
    profiles: profilesIn(database),
    sync,
    tidy(keepNights, current) {
      tidying ??= tidy(keepNights, current).finally(() => {
        tidying = undefined;
      });
      return tidying;
    },
    async close() {
      await tidying?.catch(() => {});
      await sync.close();
      database.close();
    },
  };
}

async function inTurns(database: Database, slices: Generator<undefined>): Promise<void> {
  for (const _ of slices) {
    await turn();
    if (!database.open) return;
  }
}

/** The pages are on the disk before they are written back: then that has little to wait for. */
async function writeBack(database: Database, sync: Sync): Promise<void> {
  const [{ log, checkpointed } = { log: 0, checkpointed: 0 }] = database.pragma("wal_checkpoint(NOOP)") as {
    log: number;
    checkpointed: number;
  }[];
  if (log - checkpointed < WRITE_BACK_PAGES) return;
  await sync.request();
  if (database.open) database.pragma("wal_checkpoint(PASSIVE)");
}
