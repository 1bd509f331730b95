/** Every act from the page, in the phases where it stands, on a rehearsed boat; zoom, grid, settings, armed sound. */
import { existsSync } from "node:fs";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { seriousFaults } from "./axe.ts";
import { CHROMIUM, hold, launch, phone } from "./phone.ts";
import { pause, type Rehearsed, rehearsed } from "./rehearsed.ts";

let browser: Browser;
let boat: Rehearsed;
let context: BrowserContext;
let page: Page;

const stay = () => boat.daemon.core().watch.stay;
const answered = (words: string | RegExp) =>
  page.locator("#answer").getByText(words).waitFor({ timeout: 5000 });

async function open(verb: string): Promise<void> {
  await page.locator("#act-more").click();
  await page.locator(`[data-verb="${verb}"]`).click();
}

async function tell(): Promise<void> {
  await page.locator("#act-send").click();
}

/** By the sheet of all acts, held a second where it must be. */
async function held(verb: string): Promise<void> {
  await page.locator("#act-more").click();
  await hold(page, `[data-verb="${verb}"]`, 1300);
}

async function undo(): Promise<void> {
  await page.locator("#answer").getByRole("button", { name: "Undo" }).click();
  await answered("Undo: taken.");
}

describe.skipIf(!existsSync(CHROMIUM))("every act", { timeout: 60_000 }, () => {
  beforeAll(async () => {
    browser = await launch();
    boat = await rehearsed("stay");
    boat.goOn();
    await boat.playTo(300);
    ({ context, page } = await phone(browser, boat));
  }, 60_000);

  afterAll(async () => {
    await context?.close();
    await browser?.close();
    await boat?.stop();
  });

  test("under way: neutral, tonight's wind, tide, keep off, wind now, where to lie", async () => {
    // A button that has just become what it is takes no press.
    await pause(900);
    await page.locator("#act-second").click();
    await answered(/^In neutral: taken/);
    expect(stay().neutralMs).toBeDefined();
    await open("EXPECT");
    await page.getByRole("button", { name: "25 kn", exact: true }).click();
    await tell();
    await answered("Wind tonight 25 kn: taken.");
    expect(stay().expectMps).toBeCloseTo(25 * 0.514444, 2); // 1 kn = 1852 m / 3600 s
    await open("RISE");
    await page.getByRole("button", { name: "1.5 m", exact: true }).click();
    await tell();
    await answered("Tide to come 1.5 m: taken.");
    expect(stay().rise?.riseM).toBe(1.5);
    await open("KEEPOFF");
    await page.getByLabel("Bearing, degrees true").fill("70");
    await page.getByLabel("Name").fill("rocks");
    await tell();
    await answered(/^Keep off 070° 50 m rocks: taken/);
    expect(stay().keepOffs.map(({ name }) => name)).toEqual(["rocks"]);
    await open("WIND");
    await page.getByRole("button", { name: "15 kn", exact: true }).click();
    await tell();
    await answered("Wind now 15 kn: taken.");
    expect(boat.daemon.core().watch.windTold?.fromDeg).toBeUndefined();
    await open("LIE");
    await page.getByLabel("Bearing, degrees true").fill("90");
    await tell();
    await answered(/^Lie there 090° 50 m: taken/);
    const here = boat.daemon.core().last.picture.position?.value;
    // 50 m east of the antenna: the same latitude, to the centimetres of a sentence.
    expect(stay().lie?.latDeg).toBeCloseTo(here?.latDeg ?? 0, 3);
    expect(stay().lie?.lonDeg).toBeGreaterThan(here?.lonDeg ?? 0);
  });

  test("let go, and all that follows to brought up", async () => {
    await hold(page, "#act-first", 1300);
    await answered("Let go: taken.");
    expect(stay().phase).toBe("let-go");
    await open("BOTTOM");
    await answered("On the bottom: taken.");
    expect(stay().anchor?.onBottom).toBe(true);
    await held("SPLICE");
    await answered("Splice at the roller: taken.");
    expect(stay().rode).toMatchObject({ source: "splice" });
    await open("RODE");
    await page.getByRole("button", { name: "40 m", exact: true }).click();
    await tell();
    await answered("Rode out 40 m: taken.");
    expect(stay().rode).toMatchObject({ lengthM: 40, source: "told" });
    const before = stay().anchor?.position;
    await open("PLACE");
    await page.getByLabel("Bearing, degrees true").fill("0");
    await page.getByRole("button", { name: "15 m", exact: true }).click();
    await tell();
    await answered(/^Place the anchor 000° 15 m: taken/);
    // 15 m north is 15 / 1852 of a minute of latitude.
    expect((stay().anchor?.position.latDeg ?? 0) - (before?.latDeg ?? 0)).toBeCloseTo(15 / 1852 / 60, 5);
    await held("BROUGHTUP");
    await answered("Brought up: taken.");
    expect(stay().phase).toBe("riding");
  });

  test("weigh, with the ball and without; aweigh; slip: each taken back", async () => {
    await held("WEIGH");
    await answered("Weigh: taken.");
    expect(stay()).toMatchObject({ phase: "weighing", ball: false });
    await undo();
    await held("WEIGH-BALL");
    await answered("Weigh with the ball: taken.");
    expect(stay()).toMatchObject({ phase: "weighing", ball: true });
    await undo();
    await held("AWEIGH");
    await answered("Aweigh: taken.");
    expect(stay().phase).toBe("underway");
    await undo();
    expect(stay().phase).toBe("riding");
    await held("SLIP");
    await answered("Slip: taken.");
    expect(stay().slipped).toBeDefined();
    await undo();
    expect(stay().phase).toBe("riding");
  });

  test("by keyboard alone: open the acts, choose one, send it, and the focus comes back", async () => {
    await page.locator("#act-more").focus();
    await page.keyboard.press("Enter");
    await page.locator('[data-verb="EXPECT"]').focus();
    await page.keyboard.press("Enter");
    expect(await page.evaluate(() => document.activeElement?.id)).toBe("act-send");
    await page.keyboard.press("Enter");
    await answered(/^Wind tonight .* taken/);
    expect(await page.evaluate(() => document.activeElement?.id)).toBe("act-more");
  });

  test("zoom, by buttons and by two fingers: closer, wider, and the scale bar says so", async () => {
    await page.waitForTimeout(1200);
    const bar = async () => {
      const [x0 = 0, x1 = 0] = [
        ...((await page.locator("#plan .scale").getAttribute("d")) ?? "").matchAll(/[ML]([-\d.]+)/g),
      ]
        .map(([, x]) => Number(x))
        .filter((_, i) => i === 0 || i === 2);
      const units = Number.parseFloat((await page.locator('#plan [data-label="scale"]').textContent()) ?? "");
      return (x1 - x0) / units;
    };
    const fitting = await bar();
    await page.getByRole("button", { name: "Zoom in" }).click();
    const closer = await bar();
    expect(closer / fitting).toBeCloseTo(1.6, 1);
    await page.getByRole("button", { name: "Zoom out" }).click();
    await page.getByRole("button", { name: "Zoom out" }).click();
    expect((await bar()) / fitting).toBeCloseTo(0.63, 1);
    await page.locator("#plan").dblclick({ position: { x: 190, y: 30 } });
    await page.evaluate(() => {
      const plan = document.getElementById("plan");
      const finger = (type: string, pointerId: number, clientX: number) =>
        plan?.dispatchEvent(new PointerEvent(type, { pointerId, clientX, clientY: 400, bubbles: true }));
      finger("pointerdown", 1, 180);
      finger("pointerdown", 2, 220);
      finger("pointermove", 2, 260);
      finger("pointerup", 1, 180);
      finger("pointerup", 2, 260);
    });
    expect((await bar()) / fitting).toBeCloseTo(1.6, 1);
    await page.getByRole("button", { name: "Zoom out" }).click();
  });

  test("north up, wind up, as she lies; the grid can go", async () => {
    const northDeg = async () => {
      const path = (await page.locator("#plan .north").first().getAttribute("d")) ?? "";
      const [a, b] = [...path.matchAll(/[ML]([-\d.]+) ([-\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)]);
      return (Math.atan2((b?.[1] ?? 0) - (a?.[1] ?? 0), (b?.[0] ?? 0) - (a?.[0] ?? 0)) * 180) / Math.PI;
    };
    await page.locator("#turn").selectOption("north-up");
    expect(await northDeg()).toBeCloseTo(-90, 0);
    await page.locator("#turn").selectOption("wind-up");
    const fromDeg = boat.daemon.core().last.picture.windMean?.fromDeg ?? 0;
    // Up is where the wind comes from; north lies as far from it as the wind's bearing, the other way.
    const off = ((((await northDeg()) - (-90 - fromDeg)) % 360) + 540) % 360;
    expect(Math.abs(off - 180)).toBeLessThan(8);
    await page.locator("#turn").selectOption("lying");
    expect(await page.locator('#plan [data-label="grid"]').count()).toBe(1);
    await page.locator("#grid").selectOption("no");
    expect(await page.locator("#plan .grid").count()).toBe(0);
    await page.locator("#grid").selectOption("yes");
  });

  test("settings: set here by the schema's checks, the rest as read", async () => {
    await page.locator("#settings summary").click();
    const margin = page.getByLabel("Margin of the circle", { exact: true });
    await margin.fill("25");
    await page.getByRole("button", { name: "Set: Margin of the circle" }).click();
    await page
      .locator("#settings-answer")
      .getByText(/did you mean "25 m" or "25 ft"/)
      .waitFor();
    expect(boat.daemon.core().tuned).toBeUndefined();
    await margin.fill("25 m");
    await page.getByRole("button", { name: "Set: Margin of the circle" }).click();
    await page.locator("#settings-answer").getByText("Margin of the circle: 25 m, taken.").waitFor();
    expect(boat.daemon.core().tuned?.watch.marginM).toBe(25);
    await page.locator("#settings-edit").getByText("Set here. The file says 15 m.").waitFor();
    expect(await page.locator("#settings-read").textContent()).toContain("rode.chain");
    expect(await seriousFaults(page)).toEqual([]);
    const other = await phone(browser, boat, { paired: false });
    await other.page.locator("#settings summary").click();
    expect(await other.page.getByLabel("Margin of the circle", { exact: true }).inputValue()).toBe("25 m");
    expect(await other.page.getByLabel("Margin of the circle", { exact: true }).isDisabled()).toBe(true);
    await other.context.close();
  });

  test("the strip leads to the review", async () => {
    expect(await page.locator("#night").getAttribute("href")).toBe("/nights");
    expect(await page.getByRole("link", { name: /review of all nights/ }).count()).toBe(1);
  });
});
