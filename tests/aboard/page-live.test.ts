/** The page of a running daemon: over HTTP as a script would, and in a real browser. */
import { existsSync } from "node:fs";
import { chromium } from "playwright-core";
import { afterEach, describe, expect, test } from "vitest";
import type { BoatState } from "../../src/page/boat-state.ts";
import { until } from "../ports/ear.ts";
import {
  type Afloat,
  BUS,
  boatConfig,
  connectTo,
  createFolder,
  DISPLAYS,
  endChildren,
  type Folder,
  PLACE,
  recorderOn,
  rodeward,
  start,
} from "./afloat.ts";

const T0 = Date.parse("2026-06-15T01:00:00Z");

const folders: Folder[] = [];
const running: Afloat[] = [];

afterEach(async () => {
  endChildren();
  for (const one of running.splice(0)) await one.daemon.stop();
  for (const one of folders.splice(0)) one.remove();
});

describe("over HTTP", () => {
  test("the state is the core's; with the PIN an act changes it, without it does not", async () => {
    const folder = createFolder();
    folders.push(folder);
    const one = await start(boatConfig(BUS + DISPLAYS), folder.path);
    running.push(one);
    const { daemon } = one;
    const url = daemon.pageUrl ?? "";
    await recorderOn(await connectTo(daemon.address("bus")), T0).seconds(5, { depthM: 6 });
    await until(() => daemon.core().atMs === T0 + 4000, "the seconds are walked");

    const state = async () => (await (await fetch(`${url}/api/state`)).json()) as BoatState;
    const post = (path: string, body: object, cookie = "") =>
      fetch(`${url}${path}`, {
        method: "POST",
        headers: { "content-type": "application/json", origin: url, cookie },
        body: JSON.stringify(body),
      });
    const seen = await state();
    expect(seen).toMatchObject({
      phase: "underway",
      depth: { surfaceM: 6, underKeelM: 5.2, source: "bus/SD" },
      headingDeg: 270,
      sogKn: 0.1,
    });
    // True UTC is learnt to the second.
    expect(Math.abs(Date.parse(seen.at) - daemon.core().atMs)).toBeLessThanOrEqual(1000);
    // 1e-5 of a minute is 2 cm.
    expect(seen.position.lat).toBeCloseTo(PLACE.latDeg, 6);
    expect(seen.position.lon).toBeCloseTo(PLACE.lonDeg, 6);
    expect(seen.ports.find((port) => port.name === "bus")).toMatchObject({
      state: "up",
      lines: 15,
      refused: 0,
    });

    const letGo = { verb: "LETGO" };
    expect((await post("/api/act", letGo)).status).toBe(401);
    expect((await state()).phase).toBe("underway");
    const wrong = daemon.firstPin === "000000" ? "000001" : "000000";
    expect((await post("/api/session", { pin: wrong })).status).toBeGreaterThanOrEqual(400);
    const paired = await post("/api/session", { pin: daemon.firstPin });
    expect(paired.status).toBe(200);
    const cookie = paired.headers.get("set-cookie")?.split(";")[0] ?? "";
    expect((await post("/api/act", { verb: "WEIGH" }, cookie)).status, "out of phase").toBe(409);
    const acted = await post("/api/act", letGo, cookie);
    expect({ status: acted.status, body: await acted.json() }).toEqual({ status: 200, body: { ok: true } });
    const after = await state();
    expect(after.phase).toBe("let-go");
    // The roller is 6 m before the antenna, and she heads west.
    const metresPerDegreeEast = 111_320 * Math.cos((PLACE.latDeg * Math.PI) / 180);
    expect(((after.anchor.lon ?? 0) - PLACE.lonDeg) * metresPerDegreeEast).toBeCloseTo(-6, 0);
    expect((await post("/api/alerts/dragging/acknowledge", {}, cookie)).status).toBeGreaterThanOrEqual(400);
    expect((await fetch(`${url}/healthz`)).status).toBe(200);
    expect(await (await fetch(`${url}/metrics`)).text()).toContain(
      'rodeward_port_lines_total{port="bus"} 15',
    );
  });
});

const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";

describe.skipIf(!existsSync(executablePath) && !process.env.CI)("in a browser", () => {
  test("a stranger opens the page of a rehearsal, and sees a figure change", {
    timeout: 60_000,
  }, async () => {
    const child = rodeward(
      ["rehearse", "--scene", "breeze", "--speed", "5", "--display-port", "0", "--page-port", "0"],
      {},
    );
    await until(() => /Page: http\S+/.test(child.out()), "the page's address", 20_000);
    const url = /Page: (\S+)/.exec(child.out())?.[1] ?? "";
    const browser = await chromium.launch({
      executablePath,
      args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
    });
    try {
      const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
      const complaints: string[] = [];
      page.on("pageerror", (error) => complaints.push(error.message));
      await page.goto(url);
      // What a person would take for a live figure: a number that stands in the page and then is another one.
      const figures = async (): Promise<string[]> =>
        (await page.locator("body").allInnerTexts()).join().match(/\d+\.\d+ (m|kn)/g) ?? [];
      const endMs = performance.now() + 20_000;
      let first: string[] = [];
      while (first.length === 0 && performance.now() < endMs) first = await figures();
      expect(first.length, "a figure with its unit").toBeGreaterThan(0);
      let then = first;
      while (then.join() === first.join() && performance.now() < endMs) then = await figures();
      expect(then, "the figures change by themselves").not.toEqual(first);
      expect(complaints).toEqual([]);
    } finally {
      await browser.close();
    }
    child.process.kill("SIGINT");
    expect((await child.ended).code).toBe(0);
  });
});
