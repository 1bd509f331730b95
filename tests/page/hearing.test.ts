/** What a phone does besides showing: speech, vibration, the screen kept on, the light by the sun, armed told. */
import { existsSync } from "node:fs";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { type OpenPage, openPage } from "../../src/page/server.ts";
import { CHROMIUM, launch } from "./phone.ts";
import { BUILT, createFolder, createStage, dragging, ridingState, settingsIn, silentLog } from "./stage.ts";

interface Told {
  said: string[];
  buzzed: number[];
  beeps: number;
}

const folder = createFolder();
const stage = createStage();
let server: OpenPage;
let browser: Browser;
let page: Page;
let everySecond: NodeJS.Timeout;

const told = () => page.evaluate(() => (window as unknown as { told: Told }).told);

function show(state: typeof stage.state): void {
  stage.state = state;
  server.push();
}

describe.skipIf(!existsSync(CHROMIUM))("heard and felt", { timeout: 30_000 }, () => {
  beforeAll(async () => {
    server = await openPage(settingsIn(folder, BUILT), stage.deps, silentLog);
    everySecond = setInterval(() => server.push(), 1000);
    browser = await launch();
    page = await browser.newPage({ viewport: { width: 390, height: 844 } });
    await page.addInitScript(() => {
      const noted: Told = { said: [], buzzed: [], beeps: 0 };
      Object.assign(window, { told: noted });
      Object.defineProperty(navigator, "vibrate", {
        value: (pattern: number | number[]) => noted.buzzed.push([pattern].flat().length),
      });
      speechSynthesis.speak = (utterance) => noted.said.push(utterance.text);
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (when) {
        noted.beeps++;
        start.call(this, when);
      };
    });
    await page.goto(server.url);
    await page.locator("h1").getByText("No drag").waitFor();
  }, 60_000);

  afterAll(async () => {
    clearInterval(everySecond);
    await browser?.close();
    await server?.close();
    folder.remove();
  });

  beforeEach(() => show(ridingState()));

  test("unarmed, nothing is heard; armed, the daemon is told and the screen is kept on", async () => {
    show({ ...ridingState(), alerts: [dragging] });
    await page.locator("h1").getByText("Dragging").waitFor();
    expect(await told()).toMatchObject({ said: [], beeps: 0 });
    expect(server.hears()).toBe(false);
    await page.locator("#sound").click();
    await page.locator("#sound").getByText("Sound armed").waitFor();
    await expect.poll(() => server.hears()).toBe(true);
    // What was wrong before anybody could hear it is said now.
    await expect.poll(async () => (await told()).said.join(" "), { timeout: 8000 }).toContain("Dragging. 14");
    // At localhost the browser may keep it on; where it may not, the page says so.
    expect(await page.locator("#screen").textContent()).toMatch(
      /kept on while sound is armed|may go to sleep/,
    );
  });

  test("an alarm beeps, buzzes and is spoken; silenced it is quiet; when the silence ends it sounds again", async () => {
    await page.locator("h1").getByText("No drag").waitFor();
    const before = await told();
    await page.waitForTimeout(5200); // no two callouts within five seconds
    show({ ...ridingState(), alerts: [dragging] });
    await expect.poll(async () => (await told()).beeps, { timeout: 5000 }).toBeGreaterThan(before.beeps);
    await expect
      .poll(async () => (await told()).said.slice(before.said.length).join(" "), { timeout: 8000 })
      .toContain("Dragging. 14 give or take 3 metres");
    expect(Math.max(...(await told()).buzzed)).toBe(5);
    show({ ...ridingState(), alerts: [{ ...dragging, state: "silenced" }] });
    await page.waitForTimeout(600);
    const quiet = (await told()).beeps;
    await page.waitForTimeout(2500);
    expect((await told()).beeps).toBe(quiet);
    show({ ...ridingState(), alerts: [dragging] });
    await expect.poll(async () => (await told()).beeps, { timeout: 5000 }).toBeGreaterThan(quiet);
  });

  test("disarmed, the daemon is told", async () => {
    await page.locator("#sound").click();
    await expect.poll(() => server.hears()).toBe(false);
  });

  test("the light by the sun where the boat lies", async () => {
    await page.locator("#light").selectOption("sun");
    const light = () => page.evaluate(() => document.documentElement.className);
    const at = (iso: string) => show({ ...ridingState(), at: iso });
    // 54.5 N 10.4 E in mid-June, from memory: sunset a little before 20 UTC, civil dusk until about 20:45.
    at("2026-06-15T12:00:00Z");
    await expect.poll(light).toBe("day");
    at("2026-06-15T20:20:00Z");
    await expect.poll(light).toBe("dusk");
    at("2026-12-15T23:00:00Z");
    await expect.poll(light).toBe("night");
    await page.locator("#light").selectOption("day");
  });
});
