import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { expect, onTestFinished, test } from "vitest";
import { nightsForPage } from "../../src/aboard/nights.ts";
import { createRerunJob } from "../../src/aboard/rerun-job.ts";
import type { RerunState } from "../../src/page/night-state.ts";
import { boatInputs, STAY_ACTS } from "../nightlog/boat-lines.ts";
import { openLog, play, temporary } from "../nightlog/kept-night.ts";

const CLI = join(import.meta.dirname, "../../dist/cli/main.js");
const SETTINGS = { marginM: 15, windLimitMps: 2, gustLimitMps: 3, steps: [{ windMps: 0, ratio: 5 }] };

async function ended(state: () => RerunState): Promise<RerunState> {
  for (let i = 0; i < 600 && state().state === "running"; i++) await sleep(100);
  return state();
}

test("a night is run again beside the watch: one at a time, told when done, ended when told", async () => {
  const directory = temporary();
  const log = openLog(directory);
  await play(boatInputs({ seconds: 1400, acts: STAY_ACTS }), [log.take]);
  await log.close();
  const nights = nightsForPage(directory, CLI);
  onTestFinished(() => nights.close());
  const { rerun } = nights;
  expect(rerun.state()).toEqual({ state: "none" });
  expect(rerun.start(99, SETTINGS)).toBe(false);
  expect(rerun.start(1, SETTINGS)).toBe(true);
  expect(rerun.start(1, SETTINGS)).toBe(false);
  expect(rerun.state()).toMatchObject({ state: "running", id: 1 });
  rerun.cancel();
  expect(rerun.state()).toEqual({ state: "cancelled", id: 1 });

  expect(rerun.start(1, SETTINGS)).toBe(true);
  const done = await ended(rerun.state);
  if (done.state !== "done") throw new Error(JSON.stringify(done));
  // 8 knots of wind, and a limit of 2 m/s.
  const windy = done.pairs.find(({ key }) => key === "wind-over");
  expect(windy).toMatchObject({ was: null, now: { priority: "alarm" } });
}, 120_000);

test("why it could not be run is told", async () => {
  const job = createRerunJob(temporary(), CLI);
  expect(job.start(1, SETTINGS)).toBe(true);
  expect(await ended(job.state)).toMatchObject({ state: "failed", why: expect.stringContaining("no night") });
  const missing = createRerunJob(temporary(), "/nowhere/main.js");
  missing.start(1, SETTINGS);
  expect(await ended(missing.state)).toMatchObject({ state: "failed", id: 1 });
}, 120_000);
