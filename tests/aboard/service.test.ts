/** Under a service manager: what it is told and when, a stall, a death that is heard, a log fit for the journal. */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { describe, expect, test, vi } from "vitest";
import { openDoors } from "../../src/aboard/exposure.ts";
import { type Health, openLifeSigns } from "../../src/aboard/life-signs.ts";
import { createLog } from "../../src/aboard/log-destination.ts";
import { stateDirectoryFromShell } from "../../src/aboard/state-directory.ts";
import { until } from "../ports/ear.ts";
import {
  BUS,
  boatConfig,
  cleaning,
  configOf,
  connectTo,
  createJournal,
  freePorts,
  recorderOn,
  rodeward,
  start,
} from "./afloat.ts";
import { listenAsManager, type ServiceSocket } from "./service-socket.ts";

const { cleanUps, folder } = cleaning();

async function managed(limitMs: number, more: NodeJS.ProcessEnv = {}) {
  const { path } = folder();
  const [port = 0] = await freePorts(1);
  const manager: ServiceSocket = await listenAsManager(path);
  cleanUps.push(manager.close);
  const file = join(path, "rodeward.toml");
  const bus = `[[port]]\nname = "bus"\nkind = "tcp-server"\nlisten = "127.0.0.1:${port}"\n`;
  writeFileSync(file, boatConfig(bus));
  const child = rodeward(["run", "--config", file], {
    NOTIFY_SOCKET: manager.path,
    WATCHDOG_USEC: String(limitMs * 1000),
    STATE_DIRECTORY: path,
    ...more,
  });
  return { child, manager, port };
}

describe("the service manager", () => {
  test("hears READY once the ports are open, signs of life on a quiet bus, and STOPPING", async () => {
    const limitMs = 3000;
    const { child, manager, port } = await managed(limitMs);
    await until(() => manager.texts().includes("READY=1"), "READY", 15_000);
    (await connectTo(`127.0.0.1:${port}`, 0)).close();
    const signs = () => manager.told.filter(({ text }) => text === "WATCHDOG=1");
    await until(() => signs().length >= 4, "four signs of life", 4 * limitMs);
    const gaps = signs()
      .slice(1)
      .map(({ atMs }, i) => atMs - (signs()[i]?.atMs ?? 0));
    expect(Math.max(...gaps)).toBeLessThan(limitMs);
    expect(manager.texts()).toContainEqual(expect.stringMatching(/^STATUS=underway; page http:/));
    child.process.kill("SIGTERM");
    expect(await child.ended).toEqual({ code: 0, signal: null });
    expect(manager.texts().at(-1)).toBe("STOPPING=1");
  });

  test("a loop that stands still for 5 s gives no sign, says so afterwards, and signs again", async () => {
    const stall = fileURLToPath(new URL("stall.mjs", import.meta.url));
    const { child, manager } = await managed(1500, { NODE_OPTIONS: `--import=${stall}`, STALL_MS: "5000" });
    await until(() => manager.texts().includes("WATCHDOG=1"), "a sign of life", 15_000);
    const stalledMs = performance.now();
    child.process.kill("SIGUSR2");
    await until(() => /stood still/.test(child.err()), "the stall to be said", 10_000);
    const during = manager.told.filter(({ atMs }) => atMs > stalledMs + 400 && atMs < stalledMs + 4900);
    expect(during).toEqual([]);
    expect(Number(/"stalledS":([\d.]+)/.exec(child.err())?.[1])).toBeGreaterThan(4);
    const count = manager.told.length;
    await until(() => manager.told.length > count, "signs again", 3000);
  });

  test("none is there: nothing is run, nothing is said", async () => {
    const { child, port } = await managed(1500, { NOTIFY_SOCKET: "" });
    (await connectTo(`127.0.0.1:${port}`, 15_000)).close();
    await until(() => /PIN/.test(child.err()), "the start", 5000);
    expect(child.err()).not.toMatch(/service manager/);
  });

  test("one that cannot be told is said, once, and the watch goes on", async () => {
    const { child, port } = await managed(600, { NOTIFY_SOCKET: "/nowhere/at/all" });
    await until(() => /service manager cannot be told/.test(child.err()), "the failure", 15_000);
    await sleep(1000);
    expect(child.err().match(/cannot be told/g)).toHaveLength(1);
    (await connectTo(`127.0.0.1:${port}`, 0)).close();
  });
});

