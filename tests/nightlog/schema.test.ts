import { copyFileSync, readFileSync } from "node:fs";
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import { expect, test } from "vitest";
import { openReview } from "../../src/nightlog/review.ts";
import { migrate, VERSION, versionOf } from "../../src/nightlog/schema.ts";
import { logFile } from "../../src/nightlog/store.ts";
import { boatInputs, STAY_ACTS } from "./boat-lines.ts";
import { openLog, play, temporary } from "./kept-night.ts";

/** A database of each earlier version, as that version wrote it. */
const EARLIER = [1, 2];

test("every earlier version has its fixture", () => expect(EARLIER).toHaveLength(VERSION - 1));

test.each(EARLIER)(
  "a log of version %i is brought forward, nothing of it lost, and gone on with",
  async (version) => {
    const directory = temporary();
    copyFileSync(join(import.meta.dirname, `../../fixtures/nightlog/v${version}.sqlite`), logFile(directory));
    const before = new BetterSqlite3(logFile(directory), { readonly: true });
    expect(versionOf(before)).toBe(version);
    before.close();
    const log = openLog(directory);
    await play(boatInputs({ seconds: 800, acts: STAY_ACTS }), [log.take]);
    await log.close();
    expect(log.said).toEqual({ facts: [], errors: [] });
    const kept = openReview(directory);
    if (kept === undefined) throw new Error("no log");
    expect(versionOf(kept.database)).toBe(VERSION);
    expect(kept.database.pragma("integrity_check", { simple: true })).toBe("ok");
    expect(kept.list().map(({ letGo }) => letGo.slice(0, 13))).toContain("2026-06-14T20");
    expect(kept.night(1)).toMatchObject({ ending: "aweigh", rodeM: 30, lat: 50.5, lon: -0.2, place: null });
    expect([...kept.track(1)]).toHaveLength(181);
    expect([...kept.lines(1)]).toHaveLength(181);
    expect(kept.list()).toHaveLength(2);
    kept.close();
  },
);

test.each(EARLIER)("from version %i come the same tables as anew", (version) => {
  const shape = (database: BetterSqlite3.Database) =>
    database.prepare("SELECT name, sql FROM sqlite_schema ORDER BY name").all();
  const anew = new BetterSqlite3(":memory:");
  migrate(anew);
  const file = join(import.meta.dirname, `../../fixtures/nightlog/v${version}.sqlite`);
  const brought = new BetterSqlite3(readFileSync(file));
  migrate(brought);
  expect(shape(brought)).toEqual(shape(anew));
});

test("a log of a later version is left alone, and that is said", async () => {
  const directory = temporary();
  const later = new BetterSqlite3(logFile(directory));
  later.exec("CREATE TABLE nights (id INTEGER, something_new TEXT)");
  later.pragma(`user_version = ${VERSION + 1}`);
  later.close();
  const log = openLog(directory);
  await play(boatInputs({ seconds: 750, acts: STAY_ACTS }), [log.take]);
  await log.close();
  expect(log.said.facts.join()).toContain("Night log is of a later rodeward");
  const after = new BetterSqlite3(logFile(directory), { readonly: true });
  expect(after.prepare("SELECT name FROM sqlite_schema").pluck().all()).toEqual(["nights"]);
  after.close();
});

test("what version 3 asks for is found in the track that was kept before it", () => {
  const brought = new BetterSqlite3(
    readFileSync(join(import.meta.dirname, "../../fixtures/nightlog/v2.sqlite")),
  );
  migrate(brought);
  // Its one second of 5.5 m/s came from 215°; 100 s after let go she lay 32 m off, in a circle of 40 m.
  expect(brought.prepare("SELECT from_ddeg, spare_cm FROM nights").get()).toEqual({
    from_ddeg: 2150,
    spare_cm: 800,
  });
});
