/** Settings changed in use: over HTTP, by the core, across a restart, and in a night that is run again. */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, describe, expect, test } from "vitest";
import { readConfig } from "../../src/config/read.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { advance, begin } from "../../src/core.ts";
import { type Daemon, startDaemon } from "../../src/daemon.ts";
import { seal } from "../../src/nmea/seal.ts";
import type { SettingsState } from "../../src/page/settings-state.ts";
import { createFolder, type Folder } from "../page/stage.ts";

const BOAT = '[rode]\nchain = "8 m"\nrope = "60 m"\n[page]\nlisten = "127.0.0.1:0"\n';
const silent = { debug: () => {}, info: () => {}, warn: () => {}, error: () => {} };
const running: Daemon[] = [];
const folders: Folder[] = [];

async function start(folder: Folder, text = BOAT): Promise<Daemon> {
  const read = readConfig(text);
  if (!read.ok) throw new Error(read.problems.join("\n"));
  const daemon = await startDaemon({
    config: read.config,
    stateDirectory: folder.path,
    log: silent,
    configFile: "rodeward.toml",
  });
  running.push(daemon);
  return daemon;
}

function fresh(): Folder {
  const folder = createFolder();
  folders.push(folder);
  return folder;
}

afterEach(async () => {
  for (const daemon of running.splice(0)) await daemon.stop();
  for (const folder of folders.splice(0)) folder.remove();
});

const line = async (daemon: Daemon, key: string) => {
  const state = (await (await fetch(`${daemon.pageUrl}/api/settings`)).json()) as SettingsState;
  return state.settings.find((one) => one.key === key);
};

async function phone(daemon: Daemon, pin = daemon.firstPin) {
  const url = daemon.pageUrl ?? "";
  const headers = { origin: url, "content-type": "application/json" };
  const body = JSON.stringify({ pin });
  const session = await fetch(`${url}/api/session`, { method: "POST", headers, body });
  const cookie = session.headers.get("set-cookie")?.split(";")[0] ?? "";
  return async (key: string, value: string, as = cookie) => {
    const answer = await fetch(`${url}/api/settings`, {
      method: "POST",
      headers: { ...headers, cookie: as },
      body: JSON.stringify({ key, value }),
    });
    return { status: answer.status, ...((await answer.json()) as { error?: string; reason?: string }) };
  };
}

describe("settings in use", () => {
  test("set from a paired phone, checked, shown, and there after a restart", async () => {
    const folder = fresh();
    const daemon = await start(folder);
    const set = await phone(daemon);
    expect(await line(daemon, "watch.margin")).toMatchObject({ value: "15 m", filed: "15 m" });
    expect(await set("watch.margin", "25 m")).toMatchObject({ status: 200 });
    expect(daemon.core().tuned?.watch.marginM).toBe(25);
    expect(await line(daemon, "watch.margin")).toMatchObject({ value: "25 m", filed: "15 m" });
    expect(await set("watch.margin", "30")).toMatchObject({ status: 400, reason: "format" });
    expect(await set("boat.length", "30 m")).toMatchObject({ status: 400 });
    expect(await set("watch.wind_limit", "40 kn")).toMatchObject({ status: 400 });
    expect(await set("watch.margin", "30 m", "")).toMatchObject({ status: 401, reason: "session" });
    expect(daemon.core().tuned?.watch.marginM).toBe(25);
    expect(await set("page.units", "feet")).toMatchObject({ status: 200 });
    const session = await (await fetch(`${daemon.pageUrl}/api/session`)).json();
    expect(session).toMatchObject({ units: "feet" });
    await running.pop()?.stop();
    expect(JSON.parse(readFileSync(join(folder.path, "settings.json"), "utf8"))).toEqual({
      "watch.margin": "25 m",
      "page.units": "feet",
    });
    const again = await start(folder);
    expect(await line(again, "watch.margin")).toMatchObject({ value: "25 m", filed: "15 m" });
  });

  test("set back to what the file says, nothing is kept", async () => {
    const folder = fresh();
    const daemon = await start(folder);
    const set = await phone(daemon);
    await set("watch.margin", "25 m");
    await set("watch.margin", "15 m");
    await running.pop()?.stop();
    expect(JSON.parse(readFileSync(join(folder.path, "settings.json"), "utf8"))).toEqual({});
  });

  test("what was kept and no longer passes, or cannot be read, is left out", async () => {
    const folder = fresh();
    writeFileSync(
      join(folder.path, "settings.json"),
      JSON.stringify({ "watch.gust_limit": "10 kn", "watch.margin": "22 m", gone: "1" }),
    );
    const daemon = await start(folder);
    expect(await line(daemon, "watch.margin")).toMatchObject({ value: "22 m" });
    expect(await line(daemon, "watch.gust_limit")).toMatchObject({ value: "28 kn" });
    await running.pop()?.stop();
    writeFileSync(join(folder.path, "settings.json"), "{damaged");
    expect(await line(await start(folder), "watch.margin")).toMatchObject({ value: "15 m" });
  });

  test("everything else is shown, with the file; programs and brokers are not", async () => {
    const daemon = await start(fresh(), `${BOAT}[[hook]]\non = ["alarm"]\nrun = ["/bin/true", "s3cret"]\n`);
    const text = await (await fetch(`${daemon.pageUrl}/api/settings`)).text();
    expect(text).not.toContain("s3cret");
    const { settings, file } = JSON.parse(text) as SettingsState;
    expect(file).toBe("rodeward.toml");
    expect(settings.find(({ key }) => key === "rode.chain")).toMatchObject({ value: "8 m", edit: null });
    expect(settings.find(({ key }) => key === "scope.steps")?.value).toBe("0 kn: 5, 20 kn: 7, 30 kn: 8");
  });
});

describe("in the core", () => {
  const read = readConfig(BOAT);
  const settings = coreSettings(read.ok ? read.config : undefined, { utc: "given", ignoreOperator: false });

  test("a SET line is taken from our own ports only, and answered", () => {
    const core = begin(settings, 0);
    const told = (port: string, body: string) => {
      const { out } = advance(core, { kind: "line", text: seal(body), port, atMs: 1000 }, settings);
      const [first] = out.filter(({ sentence }) => sentence.id === "PRDW");
      return first?.sentence.id === "PRDW" ? first.sentence.content?.order : undefined;
    };
    expect(told("bus", "PRDW,SET,watch.margin,99 m")).toMatchObject({ verb: "NAK", reason: "port" });
    expect(told("log", "PRDW,SET,watch.margin,99 m")).toMatchObject({ verb: "NAK", reason: "port" });
    expect(told("page", "PRDW,SET,watch.margin,99")).toMatchObject({ verb: "NAK", reason: "range" });
    expect(told("page", "PRDW,SET,boat.beam,9 m")).toMatchObject({ verb: "NAK", reason: "format" });
    expect(core.tuned).toBeUndefined();
    expect(told("page", "PRDW,SET,watch.margin,99 m")).toMatchObject({ verb: "ACK", answered: "SET" });
    expect(core.tuned?.watch.marginM).toBe(99);
    expect(told("shell", "PRDW,SET,watch.stay,attended")).toMatchObject({ verb: "ACK" });
    expect(core.tuned?.watch).toMatchObject({ marginM: 99, stay: "attended", leastScope: 2 });
    expect(JSON.parse(JSON.stringify(core.tuned))).toMatchObject({ values: { "watch.margin": "99 m" } });
  });
});