test("signs of life stop while the daemon is ill, which is said once, and begin again", async () => {
  let health: Health = { ok: true, why: "" };
  let signs = 0;
  const journal = createJournal();
  const manager = {
    isThere: true,
    limitMs: 60,
    ready: () => {},
    alive: () => {
      signs++;
      return true;
    },
    stopping: () => Promise.resolve(),
  };
  const watch = openLifeSigns({ manager, health: () => health, status: () => "riding", log: journal });
  cleanUps.push(watch.close);
  await until(() => signs > 1, "signs", 2000);
  health = { ok: false, why: "9 s behind" };
  await sleep(60);
  const before = signs;
  await sleep(200);
  expect(signs).toBe(before);
  expect(journal.entries.map(({ fields }) => fields)).toEqual([{ why: "9 s behind" }]);
  health = { ok: true, why: "" };
  await until(() => signs > before, "signs again", 2000);
});

test("a sign left out because an earlier one is still being given is given at the next look", () => {
  vi.useFakeTimers({ toFake: ["setInterval", "clearInterval", "performance"] });
  cleanUps.push(() => void vi.useRealTimers());
  let asked = 0;
  const manager = {
    isThere: true,
    limitMs: 3000,
    ready: () => {},
    alive: () => ++asked > 1,
    stopping: () => Promise.resolve(),
  };
  const health = () => ({ ok: true, why: "" });
  const watch = openLifeSigns({ manager, health, status: () => "riding", log: createJournal() });
  cleanUps.push(watch.close);
  const askedAfter = (ms: number) => {
    vi.advanceTimersByTime(ms);
    return asked;
  };
  expect([999, 1, 499, 1, 999, 1].map(askedAfter)).toEqual([0, 1, 1, 2, 2, 3]);
});

describe("a dead watch is heard", () => {
  function hooked() {
    const { path } = folder();
    const file = join(path, "rodeward.toml");
    const noted = join(path, "told");
    const script = `echo "$RODEWARD_KEY $RODEWARD_STATE $RODEWARD_SOUND $RODEWARD_TEXT" >> ${noted}`;
    const hook = `[[hook]]\non = ["alarm"]\nrun = ["/bin/sh", "-c", ${JSON.stringify(script)}]\n`;
    writeFileSync(file, boatConfig(hook));
    const told = () => {
      try {
        return readFileSync(noted, "utf8").trim().split("\n");
      } catch {
        return [];
      }
    };
    return { path, file, told, hook };
  }
  const dead = (file: string, path: string, result: string) =>
    rodeward(["hooks", "dead", "--config", file], { SERVICE_RESULT: result, STATE_DIRECTORY: path }).ended;

  test("by the alarm hooks; the next start tells them that it is back, once", async () => {
    const { path, file, told } = hooked();
    expect(await dead(file, path, "watchdog")).toMatchObject({ code: 0 });
    expect(told()).toEqual(["dead unacknowledged 1 The watch has ended (watchdog): nobody watches"]);
    const first = await start(readFileSync(file, "utf8"), path);
    await until(() => told().length === 2, "the all-clear", 5000);
    await first.daemon.stop();
    expect(told()[1]).toBe("dead normal 0 The watch is back");
    expect(first.journal.entries.map(({ text }) => text)).toContain(
      "the watch is back after it had ended by itself",
    );
    const second = await start(readFileSync(file, "utf8"), path);
    await sleep(300);
    await second.daemon.stop();
    expect(told()).toHaveLength(2);
  });

  test("an end that was wished is silent", async () => {
    const { path, file, told } = hooked();
    expect(await dead(file, path, "success")).toMatchObject({ code: 0 });
    expect(told()).toEqual([]);
  });

  test("even when a fault in the configuration is what has ended it", async () => {
    const { path, file, told, hook } = hooked();
    writeFileSync(file, `[rode]\nchain = 8\n[nonsense]\n${hook}`);
    expect(await dead(file, path, "exit-code")).toMatchObject({ code: 0 });
    expect(told()).toHaveLength(1);
  });

  test("no hook that could sound, or none that works: exit 1 and a line that says so", async () => {
    const { path, file } = hooked();
    writeFileSync(file, boatConfig('[[hook]]\non = ["caution"]\nrun = ["/bin/true"]\n'));
    expect(await dead(file, path, "signal")).toMatchObject({ code: 1 });
    writeFileSync(file, boatConfig('[[hook]]\non = ["alarm"]\nrun = ["/nowhere/buzzer"]\n'));
    const child = rodeward(["hooks", "dead", "--config", file], { SERVICE_RESULT: "signal" });
    expect(await child.ended).toMatchObject({ code: 1 });
    expect(child.err()).toMatch(/hook \/nowhere\/buzzer: there is no such program/);
  });

  test("a test sounds, and is over", async () => {
    const { file, told } = hooked();
    const child = rodeward(["hooks", "test", "--config", file]);
    expect(await child.ended).toMatchObject({ code: 0 });
    expect(told()).toEqual([
      "test unacknowledged 1 A test: you should hear this",
      "test normal 0 The test is over",
    ]);
    expect(child.out()).toMatch(/Did you hear it/);
  });
});

