import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import { afterAll, expect, test } from "vitest";
import { coreSettings } from "../../src/config/settings.ts";
import type { Input } from "../../src/core.ts";
import { resume, savedFrom } from "../../src/core.ts";
import { openReview, type Review } from "../../src/nightlog/review.ts";
import { boatInputs, START_MS, STAY_ACTS, wander } from "./boat-lines.ts";
import { boatConfig, openLog, type Played, play, temporary } from "./kept-night.ts";

const at = (second: number): number => START_MS + second * 1000;

function review(directory: string): Review {
  const opened = openReview(directory);
  if (opened === undefined) throw new Error("no log");
  return opened;
}

/** Drifts off at a metre a second from 900 s on, to 100 m at 1000 s, and comes back. */
const straying = (second: number): number => Math.max(0, 100 - Math.abs(second - 1000)) + wander(second);

/** What the core holds true UTC to be ahead of its stamps, in the whole seconds that the log goes by. */
/** Told at the end of a second: the next whole one above is the true one for a sentence 0.25 s late. */
const offsetMs = ({ core }: Played): number =>
  (Math.floor((core.last.picture.utcOffsetMs ?? 0) / 1000) + 1) * 1000;
const iso = (ms: number): string => new Date(ms).toISOString().replace(".000Z", "Z");

/** One stay, kept once for the tests that only look. */
const keepStay = once(async () => {
  const directory = mkdtempSync(join(tmpdir(), "rodeward-stay-"));
  const log = openLog(directory);
  const inputs = [...boatInputs({ seconds: 1400, northM: straying, acts: STAY_ACTS })];
  const played = await play(inputs, [log.take]);
  await log.close();
  return { inputs, played, directory };
});
afterAll(async () => rmSync((await keepStay()).directory, { recursive: true, force: true }));

