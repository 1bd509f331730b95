/** The page in a real browser. It needs Chromium (Debian's, or named in CHROMIUM); without one it is skipped. */
import { existsSync } from "node:fs";
import { type Browser, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { type OpenPage, openPage } from "../../src/page/server.ts";
import {
  bareState,
  buildClient,
  createFolder,
  createStage,
  dragging,
  draggingState,
  ridingState,
  type Stage,
  scopeShort,
  settingsIn,
  silentLog,
} from "./stage.ts";

const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";
/** Set to a folder to keep pictures of the page. */
const pictures = process.env.PAGE_PICTURES;

const folder = createFolder();
const stage: Stage = createStage();
let server: OpenPage;
let browser: Browser;
let page: Page;
let everySecond: NodeJS.Timeout;
const complaints: string[] = [];
const foreign: string[] = [];

async function keep(name: string): Promise<void> {
  if (pictures === undefined) return;
  await page.evaluate(() => window.scrollTo(0, 0));
  await page.screenshot({ path: `${pictures}/${name}.png` });
}

function show(state: Stage["state"]): void {
  stage.state = state;
  server.push();
}

const text = (selector: string) => page.locator(selector).textContent();
const comes = (words: string | RegExp, selector = "body") =>
  page.locator(selector).getByText(words).first().waitFor({ timeout: 3000 });

describe.skipIf(!existsSync(executablePath))("the page in a browser", { timeout: 20_000 }, () => {
  beforeAll(async () => {
    server = await openPage(settingsIn(folder, buildClient(folder)), stage.deps, silentLog);
    everySecond = setInterval(() => server.push(), 1000);
    browser = await chromium.launch({
      executablePath,
      args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
    });
    page = await browser.newPage({ viewport: { width: 390, height: 844 } });
    page.on("console", (message) => complaints.push(message.text()));
    page.on("pageerror", (error) => complaints.push(error.message));
    page.on("request", (request) => {
      if (!request.url().startsWith(server.url)) foreign.push(request.url());
    });
    await page.goto(server.url);
  }, 60_000);

  afterAll(async () => {
    clearInterval(everySecond);
    await browser?.close();
    await server?.close();
    folder.remove();
  });

  beforeEach(() => show(ridingState()));

  test("shows the picture, and follows the depth", async () => {
    await comes("No drag", "h1");
    await comes("Held 18 kn at 01:10. Rode 5.8 to 1, want 5.", "#why");
    await comes("6.9 m");
    await keep("riding-day");
    const state = ridingState();
    show({ ...state, depth: { ...state.depth, surfaceM: 7.4 } });
    await comes("7.4 m");
    expect(await text("#figures")).not.toContain("6.9 m");
  });

  test("what is missing is words", async () => {
    show({ ...bareState(), phase: "riding" });
    await comes("rode out not told");
    await comes(/no depth since \d\d:\d\d/);
    await keep("bare-day");
  });

  test("unpaired: the alarm is told, there is nothing to press; a wrong PIN is told", async () => {
    show({ ...draggingState(), alerts: [dragging] });
    await comes("Dragging", "h1");
    expect(await page.locator("#head").getAttribute("data-flash")).toBe("yes");
    expect(await text("#announce")).toContain("Dragging");
    expect(await page.getByRole("button", { name: /Acknowledge|Silence/ }).count()).toBe(0);
    await keep("unpaired-alarm-day");
    await page.getByLabel("PIN, six digits").fill(server.firstPin === "123456" ? "654321" : "123456");
    await page.getByRole("button", { name: "Pair" }).click();
    await comes("Not done: that is not the PIN.");
  });

  test("paired with the PIN: acknowledging reaches the core and shows", async () => {
    show(draggingState());
    await page.getByLabel("PIN, six digits").fill(server.firstPin ?? "");
    await page.keyboard.press("Enter");
    await comes("This phone is paired.");
    expect(await page.locator("#pairing").isVisible()).toBe(false);
    await page.getByRole("button", { name: "Acknowledge: Dragging" }).waitFor();
    await keep("alarm-day");
    await page.getByRole("button", { name: "Silence: Scope short" }).click();
    await comes("Silenced.");
    await page.getByRole("button", { name: "Acknowledge: Dragging" }).click();
    await comes("Acknowledged.");
    expect(stage.commands).toEqual(["silence scope-short", "acknowledge dragging"]);
    show({
      ...draggingState(),
      alerts: [
        { ...dragging, state: "acknowledged" },
        { ...scopeShort, state: "silenced" },
      ],
    });
    await comes(/, acknowledged$/, "#alerts");
    expect(await page.getByRole("button", { name: "Acknowledge: Dragging" }).count()).toBe(0);
    expect(await page.locator("#head").getAttribute("data-flash")).toBe("no");
  });

  test("a button stays the same under the thumb while its figures change", async () => {
    show({ ...draggingState(), alerts: [dragging] });
    const button = page.getByRole("button", { name: "Acknowledge: Dragging" });
    await button.waitFor();
    const before = await button.elementHandle();
    show({ ...draggingState(), alerts: [{ ...dragging, text: "19 ± 3 m NE since 02:14" }] });
    await comes("19 ± 3 m NE since 02:14", "#alerts");
    expect(await before?.evaluate((element) => element.isConnected)).toBe(true);
  });

  test("a refusal of the core is told", async () => {
    show({ ...draggingState(), alerts: [dragging] });
    stage.nextCommand = { ok: false, reason: "refused" };
    await page.getByRole("button", { name: "Silence: Dragging" }).click();
    await comes("Not done: the alert does not take that now.");
    stage.nextCommand = { ok: true };
  });

  test("night is remembered, and nothing white is painted", async () => {
    await page.getByRole("button", { name: "Night" }).click();
    await page.reload();
    await comes("No drag", "h1");
    expect(await page.evaluate(() => document.documentElement.className)).toBe("night");
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe("rgb(0, 0, 0)");
    await keep("riding-night");
    show(draggingState());
    await comes("Dragging", "h1");
    await page.getByRole("button", { name: "Acknowledge: Dragging" }).waitFor();
    await keep("alarm-night");
    expect(await page.locator("#pairing").isVisible()).toBe(false);
    await page.getByRole("button", { name: "Day" }).click();
    expect(await page.evaluate(() => document.documentElement.className)).toBe("");
  });

  test("nothing was complained of, and nothing asked for elsewhere", () => {
    // The wrong PIN above: a browser notes every 401; and the refused silence, a 409.
    const unexpected = complaints.filter((line) => !/status of (401|409)/.test(line));
    expect(unexpected).toEqual([]);
    expect(foreign).toEqual([]);
  });

  test("a lost link is told loudly within five seconds, no figure stays, and it comes back by itself", async () => {
    await comes("6.9 m");
    const port = Number(new URL(server.url).port);
    await server.close();
    const goneMs = performance.now();
    await page.locator("h1").getByText("NO LINK").waitFor({ timeout: 6000 });
    expect(performance.now() - goneMs).toBeLessThan(5000);
    expect(await text("#why")).toMatch(/^to rodeward since \d\d:\d\d\./);
    expect(await page.locator("#figures").isVisible()).toBe(false);
    expect(await page.locator("#alerting").isVisible()).toBe(false);
    await keep("no-link-day");
    const settings = settingsIn(folder, `${folder.path}/dist`);
    server = await openPage({ ...settings, listen: { host: "127.0.0.1", port } }, stage.deps, silentLog);
    await page.locator("h1").getByText("No drag").waitFor({ timeout: 8000 });
    expect(await page.locator("#figures").isVisible()).toBe(true);
    expect(await page.locator("#pairing").isVisible()).toBe(false);
  });
});
