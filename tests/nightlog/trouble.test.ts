import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setImmediate as turn } from "node:timers/promises";
import BetterSqlite3 from "better-sqlite3";
import { expect, test } from "vitest";
import { openReview } from "../../src/nightlog/review.ts";
import { logFile } from "../../src/nightlog/store.ts";
import { decode } from "../../src/nmea/table.ts";
import { factAlert } from "../../src/watch/facts.ts";
import { boatInputs, STAY_ACTS } from "./boat-lines.ts";
import { openLog, play, temporary } from "./kept-night.ts";

test("the fact that is said is one that the watch knows, and fits a sentence", async () => {
  const directory = join(temporary(), "log");
  writeFileSync(directory, "in the way");
  const log = openLog(directory);
  await turn();
  const [piece] = decode(log.said.facts[0] ?? "", { checksum: "required" }).pieces;
  const order =
    piece?.kind === "sentence" && piece.sentence.id === "PRDW" ? piece.sentence.content?.order : undefined;
  expect(order?.verb === "FACT" && factAlert(order.key ?? "")).toBe("log-failing");
  await log.close();
});

test("a directory that cannot be had is said once, tried again, and nothing recent is lost", async () => {
  const directory = join(temporary(), "log");
  writeFileSync(directory, "in the way");
  let nowMs = 0;
  const log = openLog(directory, { nowMs: () => nowMs });
  const inputs = [...boatInputs({ seconds: 1000, acts: STAY_ACTS })];
  const half = inputs.findIndex(({ atMs }) => atMs > (inputs[0]?.atMs ?? 0) + 800_000);
  const played = await play(inputs.slice(0, half), [log.take, () => nowMs++]);
  expect(log.said.facts).toHaveLength(1);
  rmSync(directory);
  mkdirSync(directory);
  nowMs += 10_000;
  await play(inputs.slice(half), [log.take, () => nowMs++], played.core);
  await log.close();
  await turn();
  expect(log.said.facts).toHaveLength(2);
  expect(log.said.facts[1]).toContain("log-failing:nights,0");
  const kept = openReview(directory);
  const lines = [...(kept?.lines(1) ?? [])];
  // The whole approach and all since, though the disk came late.
  expect(lines.length).toBeGreaterThan(4 * 880);
  expect(kept?.night(1)?.phases.map(({ phase }) => phase)).toEqual(["let-go", "riding"]);
  kept?.close();
});

test("a file that is no database is set aside with its name said, and a new one is begun", async () => {
  const directory = temporary();
  writeFileSync(logFile(directory), "this is no database, however long one looks at it ".repeat(200));
  const log = openLog(directory);
  await play(boatInputs({ seconds: 900, acts: STAY_ACTS }), [log.take]);
  await log.close();
  const aside = readdirSync(directory).find((name) => name.includes(".damaged-"));
  expect(aside).toBeDefined();
  expect(readFileSync(join(directory, aside ?? ""), "utf8")).toContain("this is no database");
  expect(JSON.stringify(log.said.errors)).toContain(aside);
  expect(log.said.facts[0]).toContain("Old log damaged");
  const kept = openReview(directory);
  expect(kept?.list()).toHaveLength(1);
  kept?.close();
});

test("a database damaged in the night is set aside and the night goes on in a new one", async () => {
  const directory = temporary();
  const log = openLog(directory);
  const inputs = [...boatInputs({ seconds: 1000, acts: STAY_ACTS })];
  const half = inputs.findIndex(({ atMs }) => atMs > (inputs[0]?.atMs ?? 0) + 800_000);
  const played = await play(inputs.slice(0, half), [log.take]);
  log.flush();
  // Everything into the main file, then its pages overwritten, as a failing card does.
  const other = new BetterSqlite3(logFile(directory));
  other.pragma("wal_checkpoint(TRUNCATE)");
  const pages = Number(other.pragma("page_count", { simple: true }));
  other.close();
  const file = readFileSync(logFile(directory));
  file.fill(0xa5, 4096, pages * 4096);
  writeFileSync(logFile(directory), file);
  // What is in memory of it must not hide the damage.
  await play(inputs.slice(half), [log.take], played.core);
  await log.close();
  const aside = readdirSync(directory).filter((name) => name.includes(".damaged-"));
  expect(aside.length).toBeGreaterThan(0);
  const kept = openReview(directory);
  expect(kept?.database.pragma("integrity_check", { simple: true })).toBe("ok");
  expect(kept?.list()).toHaveLength(1);
  kept?.close();
});

test("a file that is deleted under a watch is missed within one write, said, and begun anew", async () => {
  const directory = temporary();
  const log = openLog(directory);
  const inputs = [...boatInputs({ seconds: 1000, acts: STAY_ACTS })];
  const half = inputs.findIndex(({ atMs }) => atMs > (inputs[0]?.atMs ?? 0) + 800_000);
  const played = await play(inputs.slice(0, half), [log.take]);
  for (const end of ["", "-wal", "-shm"]) rmSync(logFile(directory) + end, { force: true });
  await play(inputs.slice(half), [log.take], played.core);
  await log.close();
  await turn();
  expect(JSON.stringify(log.said.errors)).toContain("removed while it was written");
  expect(log.said.facts[0]).toContain("Night log was removed");
  const kept = openReview(directory);
  expect(kept?.list()).toHaveLength(1);
  expect([...(kept?.lines(1) ?? [])].length).toBeGreaterThan(4 * 150);
  expect(kept?.database.pragma("integrity_check", { simple: true })).toBe("ok");
  kept?.close();
});

test("another program that writes for long is said, and all is written when it is done", async () => {
  const directory = temporary();
  let nowMs = 0;
  const log = openLog(directory, { nowMs: () => nowMs });
  const inputs = [...boatInputs({ seconds: 800, acts: STAY_ACTS })];
  const half = inputs.findIndex(({ atMs }) => atMs > (inputs[0]?.atMs ?? 0) + 760_000);
  const played = await play(inputs.slice(0, half), [log.take]);
  const other = new BetterSqlite3(logFile(directory));
  other.exec("BEGIN IMMEDIATE");
  for (let i = 0; i < 6; i++) {
    nowMs += 10_000;
    log.flush();
  }
  await turn();
  expect(log.said.facts.join()).toContain("held by another");
  const { core } = await play(inputs.slice(half), [log.take], played.core);
  expect(core.watch.stay.phase).toBe("riding");
  other.exec("COMMIT");
  other.close();
  nowMs += 10_000;
  expect(log.flush()).toBe(true);
  await log.close();
  await turn();
  expect(log.said.facts.at(-1)).toContain("log-failing:nights,0");
  const kept = openReview(directory);
  expect([...(kept?.lines(1) ?? [])].at(-1)?.text).toBe((inputs.at(-1) as { text: string }).text);
  kept?.close();
  expect(existsSync(log.file)).toBe(true);
});