function once<T>(make: () => T): () => T {
  let made: { value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}

test("a stay becomes a night, with its approach, phases, acts and alerts", async () => {
  const { directory, played } = await keepStay();
  const kept = review(directory);
  const night = kept.night(1);
  if (night === undefined) throw new Error("no night");
  expect(kept.list().map(({ id }) => id)).toEqual([1]);
  expect(night).toMatchObject({ ending: "aweigh", utcKnown: true, rodeM: 40, origin: "watch" });
  const shiftMs = offsetMs(played);
  expect(night.letGo).toBe(iso(at(700) + shiftMs));
  // Ten minutes of approach.
  expect(Math.abs(night.beganMs - shiftMs - at(100))).toBeLessThanOrEqual(1000);
  expect(night.phases.map(({ phase }) => phase)).toEqual(["let-go", "riding", "weighing", "underway"]);
  expect(night.acts.map(({ text, answer }) => `${text.split("*")[0]} ${answer}`)).toEqual(
    Object.values(STAY_ACTS)
      .flat()
      .map((body) => `$${body} ACK`),
  );
  const since = played.summary.alerts.filter(
    ({ raisedAt }) => raisedAt >= new Date(night.beganMs).toISOString(),
  );
  expect(since.map(({ key }) => key)).toContain("outside-circle");
  expect(
    night.alertList.map(({ key, priority, raisedMs, clearedMs }) => [key, priority, raisedMs, clearedMs]),
  ).toEqual(
    since.map(({ key, priority, raisedAt, clearedAt }) => [
      key,
      priority,
      Date.parse(raisedAt) + shiftMs,
      clearedAt === null ? null : Date.parse(clearedAt) + shiftMs,
    ]),
  );
  expect(night.alerts).toBe(since.length);
  expect(night.outsideM).toBeGreaterThan(10);
  expect(JSON.parse(night.config).boat.name).toBe("Grey Plover");
  kept.close();
});

test("every line is kept as it was heard, stamped and in order", async () => {
  const { directory, inputs, played } = await keepStay();
  const kept = review(directory);
  const lines = [...kept.lines(1)].map((line) => ({ ...line, atMs: line.atMs - offsetMs(played) }));
  const first = lines[0];
  const heard = inputs.filter(
    (input): input is Extract<Input, { kind: "line" }> =>
      input.kind === "line" && input.atMs >= (first?.atMs ?? 0) && input.atMs <= (lines.at(-1)?.atMs ?? 0),
  );
  expect(lines.length).toBeGreaterThan(4 * 1200);
  expect(lines).toEqual(heard.map(({ text, port, atMs }) => ({ text, port, atMs })));
  expect(kept.night(1)?.raw.lines).toBe(lines.length);
  kept.close();
});

test("the track is kept every second while something happens, else every fifth", async () => {
  const { directory, played } = await keepStay();
  const kept = review(directory);
  const points = [...kept.track(1)].map((point) => ({ ...point, atMs: point.atMs - offsetMs(played) }));
  const seconds = points.map(({ atMs }) => (atMs - START_MS) / 1000);
  const between = (from: number, to: number) => seconds.filter((s) => s > from && s <= to).length;
  expect(between(600, 710)).toBe(110);
  // Quiet, a minute after the last act and before she strays.
  expect(between(800, 900)).toBe(20);
  expect(between(1000, 1050)).toBe(50);
  const outside = points.find(({ atMs }) => atMs === at(1000));
  // Six metres from the roller, where the anchor was marked, and 100 m on.
  expect(outside?.rangeM).toBeGreaterThan(90);
  expect(outside?.rangeM).toBeLessThan(110);
  expect(outside?.depthM).toBeCloseTo(5.4, 2);
  expect(outside?.headingDeg).toBe(20);
  kept.close();
});

test("a minute's conditions are its least, mean and greatest", async () => {
  const directory = temporary();
  const log = openLog(directory);
  const depthM = (second: number) => 5 + (second % 60) / 100;
  await play(boatInputs({ seconds: 1000, depthM, acts: STAY_ACTS }), [log.take]);
  await log.close();
  const database = new BetterSqlite3(log.file, { readonly: true });
  const row = database
    .prepare<[number], Record<string, number>>("SELECT * FROM conditions WHERE from_s = ?")
    .get((START_MS + 840_000) / 1000);
  database.close();
  // Walked at whole seconds, each shows what was heard in the second before it: 839 to 898.
  const seen = Array.from({ length: 60 }, (_, i) => Math.round((depthM(839 + i) + 0.4) * 100));
  expect(row?.seconds).toBe(60);
  expect(row?.depth_cm_min).toBe(Math.min(...seen));
  expect(row?.depth_cm_max).toBe(Math.max(...seen));
  expect(row?.depth_cm_mean).toBe(Math.round(seen.reduce((a, b) => a + b, 0) / 60));
});

test("a let go taken back leaves no night, an aweigh taken back goes on with it", async () => {
  const directory = temporary();
  const log = openLog(directory);
  const acts = {
    300: ["PRDW,LETGO"],
    320: ["PRDW,UNDO"],
    400: ["PRDW,LETGO"],
    405: ["PRDW,RODE,40.0,M", "PRDW,BROUGHTUP"],
    500: ["PRDW,AWEIGH"],
    530: ["PRDW,UNDO"],
    600: ["PRDW,SLIP"],
  };
  const played = await play(boatInputs({ seconds: 700, acts }), [log.take]);
  await log.close();
  const kept = review(directory);
  const nights = kept.list();
  expect(nights).toHaveLength(1);
  expect(nights[0]).toMatchObject({ ending: "slip", letGo: iso(at(400) + offsetMs(played)) });
  const lines = [...kept.lines(nights[0]?.id ?? 0)].map((line) => ({
    ...line,
    atMs: line.atMs - offsetMs(played),
  }));
  // None missing and none twice over the aweigh that was no aweigh.
  const inGap = lines.filter(({ atMs }) => atMs > at(490) && atMs < at(560));
  expect(inGap).toHaveLength(70 * 4 + 2);
  expect(kept.night(nights[0]?.id ?? 0)?.phases.map(({ phase }) => phase)).toEqual([
    "let-go",
    "riding",
    "underway",
    "riding",
    "underway",
  ]);
  kept.close();
});

test("a restarted watch goes on with its night, and its clock never runs twice over the same time", async () => {
  const directory = temporary();
  const first = openLog(directory);
  const played = await play(boatInputs({ seconds: 900, acts: STAY_ACTS }), [first.take]);
  await first.close();
  const settings = coreSettings(boatConfig(), { utc: "learn", ignoreOperator: false });
  const saved = JSON.parse(JSON.stringify(savedFrom(played.core)));
  // A board without a clock: switched off for an hour, it begins where it had saved; UTC comes with a fix.
  const core = resume(saved, settings, saved.atMs);
  const second = openLog(directory);
  const course = { seconds: 120, startMs: saved.atMs + 1000, aheadS: 3600, acts: { 100: ["PRDW,AWEIGH"] } };
  const again = await play(boatInputs(course), [second.take], core);
  await second.close();
  const kept = review(directory);
  expect(kept.list()).toHaveLength(1);
  const night = kept.night(1);
  expect(night?.ending).toBe("aweigh");
  expect(night?.acts.map(({ text }) => text.split(",")[1]?.split("*")[0])).toEqual([
    "LETGO",
    "RODE",
    "BROUGHTUP",
    "AWEIGH",
  ]);
  const times = [...kept.track(1)].map(({ atMs }) => atMs);
  expect(times).toEqual([...times].sort((a, b) => a - b));
  expect(new Set(times).size).toBe(times.length);
  // The hour switched off lies between, as it truly did.
  const gaps = times.map((time, i) => time - (times[i - 1] ?? time));
  expect(Math.max(...gaps)).toBeGreaterThan(3_590_000);
  expect(Date.parse(night?.ended ?? "")).toBe(course.startMs + 100_250 + offsetMs(again));
  expect(offsetMs(again)).toBeGreaterThan(3_590_000);
  kept.close();
});

test("times are the board's own until UTC is known, and then right for the whole night", async () => {
  const directory = temporary();
  const log = openLog(directory);
  const course = { seconds: 900, startMs: Date.parse("1970-01-02T00:00:00Z"), acts: STAY_ACTS };
  const aheadS = (START_MS - course.startMs) / 1000;
  const played = await play(boatInputs({ ...course, aheadS }), [log.take]);
  await log.close();
  const kept = review(directory);
  expect(kept.list()[0]).toMatchObject({
    letGo: iso(course.startMs + 700_000 + offsetMs(played)),
    utcKnown: true,
  });
  expect([...kept.lines(1)][0]?.atMs).toBeGreaterThan(START_MS);
  // The act of that second came a quarter into it: no second slow, and none fast.
  expect(Date.parse(kept.list()[0]?.letGo ?? "") - at(700)).toBe(0);
  kept.close();
});

test("a night cut off, and not gone on with, ends where its rows end", async () => {
  const directory = temporary();
  const first = openLog(directory);
  const played = await play(boatInputs({ seconds: 900, acts: STAY_ACTS }), [first.take]);
  await first.close();
  const second = openLog(directory);
  await play(boatInputs({ seconds: 20, startMs: at(5000) }), [second.take]);
  await second.close();
  const kept = review(directory);
  expect(kept.list()[0]).toMatchObject({ ending: "cut-off" });
  expect(Date.parse(kept.list()[0]?.ended ?? "")).toBe(at(899) + offsetMs(played));
  kept.close();
});

test("without raw no line is kept, and the rest is", async () => {
  const directory = temporary();
  const log = openLog(directory, { keepRaw: false });
  await play(boatInputs({ seconds: 800, acts: STAY_ACTS }), [log.take]);
  await log.close();
  const kept = review(directory);
  expect(kept.night(1)?.raw.lines).toBe(0);
  expect([...kept.track(1)].length).toBeGreaterThan(600);
  kept.close();
});

test("what was learnt of a receiver outlasts a restart", async () => {
  const directory = temporary();
  const first = openLog(directory);
  expect(first.profile("bus/GP")).toBeUndefined();
  first.keepProfile("bus/GP", { wanderM: 2.5, nights: 3 });
  await first.close();
  const second = openLog(directory);
  expect(second.profile("bus/GP")).toEqual({ wanderM: 2.5, nights: 3 });
  await second.close();
});
