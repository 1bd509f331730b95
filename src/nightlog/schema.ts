/**
 * The tables, by version. In: a database of any version up to ours; out: one of our version. Never edit a step
 * that has been released: add one. `fixtures/nightlog` keeps a database of every earlier version for the test.
 *
 * Stamps (`_ms`, `_s`) are the core's and never step; `runs` holds what to add for true UTC.
 */
import type { Database } from "better-sqlite3";

const FIRST = `
CREATE TABLE configs (id INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE);
CREATE TABLE nights (
  id INTEGER PRIMARY KEY,
  origin TEXT NOT NULL,
  began_ms INTEGER NOT NULL,
  let_go_ms INTEGER NOT NULL,
  last_ms INTEGER NOT NULL,
  ended_ms INTEGER,
  ending TEXT,
  config_id INTEGER NOT NULL,
  lat_e7 INTEGER, lon_e7 INTEGER,
  rode_cm INTEGER,
  mean_cmps INTEGER, gust_cmps INTEGER,
  least_scope_c INTEGER, least_depth_cm INTEGER, outside_cm INTEGER, dragged_cm INTEGER,
  alerts INTEGER NOT NULL DEFAULT 0, alarms INTEGER NOT NULL DEFAULT 0
);
CREATE TABLE runs (
  night_id INTEGER NOT NULL, from_ms INTEGER NOT NULL, utc_offset_ms INTEGER,
  PRIMARY KEY (night_id, from_ms)
) WITHOUT ROWID;
CREATE TABLE track (
  night_id INTEGER NOT NULL, at_s INTEGER NOT NULL,
  lat_e7 INTEGER, lon_e7 INTEGER, range_cm INTEGER, bearing_ddeg INTEGER, circle_cm INTEGER,
  heading_ddeg INTEGER, sog_cmps INTEGER, cog_ddeg INTEGER, depth_cm INTEGER,
  wind_cmps INTEGER, wind_from_ddeg INTEGER, mean_cmps INTEGER, mean_from_ddeg INTEGER, gust_cmps INTEGER,
  rode_cm INTEGER, scope_c INTEGER, target_c INTEGER,
  dragged_cm INTEGER, load_n INTEGER,
  PRIMARY KEY (night_id, at_s)
) WITHOUT ROWID;
CREATE TABLE conditions (
  night_id INTEGER NOT NULL, from_s INTEGER NOT NULL, seconds INTEGER NOT NULL,
  depth_cm_min INTEGER, depth_cm_mean INTEGER, depth_cm_max INTEGER,
  wind_cmps_min INTEGER, wind_cmps_mean INTEGER, wind_cmps_max INTEGER,
  gust_cmps_min INTEGER, gust_cmps_mean INTEGER, gust_cmps_max INTEGER,
  scope_c_min INTEGER, scope_c_mean INTEGER, scope_c_max INTEGER,
  range_cm_min INTEGER, range_cm_mean INTEGER, range_cm_max INTEGER,
  load_n_min INTEGER, load_n_mean INTEGER, load_n_max INTEGER,
  PRIMARY KEY (night_id, from_s)
) WITHOUT ROWID;
CREATE TABLE alerts (
  night_id INTEGER NOT NULL, at_ms INTEGER NOT NULL, key TEXT NOT NULL, raised_ms INTEGER NOT NULL,
  priority TEXT NOT NULL, status TEXT NOT NULL, text TEXT NOT NULL
);
CREATE INDEX alerts_night ON alerts (night_id, at_ms);
CREATE TABLE acts (
  night_id INTEGER NOT NULL, at_ms INTEGER NOT NULL, port TEXT NOT NULL, text TEXT NOT NULL, answer TEXT NOT NULL
);
CREATE INDEX acts_night ON acts (night_id, at_ms);
CREATE TABLE phases (night_id INTEGER NOT NULL, at_ms INTEGER NOT NULL, phase TEXT NOT NULL);
CREATE INDEX phases_night ON phases (night_id, at_ms);
CREATE TABLE raw_chunks (
  id INTEGER PRIMARY KEY, night_id INTEGER NOT NULL,
  from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL, lines INTEGER NOT NULL, bytes INTEGER NOT NULL,
  data BLOB NOT NULL
);
CREATE INDEX raw_chunks_night ON raw_chunks (night_id, id);
CREATE TABLE raw_pending (
  id INTEGER PRIMARY KEY, night_id INTEGER NOT NULL, to_ms INTEGER NOT NULL, lines INTEGER NOT NULL,
  data BLOB NOT NULL
);
CREATE INDEX raw_pending_night ON raw_pending (night_id, id);
`;

/** What was learnt of each receiver, and the operator's name for a place. */
const SECOND = `
CREATE TABLE receiver_profiles (source TEXT PRIMARY KEY, kept_ms INTEGER NOT NULL, profile TEXT NOT NULL) WITHOUT ROWID;
ALTER TABLE nights ADD COLUMN place TEXT;
`;

/** For comparing nights: where the strongest mean wind came from, and the least room left to the circle on watch. */
const THIRD = `
ALTER TABLE nights ADD COLUMN from_ddeg INTEGER;
ALTER TABLE nights ADD COLUMN spare_cm INTEGER;
UPDATE nights SET
  from_ddeg = (SELECT mean_from_ddeg FROM track
    WHERE night_id = nights.id AND at_s * 1000 >= let_go_ms AND mean_cmps IS NOT NULL
    ORDER BY mean_cmps DESC LIMIT 1),
  spare_cm = (SELECT min(circle_cm - range_cm) FROM track
    WHERE night_id = nights.id
    AND at_s * 1000 >= (SELECT min(at_ms) FROM phases WHERE night_id = nights.id AND phase = 'riding')
    AND at_s * 1000 < coalesce(
      (SELECT max(at_ms) FROM phases WHERE night_id = nights.id AND phase = 'weighing'), last_ms + 1));
`;

export const MIGRATIONS: readonly string[] = [FIRST, SECOND, THIRD];
export const VERSION = MIGRATIONS.length;

/** Every table with rows of a night, the small ones first, and what tells its rows apart. */
export const NIGHT_TABLES: readonly (readonly [table: string, key: string])[] = [
  ["runs", "(night_id, from_ms)"],
  ["phases", "rowid"],
  ["acts", "rowid"],
  ["alerts", "rowid"],
  ["raw_pending", "rowid"],
  ["raw_chunks", "rowid"],
  ["conditions", "(night_id, from_s)"],
  ["track", "(night_id, at_s)"],
];

/** The file is of a later rodeward: nothing in it may be touched. */
export class NewerLogError extends Error {
  override readonly name = "NewerLogError";
}

export function versionOf(database: Database): number {
  return Number(database.pragma("user_version", { simple: true }));
}

/** Brings it to our version, all of it or nothing. Throws a NewerLogError for a database of a later one. */
export function migrate(database: Database): void {
  const have = versionOf(database);
  if (have > VERSION)
    throw new NewerLogError(`the log is of a later version (${have}; this rodeward knows ${VERSION})`);
  if (have === VERSION) return;
  database.transaction(() => {
    for (const step of MIGRATIONS.slice(have)) database.exec(step);
    database.pragma(`user_version = ${VERSION}`);
  })();
}
