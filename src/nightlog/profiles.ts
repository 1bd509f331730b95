/** What was learnt of each receiver aboard, as JSON by its source (`port/talker`): it outlasts nights and restarts. */
import type { Database } from "better-sqlite3";

export interface Profiles {
  /** Undefined when nothing is known of it. */
  get(source: string): unknown;
  /** The lately kept first. */
  all(): unknown[];
  /** @param profile plain data */
  put(source: string, profile: unknown, keptMs: number): void;
}

export function profilesIn(database: Database): Profiles {
  const get = database
    .prepare<[string], string>("SELECT profile FROM receiver_profiles WHERE source = ?")
    .pluck();
  const put = database.prepare<[string, number, string]>(
    "INSERT OR REPLACE INTO receiver_profiles (source, kept_ms, profile) VALUES (?, ?, ?)",
  );
  const all = database
    .prepare<[], string>("SELECT profile FROM receiver_profiles ORDER BY kept_ms DESC LIMIT 8")
    .pluck();
  return {
    all: () => all.all().map((text) => JSON.parse(text)),
    get(source) {
      const text = get.get(source);
      return text === undefined ? undefined : JSON.parse(text);
    },
    put: (source, profile, keptMs) => void put.run(source, Math.floor(keptMs), JSON.stringify(profile)),
  };
}
