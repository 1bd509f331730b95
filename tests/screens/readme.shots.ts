/** The pictures in README, from a rehearsal: `npm run screens` writes them anew. */
import { mkdirSync, statSync } from "node:fs";
import { type Browser, chromium } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { PHASES } from "../page/phases.ts";
import { pause, type Rehearsed, rehearsed } from "../page/rehearsed.ts";

const OUT = "fixtures/screens";
const MOST_BYTES = 150_000;
const SHOTS = [
  { file: "riding-day", phase: "riding", light: "day", width: 390, height: 844 },
  { file: "short-wide", phase: "short", light: "day", width: 1280, height: 800 },
  { file: "dragging-night", phase: "dragging", light: "night", width: 390, height: 844 },
] as const;

let browser: Browser;
let boat: Rehearsed;

beforeAll(async () => {
  mkdirSync(OUT, { recursive: true });
  browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  boat = await rehearsed("stay");
  boat.goOn();
});
afterAll(async () => {
  await browser.close();
  await boat.stop();
});

test.each(SHOTS)("$file", async ({ file, phase, light, width, height }) => {
  await boat.playTo(PHASES.find(({ name }) => name === phase)?.atS ?? 0);
  const context = await browser.newContext({ viewport: { width, height }, timezoneId: "UTC" });
  const page = await context.newPage();
  await page.request.post(`${boat.url}/api/session`, {
    data: { pin: boat.pin },
    headers: { origin: boat.url },
  });
  await page.addInitScript(`localStorage.setItem("rodeward-viewer", JSON.stringify({ mode: "${light}" }));
    localStorage.setItem("rodeward-mode", "${light}")`);
  await page.goto(boat.url);
  await page.locator("#act-more").waitFor();
  await pause(1500);
  const path = `${OUT}/${file}.png`;
  await page.screenshot({ path, animations: "disabled" });
  expect(statSync(path).size).toBeLessThan(MOST_BYTES);
  await context.close();
});
