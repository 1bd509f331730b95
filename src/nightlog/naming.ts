/** What the operator calls a place. In: a directory, a night, a name; out: whether there is such a night. */
import type { Database } from "better-sqlite3";
import { nameNear, namesIn, type Placed } from "./night-list.ts";
import { openForNaming } from "./store.ts";

const MOST_NAME = 60;

/** False when there is no such night. Throws what SQLite throws. */
export function nameNight(directory: string, id: number, name: string): boolean {
  const database = openForNaming(directory);
  try {
    return database !== undefined && namePlace(database, id, name);
  } finally {
    database?.close();
  }
}

/** Names the place where a night was; an empty name takes every name there away. False: no such night. */
function namePlace(database: Database, id: number, name: string): boolean {
  const night = database
    .prepare<[number], Placed>("SELECT lat_e7 / 1e7 AS lat, lon_e7 / 1e7 AS lon FROM nights WHERE id = ?")
    .get(id);
  if (night === undefined) return false;
  const text = name
    .replace(/\p{Cc}/gu, " ")
    .trim()
    .slice(0, MOST_NAME);
  const give = database.prepare<[string | null, number]>("UPDATE nights SET place = ? WHERE id = ?");
  database.transaction(() => {
    for (const near of namesIn(database)) if (nameNear([near], night) !== null) give.run(null, near.id);
    give.run(text === "" ? null : text, id);
  })();
  return true;
}
