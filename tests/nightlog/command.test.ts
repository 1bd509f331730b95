import { type SpawnSyncReturns, spawnSync } from "node:child_process";
import { chmodSync, copyFileSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import { beforeAll, expect, test } from "vitest";
import { logFile, openForWriting } from "../../src/nightlog/store.ts";
import { tagBlock } from "../../src/nmea/seal.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { boatInputs, START_MS, wander } from "./boat-lines.ts";
import { temporary, temporaryForFile } from "./kept-night.ts";

const MAIN = join(import.meta.dirname, "../../dist/cli/main.js");
const directory = temporaryForFile();
const config = join(directory, "rodeward.toml");
const log = join(directory, "foreign.nmea");

function rodeward(...words: string[]): SpawnSyncReturns<string> {
  return spawnSync(process.execPath, [MAIN, "nights", ...words], { encoding: "latin1", cwd: directory });
}
const here = ["--directory", directory];
const timeOf = (second: number): string => new Date(START_MS + second * 1000).toISOString();

beforeAll(() => {
  writeFileSync(config, rehearsalConfig({ sentencePort: 10001, displayPort: 10002, pagePort: 10003 }));
  const northM = (s: number) => Math.max(0, 100 - Math.abs(s - 700)) + wander(s);
  const lines = [...boatInputs({ seconds: 1000, northM })].map((input) =>
    input.kind === "line" ? `${tagBlock(input.atMs, "their-bus")}${input.text}\r\n` : "",
  );
  writeFileSync(log, lines.join(""), "latin1");
});

test("before anything is kept, that is what is said", () => {
  const empty = rodeward("list", ...here);
  expect([empty.status, empty.stdout]).toEqual([1, ""]);
  expect(empty.stderr).toContain("no night has been kept yet");
});

/** Only root can try what another user may do; the program must be readable for that one. */
const another = { uid: 65534, gid: 65534 };
const canTry =
  process.getuid?.() === 0 && spawnSync(process.execPath, [MAIN, "--version"], another).status === 0;

test.skipIf(!canTry)("to a user who may not look, that is what is said, not that there is nothing", () => {
  const kept = temporary();
  writeFileSync(logFile(kept), "");
  const list = () =>
    spawnSync(process.execPath, [MAIN, "nights", "list", "--directory", kept], {
      ...another,
      encoding: "latin1",
      cwd: "/",
    });
  chmodSync(kept, 0o750);
  expect(list().stderr).toContain("this user may not: be in the group rodeward");
  // Who may read but not write cannot make the side files that SQLite wants of a log that nobody has open.
  rmSync(logFile(kept));
  const database = new BetterSqlite3(logFile(kept));
  database.pragma("journal_mode = WAL");
  database.exec("CREATE TABLE t (x)");
  database.close();
  chmodSync(kept, 0o755);
  chmodSync(logFile(kept), 0o644);
  expect(list().stderr).toContain("sudo -u rodeward rodeward nights");
});

test.skipIf(!canTry)(
  "to a user who may look but not write, naming and importing say so, and keep nothing",
  () => {
    const kept = temporary();
    copyFileSync(join(import.meta.dirname, "../../fixtures/nightlog/v2.sqlite"), logFile(kept));
    // Held open, as by the watch: then it can be read.
    openForWriting(kept).close();
    const held = new BetterSqlite3(logFile(kept));
    held.prepare("SELECT count(*) FROM nights").get();
    for (const path of [kept, ...["", "-shm", "-wal"].map((end) => logFile(kept) + end)])
      chmodSync(path, 0o755);
    const own = temporary();
    copyFileSync(log, join(own, "foreign.nmea"));
    copyFileSync(config, join(own, "rodeward.toml"));
    chmodSync(own, 0o755);
    const asAnother = (...words: string[]) =>
      spawnSync(process.execPath, [MAIN, "nights", ...words, "--directory", kept], {
        ...another,
        encoding: "latin1",
        cwd: own,
      });
    expect(asAnother("list").stdout).toMatch(/^1 /m);
    const refusal = `the night log ${logFile(kept)} cannot be written: this user may not; sudo -u rodeward rodeward nights … may\n`;
    for (const words of [
      ["name", "1", "Home"],
      ["import", "foreign.nmea", "--let-go", timeOf(300)],
    ]) {
      const tried = asAnother(...words);
      expect([tried.status, tried.stdout, Buffer.from(tried.stderr, "latin1").toString()]).toEqual([
        1,
        "",
        refusal,
      ]);
    }
    held.close();
  },
);

test("a foreign log is imported, listed, shown, exported and rerun", { timeout: 240_000 }, () => {
  const without = rodeward("import", log, ...here, "--config", config);
  expect(without.status).toBe(1);
  expect(without.stderr).toContain("no anchor was let go in it");

  const words = ["--config", config, "--let-go", timeOf(300), "--rode", "40m"];
  const imported = rodeward("import", log, ...here, ...words);
  expect(imported.stderr).toBe("");
  expect([imported.status, imported.stdout]).toEqual([0, "kept as night 1\n"]);

  const list = rodeward("list", ...here).stdout;
  expect(list).toMatch(/^1 +2026-06-14 20:0[45] .*50\.500\d -0\.2000.*log-end$/m);

  const night = JSON.parse(rodeward("show", "1", "--json", ...here).stdout);
  expect(night).toMatchObject({ origin: "import", rodeM: 40, ending: "log-end" });
  const keys = night.alertList.map(({ key }: { key: string }) => key);
  expect(keys).toContain("outside-circle");
  expect(rodeward("show", "1", ...here).stdout).toContain("outside-circle");

  const out = join(directory, "night.gpx");
  expect(rodeward("export", "1", "--as", "gpx", "--out", out, ...here).status).toBe(0);
  expect(readFileSync(out, "utf8")).toContain("</gpx>");
  const nmea = rodeward("export", "1", "--as", "nmea", ...here).stdout;
  expect(nmea.split("\r\n").length).toBe(night.raw.lines + 1);

  // The same again from its own export: now the log says itself when the anchor was let go.
  const exported = join(directory, "night.nmea");
  writeFileSync(exported, nmea, "latin1");
  expect(rodeward("import", exported, ...here, "--config", config).stdout).toBe("kept as night 2\n");
  const again = JSON.parse(rodeward("show", "2", "--json", ...here).stdout);
  expect(again.alertList).toEqual(night.alertList);

  const wide = join(directory, "wide.toml");
  writeFileSync(wide, readFileSync(config, "utf8").replace("[watch]", '[watch]\nmargin = "150 m"'));
  const rerun = rodeward("rerun", "1", ...here, "--config", wide);
  expect(rerun.status).toBe(0);
  expect(rerun.stdout).toMatch(/would not come alarm outside-circle/);
});

test("a night is run again under what is asked for: its own settings, then a margin, then limits of wind", {
  timeout: 240_000,
}, () => {
  const pairs = (...words: string[]) => {
    const run = rodeward("rerun", "1", ...here, "--json", ...words);
    expect(run.status).toBe(0);
    return JSON.parse(run.stdout) as { key: string; was: object | null; now: object | null }[];
  };
  const own = pairs();
  const keys = own.map(({ key }) => key);
  expect(keys).toContain("outside-circle");
  // The same settings: nothing is missing and nothing is new.
  for (const { key, was, now } of own) expect([key, was !== null, now !== null]).toEqual([key, true, true]);
  const wide = pairs("--margin", "150m").find(({ key }) => key === "outside-circle");
  expect(wide?.was).toMatchObject({ priority: "alarm" });
  expect(wide?.now).toBeNull();
  const windy = pairs("--wind-limit", "5kn", "--gust-limit", "6kn").find(({ key }) => key === "wind-over");
  expect([windy?.was, windy?.now]).toMatchObject([null, { priority: "alarm" }]);
  expect(keys).not.toContain("scope-short");
  expect(pairs("--scope", "0kn=12").some(({ key, now }) => key === "scope-short" && now !== null)).toBe(true);
  expect(rodeward("rerun", "1", ...here, "--scope", "5").status).toBe(2);
});

test("a place is named, and the name holds for the nights near it", () => {
  const places = () => rodeward("list", ...here).stdout.match(/Home cove/g)?.length ?? 0;
  expect(places()).toBe(0);
  expect(rodeward("name", "1", "Home", "cove", ...here).status).toBe(0);
  // Both nights are of the same place.
  expect(places()).toBe(2);
  expect(rodeward("name", "2", ...here).status).toBe(0);
  expect(places()).toBe(0);
  expect(rodeward("name", "77", "x", ...here).stderr).toContain("there is no night 77");
});

test("a log that cannot be read is said in one line", () => {
  const at = (fill: (file: string) => void) => {
    const own = temporary();
    fill(logFile(own));
    const { status, stdout, stderr } = rodeward("list", "--directory", own);
    return { status, stdout, lines: stderr.trimEnd().split("\n") };
  };
  const newer = at((file) => {
    const database = new BetterSqlite3(file);
    database.pragma("user_version = 99");
    database.close();
  });
  expect(newer).toMatchObject({ status: 1, stdout: "" });
  expect(newer.lines).toEqual([expect.stringMatching(/cannot be read: the log is of a later version \(99;/)]);
  const garbage = at((file) =>
    writeFileSync(file, "not a database, but long enough to be looked at as one. ".repeat(40)),
  );
  expect(garbage).toMatchObject({ status: 1, stdout: "" });
  expect(garbage.lines).toEqual([expect.stringMatching(/cannot be read: it is damaged/)]);
  // It says version 1, and has none of its tables.
  const hollow = at((file) => {
    const database = new BetterSqlite3(file);
    database.pragma("user_version = 1");
    database.close();
  });
  expect(hollow).toMatchObject({ status: 1, stdout: "" });
  expect(hollow.lines).toHaveLength(1);
  for (const version of [1, 2]) {
    const earlier = at((file) =>
      copyFileSync(join(import.meta.dirname, `../../fixtures/nightlog/v${version}.sqlite`), file),
    );
    expect(earlier).toMatchObject({ status: 0, lines: [""] });
    expect(earlier.stdout).toMatch(/^1 +2026-06-14 20:00/m);
  }
});

test("a let go outside the log is said", { timeout: 60_000 }, () => {
  const own = temporary();
  const at = (second: number, ...words: string[]) =>
    rodeward("import", log, "--directory", own, "--config", config, "--let-go", timeOf(second), ...words);
  const late = at(2000);
  expect([late.status, late.stdout, late.stderr]).toEqual([
    1,
    "",
    "--let-go: no fix from that time on, so no anchor was let go\nno night is kept\n",
  ]);
  const early = at(-3600);
  expect([early.status, early.stdout]).toEqual([0, "kept as night 1\n"]);
  expect(early.stderr).toMatch(
    /^--let-go \S+ is before the log, which begins \S+: let go at its first fix\n$/,
  );
  const inReplay = spawnSync(
    process.execPath,
    [MAIN, "replay", log, "--config", config, "--let-go", timeOf(-3600), "--only", "acts"],
    { encoding: "latin1", cwd: directory },
  );
  expect(inReplay.stderr).toContain(early.stderr);
});

test("what is asked wrongly is said in a line", () => {
  const none = rodeward("show", "99", ...here);
  expect([none.status, none.stderr]).toEqual([
    1,
    "there is no night 99; rodeward nights list shows those there are\n",
  ]);
  expect(rodeward("export", "1", "--as", "kml", ...here).status).toBe(2);
  const nowhere = rodeward("export", "1", "--as", "gpx", "--out", "nowhere/x.gpx", ...here);
  expect([nowhere.status, nowhere.stderr]).toEqual([
    1,
    "nowhere/x.gpx: the export cannot be written: no such directory\n",
  ]);
  expect(rodeward("show", "one", ...here).status).toBe(2);
  const bad = join(directory, "bad.toml");
  writeFileSync(bad, "[rode]\n");
  expect(rodeward("rerun", "1", ...here, "--config", bad).status).toBe(2);
});
