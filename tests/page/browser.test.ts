/** The page in a real browser. It needs Chromium (Debian's, or named in CHROMIUM); without one it is skipped. */
import { existsSync } from "node:fs";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { type OpenPage, openPage } from "../../src/page/server.ts";
import { CHROMIUM, launch } from "./phone.ts";
import {
  BUILT,
  bareState,
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

describe.skipIf(!existsSync(CHROMIUM))("the page in a browser", { timeout: 20_000 }, () => {
  beforeAll(async () => {
    server = await openPage(settingsIn(folder, BUILT), stage.deps, silentLog);
    everySecond = setInterval(() => server.push(), 1000);
    browser = await launch();
    page = await browser.newPage({ viewport: { width: 390, height: 844 } });
    page.on("console", (message) => complaints.push(message.text()));
    page.on("pageerror", (error) => complaints.push(error.message));
    page.on("request", (request) => {
      if (!request.url().startsWith(server.url)) foreign.push(request.url());
    });
    await page.goto(server.url);
    await page.evaluate(async () => void (await navigator.serviceWorker.ready));
    // From here on the worker stands between.
    await page.reload();
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
    await comes("6.9 m", "#figures");
    await keep("riding-day");
    const state = ridingState();
    show({ ...state, depth: { ...state.depth, surfaceM: 7.4 } });
    await comes("7.4 m", "#figures");
    expect(await text("#figures")).not.toContain("6.9 m");
  });

  test("each port has its row: what it heard, refused, sent, dropped, replaced", async () => {
    show(ridingState());
    await page.locator("#ports tr").waitFor();
    const cells = await page.locator("#ports tr > *").allTextContents();
    expect(cells).toEqual(["bus", "up", "81234", "3", "5120", "4", "17"]);
  });

  test("what is missing is words", async () => {
    show({ ...bareState(), phase: "riding" });
    await comes("rode out not told", "#figures");
    await comes(/no depth since \d\d:\d\d/, "#figures");
    await keep("bare-day");
  });

  test("unpaired: the alarm is told, there is nothing to press; a wrong PIN is told", async () => {
    show({ ...draggingState(), alerts: [dragging] });
    await comes("Dragging", "h1");
    expect(await page.locator("#head").getAttribute("data-flash")).toBe("yes");
    expect(await text("#announce")).toContain("Dragging");
    expect(await page.getByRole("button", { name: /Acknowledge|Silence/ }).count()).toBe(0);
    expect(await page.getByRole("button", { name: "I’m up pair this phone first" }).isDisabled()).toBe(true);
    await keep("unpaired-alarm-day");
    await page.getByLabel("PIN, six digits").fill(server.firstPin === "123456" ? "654321" : "123456");
    await page.getByRole("button", { name: "Pair", exact: true }).click();
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
    await comes("Silenced for 30 s.");
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
    await page.getByRole("button", { name: "Night", exact: true }).click();
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
    await page.getByRole("button", { name: "Day", exact: true }).click();
    expect(await page.evaluate(() => document.documentElement.className)).toBe("day");
  });

  test("sound is armed by one tap, and says so; a tone is due for an alarm and for a warning, none for quiet", async () => {
    const sound = page.locator("#sound");
    expect(await sound.textContent()).toBe("Sound off: tap to arm");
    await page.evaluate(() => {
      const counted = window as unknown as { beeps: number };
      counted.beeps = 0;
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (when) {
        counted.beeps++;
        start.call(this, when);
      };
    });
    const beeps = () => page.evaluate(() => (window as unknown as { beeps: number }).beeps);
    await sound.click();
    await page.locator("#sound").getByText("Sound armed").waitFor();
    const armed = await beeps();
    expect(armed).toBe(6); // it is heard once when armed: three pairs
    show({ ...ridingState(), alerts: [dragging] });
    await comes("Dragging", "h1");
    expect(await beeps()).toBe(armed + 6);
    await page.waitForTimeout(2300);
    expect(await beeps()).toBeGreaterThanOrEqual(armed + 12);
    show({ ...ridingState(), alerts: [{ ...dragging, state: "acknowledged" }] });
    await page.waitForTimeout(400);
    const answered = await beeps();
    await page.waitForTimeout(2300);
    expect(await beeps()).toBe(answered);
    await sound.click();
    await page.locator("#sound").getByText("Sound off: tap to arm").waitFor();
  });

  test("an act that is held: not by a short press, by two presses without a hand, and by a key that is held", async () => {
    const weigh = page.locator("#act-second");
    await page.waitForTimeout(800);
    stage.bodies.length = 0;
    await weigh.click();
    await weigh.evaluate((button) => (button as HTMLButtonElement).click());
    await comes("press again to do it", "#answer");
    expect(stage.bodies).toEqual([]);
    await weigh.evaluate((button) => (button as HTMLButtonElement).click());
    await comes("Weigh: taken.", "#answer");
    expect(stage.bodies).toEqual(["PRDW,WEIGH"]);
    await weigh.focus();
    await page.keyboard.down("Enter");
    await page.waitForTimeout(1200);
    await page.keyboard.up("Enter");
    await page.waitForTimeout(200);
    expect(stage.bodies).toEqual(["PRDW,WEIGH", "PRDW,WEIGH"]);
  });

  test("an act that the core refuses is told in words", async () => {
    stage.nextAct = { ok: false, reason: "rode" };
    await page.locator("#act-first").click();
    await page.getByRole("button", { name: "Tell rodeward" }).click();
    await comes("Not done: there is not that much rode.", "#answer");
    stage.nextAct = { ok: true };
  });

  test("nothing moves where motion is not wished", async () => {
    await page.emulateMedia({ reducedMotion: "reduce" });
    show({ ...draggingState(), alerts: [dragging] });
    await comes("Dragging", "h1");
    expect(await page.locator("#head").evaluate((head) => getComputedStyle(head).animationName)).toBe("none");
    await page.emulateMedia({ reducedMotion: null });
    expect(await page.locator("#head").evaluate((head) => getComputedStyle(head).animationName)).toBe(
      "flash",
    );
  });

  test("the files of the page are few, and few bytes with the review's: under 120 kB as sent", async () => {
    const linkedFrom = async (path: string) => {
      const html = await (await fetch(`${server.url}${path}`)).text();
      return [path, ...[...html.matchAll(/(?:src|href)="(\/page[^"]*)"/g)].map(([, link]) => link ?? "")];
    };
    const first = new Set(await linkedFrom("/"));
    const all = new Set([...first, ...(await linkedFrom("/nights"))]);
    let bytes = 0;
    for (const path of all) {
      const answer = await fetch(`${server.url}${path}`, { headers: { "accept-encoding": "gzip" } });
      expect(answer.headers.get("content-encoding")).toBe("gzip");
      bytes += Number(answer.headers.get("content-length"));
    }
    expect(first.size).toBe(6);
    expect(bytes).toBeGreaterThan(10_000);
    expect(bytes).toBeLessThan(120_000);
    if (process.env.PAGE_BYTES !== undefined) console.log(`${all.size} files, ${bytes} bytes as sent`);
  });

  test("nothing was complained of, and nothing asked for elsewhere", () => {
    // The wrong PIN above: a browser notes every 401; and the refused silence, a 409.
    const unexpected = complaints.filter((line) => !/status of (401|409)/.test(line));
    expect(unexpected).toEqual([]);
    expect(foreign).toEqual([]);
  });

  test("a lost link is told loudly within five seconds, no figure stays, and it comes back by itself", async () => {
    await comes("6.9 m", "#figures");
    const port = Number(new URL(server.url).port);
    await server.close();
    const goneMs = performance.now();
    await page.locator("h1").getByText("NO LINK").waitFor({ timeout: 6000 });
    expect(performance.now() - goneMs).toBeLessThan(5000);
    expect(await text("#why")).toMatch(/^to rodeward since \d\d:\d\d\./);
    expect(await page.locator("#figures").isVisible()).toBe(false);
    expect(await page.locator("#alerting").isVisible()).toBe(false);
    await keep("no-link-day");
    // The shell was kept: opened now it shows itself, and that there is no link, and nothing else.
    await page.reload();
    await page.locator("h1").getByText("NO LINK").waitFor({ timeout: 6000 });
    expect(await page.locator("#picture").isVisible()).toBe(false);
    expect(await page.locator("#act-first").isVisible()).toBe(false);
    const settings = settingsIn(folder, BUILT);
    server = await openPage({ ...settings, listen: { host: "127.0.0.1", port } }, stage.deps, silentLog);
    await page.locator("h1").getByText("No drag").waitFor({ timeout: 8000 });
    expect(await page.locator("#figures").isVisible()).toBe(true);
    expect(await page.locator("#pairing").isVisible()).toBe(false);
  });
});
