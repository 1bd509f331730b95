/** The night log: room on the disk, how long it keeps the watch waiting, a rerun, the list. */
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { setTimeout as sleep, setImmediate as turn } from "node:timers/promises";
import { pathToFileURL } from "node:url";
import type * as RerunModule from "../../src/cli/rerun.ts";
import type * as NightLogModule from "../../src/nightlog/night-log.ts";
import type * as ReviewModule from "../../src/nightlog/review.ts";
import type * as SeriesModule from "../../src/nightlog/series.ts";
import { seal } from "../../src/nmea/seal.ts";
import type * as NightModule from "../../src/rehearsal/nights/night.ts";
import type * as RehearsalModule from "../../src/rehearsal/rehearsal.ts";
import { advance, begin, boat, coreSettings } from "./built.ts";
import type { BenchRow } from "./row.ts";

const load = (path: string) => import(pathToFileURL(resolve("dist", path)).href);
const { createNightLog } = (await load("nightlog/night-log.js")) as typeof NightLogModule;
const { openReview } = (await load("nightlog/review.js")) as typeof ReviewModule;
const { nightSeries } = (await load("nightlog/series.js")) as typeof SeriesModule;
const { rerun } = (await load("cli/rerun.js")) as typeof RerunModule;
const { nightOf } = (await load("rehearsal/nights/night.js")) as typeof NightModule;
const { rehearse } = (await load("rehearsal/rehearsal.js")) as typeof RehearsalModule;

const SEED = 3;
const SETTLE_MS = 3000;

function cpuMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

export async function nightlogBench(): Promise<BenchRow[]> {
  const calm = await keptNight("calm");
  const gale = await keptNight("gale");
  return [...calm, ...gale];
}

async function keptNight(weather: "calm" | "gale"): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-"));
  const say = (name: string, value: number, unit: string, goals = {}): BenchRow => ({
    name: `${weather}, 10 h: ${name}`,
    value,
    unit,
    ...goals,
  });
  try {
    const kept = await keep(folder, weather);
    const review = openReview(folder);
    const night = review?.night(1);
    if (review === undefined || night === undefined) throw new Error("nothing was kept");
    const lines = [...review.lines(1)];
    const rerunFrom = { wall: performance.now(), cpu: cpuMs() };
    const settings = coreSettings(boat(), { utc: "given", ignoreOperator: false });
    await rerun(lines, settings, { total: lines.length, progress: () => {} });
    const rerunS = {
      wall: (performance.now() - rerunFrom.wall) / 1000,
      cpu: (cpuMs() - rerunFrom.cpu) / 1000,
    };
    const seriesFrom = cpuMs();
    await nightSeries(review, 1, { width: 800 });
    const seriesMs = cpuMs() - seriesFrom;
    const rows = review.database.prepare("SELECT count(*) FROM track").pluck().get();
    review.close();
    return [
      say("raw sentences", kept.rawBytes / 1e6, "MB"),
      say("rows of track", Number(rows), ""),
      say("on disk, all of it, to raw", (100 * kept.fileBytes) / kept.rawBytes, "%", { must: 20, aim: 15 }),
      say("its sentences alone, to raw", (100 * night.raw.keptBytes) / night.raw.bytes, "%"),
      say("longest that a write kept the watch waiting", kept.longestFlushMs, "ms of CPU"),
      say("99 of 100 writes took less than", kept.p99FlushMs, "ms of CPU"),
      say("longest turn with packing and tidying", kept.longestTurnMs, "ms of CPU"),
      say("taking all in, to the core's own time", kept.shareOfCore * 100, "%"),
      say("rerun on the wall", rerunS.wall, "s", { must: 5, aim: 2 }),
      say("rerun in CPU time", rerunS.cpu, "s"),
      say("series of 800 columns", seriesMs, "ms of CPU", { must: 1000 }),
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

interface Kept {
  rawBytes: number;
  fileBytes: number;
  longestFlushMs: number;
  p99FlushMs: number;
  longestTurnMs: number;
  shareOfCore: number;
}

async function keep(folder: string, weather: "calm" | "gale"): Promise<Kept> {
  const { scene } = nightOf({ grade: "mid", velocity: "alive", event: { weather } }, SEED);
  const rehearsal = rehearse(scene, SEED);
  const settings = coreSettings(boat(), { utc: "learn", ignoreOperator: false });
  const log = createNightLog(folder, {
    fact: () => {},
    log: { info: () => {}, warn: () => {}, error: () => {} },
    config: JSON.stringify(boat()),
    origin: "watch",
    keepRaw: true,
    keepNights: 365,
    nowMs: () => performance.now(),
    wallMs: Date.now,
  });
  let core = begin(settings, rehearsal.startMs);
  let rawBytes = 0;
  let coreMs = 0;
  let takeMs = 0;
  const flushes: number[] = [];
  let longestTurnMs = 0;
  let lastMs = 0;
  for (let second = rehearsal.next(), s = 0; second !== undefined; second = rehearsal.next(), s++) {
    for (const line of second.lines) {
      const text = line.replace(/^\\[^\\]*\\/, "");
      rawBytes += text.length + 2;
      const from = performance.now();
      const advanced = advance(core, { kind: "line", text, port: "log", atMs: second.atMs + 300 }, settings);
      const between = performance.now();
      core = advanced.core;
      log.take(advanced);
      coreMs += between - from;
      takeMs += performance.now() - between;
    }
    lastMs = second.atMs;
    if (s % 5 !== 0) continue;
    const from = cpuMs();
    log.flush();
    const after = cpuMs();
    flushes.push(after - from);
    await turn();
    longestTurnMs = Math.max(longestTurnMs, cpuMs() - after);
  }
  // She goes, and the log has time to give back the room it worked in.
  for (let s = 1; s <= 20; s++) {
    const text = s === 1 ? seal("PRDW,AWEIGH") : seal("IIHDT,20.0,T");
    const input = { kind: "line", text, port: "log", atMs: lastMs + s * 1000 } as const;
    log.take(advance(core, input, settings));
  }
  log.flush();
  await sleep(SETTLE_MS);
  await log.close();
  flushes.sort((a, b) => a - b);
  return {
    rawBytes,
    fileBytes: statSync(log.file).size,
    longestFlushMs: flushes.at(-1) ?? Number.NaN,
    p99FlushMs: flushes[Math.floor(flushes.length * 0.99)] ?? Number.NaN,
    longestTurnMs,
    shareOfCore: takeMs / coreMs,
  };
}