describe("the log", () => {
  const lines: string[] = [];
  const written = (env: NodeJS.ProcessEnv) => {
    lines.length = 0;
    return createLog(env, (text) => lines.push(text));
  };

  test("in the journal: a priority before each line, and no time of its own", () => {
    const log = written({ JOURNAL_STREAM: "8:1234" });
    log.info({ port: "bus" }, "port up");
    log.warn({}, "a warning");
    log.error({ err: new Error("two\nlines") }, "an error");
    expect(lines.map((line) => line.slice(0, 4))).toEqual(["<6>{", "<4>{", "<3>{"]);
    for (const line of lines) expect(line.indexOf("\n")).toBe(line.length - 1);
    expect(lines[0]).not.toMatch(/time/);
  });

  test("elsewhere: JSON lines with their time", () => {
    written({}).info({}, "port up");
    expect(JSON.parse(lines[0] ?? "")).toMatchObject({ level: 30, time: expect.stringMatching(/^20/) });
  });

  test("nothing said by strangers breaks a line or steers a terminal", () => {
    const nasty = "a\r\nb\u001b[2Jc\u009b2Jd\u007fe\u2028f\u2029g\u0085h\u0000";
    written({}).warn({ from: nasty }, nasty);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
    expect(lines[0]?.slice(0, -1)).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]/);
    expect(JSON.parse(lines[0] ?? "")).toMatchObject({ from: nasty, msg: nasty });
  });

  test("a quiet hour on watch says nothing at all", async () => {
    const { path } = folder();
    const hook = '[[hook]]\non = ["alarm"]\nrun = ["/bin/true"]\n';
    const { daemon, journal } = await start(boatConfig(BUS + hook), path);
    cleanUps.push(() => daemon.stop());
    const bus = await connectTo(daemon.address("bus"));
    cleanUps.push(bus.close);
    const recorder = recorderOn(bus, Date.UTC(2026, 5, 15, 22, 0, 0));
    await recorder.seconds(20, {});
    await recorder.second({}, "PRDW,LETGO", "PRDW,RODE,40,M", "PRDW,BROUGHTUP");
    await recorder.seconds(60, {});
    await until(() => daemon.core().watch.stay.phase === "riding", "the watch", 10_000);
    await until(() => daemon.core().atMs >= recorder.atMs - 2000, "the first minute", 10_000);
    journal.entries.length = 0;
    await recorder.seconds(3600, {});
    await until(() => daemon.core().atMs >= recorder.atMs - 2000, "the hour", 30_000);
    expect(journal.entries.filter(({ level }) => level !== "debug")).toEqual([]);
  });
});

test("what is open to the network is named, with what is believed there; localhost is not", () => {
  const server = (name: string, listen: string, more = "") =>
    `[[port]]\nname = "${name}"\nkind = "tcp-server"\nlisten = "${listen}"\n${more}`;
  const page = (listen: string) => `[page]\nlisten = "${listen}"\n`;
  const shut = configOf(boatConfig(server("a", "127.0.0.1:1") + server("b", "[::1]:2"), page("localhost:3")));
  expect(openDoors(shut)).toEqual([]);
  const open = configOf(
    boatConfig(
      `${server("a", "0.0.0.0:10110")}${server("b", "192.168.1.5:1", "operator = true\nacknowledge = true\n")}
[[port]]
name = "lan"
kind = "udp-61162-450"
`,
      page("[::]:8010"),
    ),
  );
  expect(openDoors(open)).toEqual([
    "page :::8010: to look, and to act with the PIN",
    "port a 0.0.0.0:10110: readings taken from whoever sends them",
    "port b 192.168.1.5:1: readings, acknowledgements, orders taken from whoever sends them",
    "port lan multicast: readings taken from whoever sends them",
  ]);
});

test("a shell acts on the service's state where there is a service, and on its own elsewhere", () => {
  const { path } = folder();
  const env = { XDG_STATE_HOME: "/home/mate/.state" };
  expect(stateDirectoryFromShell(undefined, env, path)).toBe(path);
  expect(stateDirectoryFromShell(undefined, env, join(path, "none"))).toBe("/home/mate/.state/rodeward");
  expect(stateDirectoryFromShell("/data", env, path)).toBe("/data");
  expect(stateDirectoryFromShell(undefined, { STATE_DIRECTORY: "/run/own" }, path)).toBe("/run/own");
});
