/** The review of kept nights in a real browser. It needs Chromium (Debian's, or named in CHROMIUM). */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type NightsOnPage, nightsForPage } from "../../src/aboard/nights.ts";
import { type OpenPage, openPage } from "../../src/page/server.ts";
import { boatInputs, START_MS, wander } from "../nightlog/boat-lines.ts";
import { openLog, play } from "../nightlog/kept-night.ts";
import { allFaults } from "./axe.ts";
import { CHROMIUM, launch } from "./phone.ts";
import { BUILT, createFolder, createStage, settingsIn, silentLog } from "./stage.ts";

const PLOTS = 6;

const folder = createFolder();
let nights: NightsOnPage;
let server: OpenPage;
let browser: Browser;
let page: Page;
const complaints: string[] = [];
const foreign: string[] = [];

/** Lies quietly, then goes 90 m to the north and comes back: out of her circle. */
async function keepNight(): Promise<void> {
  const log = openLog(folder.path);
  const northM = (s: number) => (s < 900 ? 0 : Math.max(0, 90 - Math.abs(s - 990))) + wander(s);
  const acts = {
    400: ["PRDW,LETGO"],
    410: ["PRDW,RODE,30.0,M", "PRDW,BROUGHTUP"],
    1250: ["PRDW,WEIGH"],
    1260: ["PRDW,AWEIGH"],
  };
  await play(boatInputs({ seconds: 1300, northM, acts, windKn: (s) => (s === 800 ? 19 : 8) }), [log.take]);
  await log.close();
}

const text = async (selector: string) => (await page.locator(selector).textContent()) ?? "";
const comes = (words: string | RegExp, selector = "body", waitMs = 15_000) =>
  page.locator(selector).getByText(words).first().waitFor({ timeout: waitMs });

async function openNight(): Promise<void> {
  await page.goto(`${server.url}/nights?night=1`);
  await page.locator("#side path").nth(3).waitFor({ state: "attached", timeout: 15_000 });
  await page.locator(`#plots canvas >> nth=${PLOTS - 1}`).waitFor({ timeout: 15_000 });
}

/** Where the cursor stands in each plot, px. */
const cursors = () =>
  page
    .locator(".u-cursor-x")
    .evaluateAll((all) => all.map((one) => Math.round(new DOMMatrix(getComputedStyle(one).transform).m41)));
const scrubbed = async () => Number(await page.locator("#scrub").inputValue());

