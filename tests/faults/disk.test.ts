/**
 * The card: full, read-only, slow. The watch goes on and its alarms go out; that nothing is kept is said; when there
 * is room again, all is kept again. Where a file system cannot be mounted here, that part is left out.
 */
import { spawnSync } from "node:child_process";
import { chmodSync, chownSync, mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { openReview } from "../../src/nightlog/review.ts";
import {
  alfsOf,
  BUS,
  boatConfig,
  cleaning,
  connectTo,
  DISPLAYS,
  freePorts,
  type Peer,
  recorderOn,
  rodeward,
  start,
} from "../aboard/afloat.ts";
import { until } from "../ports/ear.ts";

const LOG_FAILING = 10816;
const SHOAL = 10806;
const T0 = Date.UTC(2026, 5, 15, 22, 0, 0);

const { cleanUps, folder } = cleaning();

/** A small file system in memory; undefined where it cannot be had. */
function smallDisk(): string | undefined {
  const path = join(folder().path, "card");
  mkdirSync(path);
  if (spawnSync("mount", ["-t", "tmpfs", "-o", "size=1m", "none", path]).status !== 0) return undefined;
  cleanUps.push(() => spawnSync("umount", ["-l", path]));
  return path;
}

/** Takes all the room there is. */
function fill(file: string): void {
  for (const bytes of [65_536, 4096, 512, 1])
    try {
      for (;;) writeFileSync(file, Buffer.alloc(bytes), { flag: "a" });
    } catch {
      // Full, as far as pieces of this size go.
    }
}

async function shoalNow(recorder: ReturnType<typeof recorderOn>): Promise<void> {
  for (const depthM of [5, 4, 3, 2]) await recorder.second({ depthM });
  await recorder.seconds(8, { depthM: 1.2 });
}

/** Time has to go on for anything to be said. */
async function secondsUntil(
  recorder: ReturnType<typeof recorderOn>,
  reading: Parameters<typeof recorder.second>[0],
  met: () => boolean,
  what: string,
): Promise<void> {
  for (let i = 0; !met(); i++) {
    if (i > 300) throw new Error(`300 seconds told in vain: ${what}`);
    await recorder.second(reading);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

const stateOf = (peer: Peer, id: number) => alfsOf(peer, id).at(-1)?.state;

test("a full card: said within seconds, alarms go out, and with room again all is kept, the lean time too", async (context) => {
  const card = smallDisk();
  if (card === undefined) return context.skip("no file system can be mounted here (needs root)");
  const { daemon, journal } = await start(boatConfig(BUS + DISPLAYS), card);
  cleanUps.push(() => daemon.stop());
  const bus = await connectTo(daemon.address("bus"));
  const display = await connectTo(daemon.address("displays"));
  cleanUps.push(bus.close, display.close);
  const recorder = recorderOn(bus, T0);
  await recorder.seconds(5, {});
  await recorder.second({}, "PRDW,LETGO", "PRDW,RODE,30,M", "PRDW,BROUGHTUP");
  await until(() => daemon.core().watch.stay.phase === "riding", "the watch");

  const ballast = join(card, "ballast");
  fill(ballast);
  const fullMs = performance.now();
  await secondsUntil(recorder, {}, () => stateOf(display, LOG_FAILING) === "unacknowledged", "log failing");
  expect(performance.now() - fullMs).toBeLessThan(15_000);
  expect(journal.entries.map(({ text }) => text)).toContain("the state file cannot be written");
  await shoalNow(recorder);
  await until(() => alfsOf(display, SHOAL).length > 0, "the alarm on a full card", 5000);
  await recorder.seconds(120, {});

  rmSync(ballast);
  const isKept = () => journal.entries.some(({ text }) => text === "the state file is kept again");
  await secondsUntil(recorder, {}, isKept, "kept again");
  const isOver = () => ["rectified", undefined].includes(daemon.core().alerts.active["log-failing"]?.status);
  await secondsUntil(recorder, {}, isOver, "the warning to end");
  await daemon.stop();
  const review = openReview(card);
  cleanUps.push(() => review?.close());
  const kept = [...(review?.lines(1) ?? [])].map(({ text }) => text);
  // Every second of the lean time is there: it was kept in memory meanwhile.
  const seconds = new Set(kept.flatMap((text) => /GPRMC,(\d{6})/.exec(text)?.[1] ?? []));
  for (let atMs = T0 + 10_000; atMs < recorder.atMs - 2000; atMs += 1000)
    expect(seconds).toContain(new Date(atMs).toISOString().slice(11, 19).replaceAll(":", ""));
}, 90_000);

test("a card that is read-only when the daemon starts: the watch goes on from what was saved, and says so", async (context) => {
  const card = smallDisk();
  if (card === undefined) return context.skip("no file system can be mounted here (needs root)");
  const before = await start(boatConfig(BUS + DISPLAYS), card);
  const bus = await connectTo(before.daemon.address("bus"));
  const recorder = recorderOn(bus, T0);
  await recorder.seconds(5, {});
  await recorder.second({}, "PRDW,LETGO", "PRDW,RODE,30,M", "PRDW,BROUGHTUP");
  await until(() => before.daemon.core().watch.stay.phase === "riding", "the watch");
  bus.close();
  await before.daemon.stop();
  if (spawnSync("mount", ["-o", "remount,ro", card]).status !== 0) return context.skip("no remounting here");
  const { daemon, journal } = await start(boatConfig(BUS + DISPLAYS), card);
  cleanUps.push(() => daemon.stop());
  const again = await connectTo(daemon.address("bus"));
  const display = await connectTo(daemon.address("displays"));
  cleanUps.push(again.close, display.close);
  const onward = recorderOn(again, T0 + 60_000);
  await secondsUntil(onward, {}, () => stateOf(display, LOG_FAILING) === "unacknowledged", "log failing");
  expect(daemon.core().watch.stay.phase).toBe("riding");
  expect(journal.entries.map(({ text }) => text)).toContain(
    "no acts from the shell: its socket cannot be made",
  );
  await shoalNow(onward);
  await until(() => alfsOf(display, SHOAL).length > 0, "the alarm", 5000);
}, 60_000);

test("a directory that turns read-only under a watch without rights: said, and the alarm goes out", async (context) => {
  if (process.getuid?.() !== 0) return context.skip("to drop rights takes root");
  const { path } = folder();
  const [busPort = 0, displayPort = 0] = await freePorts(2);
  const text = boatConfig(
    (BUS + DISPLAYS)
      .replace("127.0.0.1:0", `127.0.0.1:${busPort}`)
      .replace("127.0.0.1:0", `127.0.0.1:${displayPort}`),
  );
  const file = join(path, "boat.toml");
  const state = join(path, "state");
  writeFileSync(file, text);
  mkdirSync(state);
  chmodSync(path, 0o755);
  chownSync(state, 65_534, 65_534);
  const nobody = ["setpriv", "--reuid", "65534", "--regid", "65534", "--clear-groups"];
  const child = rodeward(["run", "--config", file], { STATE_DIRECTORY: state }, nobody);
  const bus = await connectTo(`127.0.0.1:${busPort}`, 15_000);
  const display = await connectTo(`127.0.0.1:${displayPort}`);
  cleanUps.push(bus.close, display.close);
  const recorder = recorderOn(bus, T0);
  await recorder.seconds(5, {});
  await recorder.second({}, "PRDW,LETGO", "PRDW,RODE,30,M", "PRDW,BROUGHTUP");
  await until(() => display.sentences().filter((s) => s.id === "PRDW").length === 3, "the watch", 5000);
  chmodSync(state, 0o555);
  await secondsUntil(recorder, {}, () => stateOf(display, LOG_FAILING) === "unacknowledged", "log failing");
  expect(child.err()).toMatch(/the state file cannot be written/);
  await shoalNow(recorder);
  await until(() => alfsOf(display, SHOAL).length > 0, "the alarm", 5000);
}, 60_000);

test("a card that takes 1.5 s for every fsync keeps no alarm waiting", async (context) => {
  const { path } = folder();
  const shim = join(path, "slow-disk.so");
  const source = fileURLToPath(new URL("slow-disk.c", import.meta.url));
  if (spawnSync("cc", ["-shared", "-fPIC", "-O1", "-o", shim, source, "-ldl"]).status !== 0)
    return context.skip("no C compiler here");
  const [busPort = 0, displayPort = 0] = await freePorts(2);
  const file = join(path, "boat.toml");
  writeFileSync(
    file,
    boatConfig(
      (BUS + DISPLAYS)
        .replace("127.0.0.1:0", `127.0.0.1:${busPort}`)
        .replace("127.0.0.1:0", `127.0.0.1:${displayPort}`),
    ),
  );
  const child = rodeward(["run", "--config", file], {
    STATE_DIRECTORY: path,
    LD_PRELOAD: shim,
    SLOW_MS: "1500",
  });
  const bus = await connectTo(`127.0.0.1:${busPort}`, 30_000);
  const display = await connectTo(`127.0.0.1:${displayPort}`);
  cleanUps.push(bus.close, display.close);
  const recorder = recorderOn(bus, T0);
  await recorder.seconds(5, {});
  await recorder.second({}, "PRDW,LETGO", "PRDW,RODE,30,M", "PRDW,BROUGHTUP");
  await until(() => display.sentences().filter((s) => s.id === "PRDW").length === 3, "the watch", 10_000);
  // After each 4 MB the log writes its file back in the watch's own thread: then a slow card does keep it waiting.
  for (let minute = 0; minute < 3; minute++) {
    await recorder.seconds(60, {});
    await new Promise((resolve) => setTimeout(resolve, 500));
  }
  await recorder.second({ depthM: 5 }, "PRDW,RISE,1,M");
  await until(
    () => display.lines.some((line) => line.includes("PRDW,ACK,RISE")),
    "all to be handled",
    20_000,
  );
  await new Promise((resolve) => setTimeout(resolve, 3000));
  for (const depthM of [4, 3, 2]) await recorder.second({ depthM });
  await recorder.seconds(8, { depthM: 1.2 });
  const askedMs = performance.now();
  await until(() => alfsOf(display, SHOAL).length > 0, "the alarm", 10_000);
  expect(performance.now() - askedMs).toBeLessThan(1000);
  expect(child.err()).not.toMatch(/stood still/);
}, 90_000);