describe.skipIf(!existsSync(CHROMIUM))("the review in a browser", { timeout: 60_000 }, () => {
  beforeAll(async () => {
    await keepNight();
    nights = nightsForPage(folder.path, join(BUILT, "cli/main.js"));
    server = await openPage(settingsIn(folder, BUILT), { ...createStage().deps, nights }, silentLog);
    browser = await launch();
    const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true });
    page = await context.newPage();
    page.on("console", (message) => complaints.push(message.text()));
    page.on("pageerror", (error) => complaints.push(error.message));
    page.on("request", (request) => {
      if (!request.url().startsWith(server.url)) foreign.push(request.url());
    });
  }, 120_000);

  afterAll(async () => {
    await browser?.close();
    nights?.close();
    await server?.close();
    folder.remove();
  });

  test("nights are listed, with the places that they make", async () => {
    await page.goto(`${server.url}/nights`);
    await comes("Every night");
    const row = await text("#nights-table tbody");
    expect(row).toMatch(/50°\s30\.00\d′\sN 0°\s1[12]\.\d{3}′\sW/);
    expect(row).toMatch(/\d+ m outside/);
    expect(row).toContain("aweigh");
    expect(await page.locator("#places-table td").nth(1).textContent()).toBe("1");
    expect(await page.locator("#across .held, #across .mark").count()).toBe(1);
    await page.locator("#nights-table a").click();
    await comes("Off the anchor, m");
  });

  test("a night opens where it was at its worst: the first alarm", async () => {
    await openNight();
    expect(await text("#then")).toMatch(/riding, \d+ m off, 30 m out/);
    expect(await text("#night-alerts")).toContain("Out of the circle");
    expect(await page.locator("#plan .edge").count()).toBe(1);
    // The track, by its time.
    expect(await page.locator("#plan .time").count()).toBeGreaterThan(5);
    expect(await page.locator("#ramp i").count()).toBe(12);
    expect(await page.locator("#events li").allTextContents()).toContain(
      `${await clockOf(410)}  RODE 30.0 M`,
    );
  });

  const clockOf = (second: number) =>
    page.evaluate((atMs) => new Date(atMs).toTimeString().slice(0, 5), START_MS + second * 1000);

  test("one cursor goes through all plots, the plan and the scrubber", async () => {
    await openNight();
    const over = page.locator(".u-over").first();
    await over.scrollIntoViewIfNeeded();
    const box = await over.boundingBox();
    if (box === null) throw new Error("no plot");
    await page.mouse.move(box.x + box.width * 0.25, box.y + 60);
    const [first, ...others] = await cursors();
    expect(Math.abs((first ?? 0) - box.width * 0.25)).toBeLessThan(2);
    expect(others).toEqual(Array(PLOTS - 1).fill(first));
    const early = await scrubbed();
    const ring = () => page.locator("#plan .cursor").getAttribute("cy");
    const earlyRing = await ring();
    // 990 s: farthest off.
    const share = 990 / 1270;
    await page.mouse.move(box.x + box.width * share, box.y + 60);
    expect(await scrubbed()).toBeGreaterThan(early);
    expect(Number(await ring())).toBeLessThan(Number(earlyRing) - 20);
    await comes(/8\d m off/, "#then");
    const read = await page.locator(".plot output").first().textContent();
    expect(Number(read?.split(" ")[0])).toBeGreaterThan(80);
  });

  test("the scrubber replays the night on the elevation", async () => {
    await openNight();
    const rode = () => page.locator("#side .rode").getAttribute("d");
    const set = (second: number) =>
      page.locator("#scrub").evaluate(
        (input, value) => {
          (input as HTMLInputElement).value = String(value);
          input.dispatchEvent(new Event("input"));
        },
        START_MS / 1000 + second,
      );
    await set(700);
    await comes(new RegExp(`${await clockOf(700)}\\s+riding`), "#then");
    const quiet = await rode();
    expect(quiet).toMatch(/^M/);
    await set(990);
    await comes(new RegExp(`${await clockOf(990)}\\s+riding`), "#then");
    expect(await rode()).not.toBe(quiet);
    // Played: it goes on by itself, and ends when told.
    await set(700);
    await page.locator("#play").click();
    await page.waitForFunction(
      (from) => Number((document.querySelector("#scrub") as HTMLInputElement).value) > from,
      START_MS / 1000 + 705,
    );
    await page.locator("#play").click();
    const stopped = await scrubbed();
    await page.waitForTimeout(400);
    expect(await scrubbed()).toBe(stopped);
  });

  test("zoom by mouse, by button and by two fingers; all comes back", async () => {
    await openNight();
    const whole = await text("#span");
    const over = page.locator(".u-over").first();
    await over.scrollIntoViewIfNeeded();
    const box = await over.boundingBox();
    if (box === null) throw new Error("no plot");
    const y = box.y + 50;
    const finer = page.waitForResponse((response) =>
      /nights\/1\?width=\d+&from=\d+&to=\d+/.test(response.url()),
    );
    await page.mouse.move(box.x + box.width * 0.5, y);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.9, y, { steps: 5 });
    await page.mouse.up();
    expect((await finer).status()).toBe(200);
    expect(await text("#span")).not.toBe(whole);
    await page.locator("#all").click();
    expect(await text("#span")).toBe(whole);
    expect(await page.locator("#all").isVisible()).toBe(false);

    const touch = await page.context().newCDPSession(page);
    const fingers = (type: "touchStart" | "touchMove" | "touchEnd", shares: number[]) =>
      touch.send("Input.dispatchTouchEvent", {
        type,
        touchPoints: shares.map((share, id) => ({ x: box.x + box.width * share, y, id })),
      });
    await fingers("touchStart", [0.45]);
    const one = await scrubbed();
    await fingers("touchMove", [0.6]);
    await page.waitForTimeout(60);
    expect(await scrubbed()).toBeGreaterThan(one);
    await fingers("touchEnd", []);
    await fingers("touchStart", [0.45, 0.55]);
    await fingers("touchMove", [0.2, 0.8]);
    await page.waitForTimeout(60);
    await fingers("touchEnd", []);
    expect(await text("#span")).not.toBe(whole);
    await page.locator("#all").click();
    await page.locator("#closer").click();
    expect(await text("#span")).not.toBe(whole);
  });

  test("who is not paired is told; who is names the place and runs the night again", async () => {
    await openNight();
    await comes("Pair this phone on the watch page first.");
    const refused = await page.evaluate(async () => {
      const asked = { method: "POST", headers: { "content-type": "application/json" }, body: '{"name":"x"}' };
      return (await fetch("/api/nights/1/place", asked)).status;
    });
    expect(refused).toBe(401);
    await page.evaluate(async (pin) => {
      const body = JSON.stringify({ pin });
      await fetch("/api/session", { method: "POST", headers: { "content-type": "application/json" }, body });
    }, server.firstPin);
    await openNight();
    await page.locator("#place-name").fill("Home cove");
    await page.getByText("Name it").click();
    await comes("Named.");
    expect(await text("#title")).toBe("Home cove");

    await page.locator("#rerun-fields input").first().fill("200");
    await page.getByText("Run it again").click();
    // A whole night runs again: on a busy machine that takes its time.
    await comes(/Out of the circle/, "#rerun-table", 55_000);
    const row = page.locator("#rerun-table tr").filter({ hasText: "Out of the circle" });
    expect(await row.textContent()).toMatch(/alarm: Out of the circle.*–/);
  });

  test("everything there is to take away is offered", async () => {
    await openNight();
    const links = await page
      .locator("#exports a")
      .evaluateAll((all) => all.map((one) => one.getAttribute("href")));
    expect(links).toEqual(["gpx", "csv", "geojson", "nmea"].map((kind) => `/api/nights/1.${kind}`));
    for (const link of links) expect((await fetch(`${server.url}${link}`)).status).toBe(200);
  });

  test.each(["day", "night"])("by %s it can be read, by a screen reader too", async (mode) => {
    await page.evaluate((light) => localStorage.setItem("rodeward-mode", light), mode);
    for (const path of ["/nights", "/nights?night=1"]) {
      await page.goto(`${server.url}${path}`);
      await page.locator("#nights-table tr, #plots canvas").first().waitFor({ timeout: 15_000 });
      const found = await allFaults(page);
      expect(found, path).toEqual([]);
    }
  });

  test("nothing was complained of, and nothing asked for elsewhere", () => {
    // The place that was named without pairing.
    expect(complaints.filter((line) => !/status of 401/.test(line))).toEqual([]);
    expect(foreign).toEqual([]);
  });
});

test("the whole page, the review with it, is under 120 kB as sent", () => {
  const client = join(BUILT, "page/client");
  const bytes = readdirSync(client).map(
    (name) => gzipSync(readFileSync(join(client, name)), { level: 9 }).length,
  );
  expect(bytes.length).toBeGreaterThan(8);
  expect(bytes.reduce((a, b) => a + b, 0)).toBeLessThan(120_000);
});
