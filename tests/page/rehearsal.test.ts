/**
 * The page in Chromium before a real daemon on a rehearsal: what it shows in each phase, what can be done from it,
 * and that labels never lie over one another at any size.
 */
import { existsSync } from "node:fs";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { seriousFaults } from "./axe.ts";
import { PHASES } from "./phases.ts";
import { CHROMIUM, hold, launch, type Phone, phone } from "./phone.ts";
import { pause, type Rehearsed, rehearsed } from "./rehearsed.ts";

const SIZES = [
  [360, 640],
  [390, 844],
  [800, 480],
  [1280, 800],
] as const;

let browser: Browser;
let boat: Rehearsed;
let context: BrowserContext;
let page: Page;

const text = (selector: string, of = page) => of.locator(selector).textContent();

function open(paired: boolean): Promise<Phone> {
  // Scripts of a test may run beside the page's own policy; the policy itself is tested over HTTP.
  return phone(browser, boat, { paired, bypassCSP: true, prepare: listenIn });
}

/** The page's own connections, for a test to cut. */
function listenIn(one: Page): Promise<unknown> {
  return one.addInitScript(() => {
    const { WebSocket: Own } = window;
    const listening: WebSocket[] = [];
    Object.assign(window, {
      listening,
      WebSocket: class extends Own {
        constructor(url: string) {
          super(url);
          listening.push(this);
        }
      },
    });
  });
}

/** The daemon has taken all in; the next picture shows it. */
async function shown(): Promise<void> {
  const at = boat.daemon.core().atMs;
  await pause(1300);
  expect(boat.daemon.core().atMs).toBeGreaterThanOrEqual(at);
}

interface Clash {
  size: string;
  one: string;
  other: string;
}

/** Pairs of drawn labels whose boxes overlap, and labels that leave their drawing. */
async function clashes(size: string): Promise<Clash[]> {
  return await page.evaluate((name) => {
    const found: { size: string; one: string; other: string }[] = [];
    for (const svg of document.querySelectorAll("svg")) {
      const frame = svg.getBoundingClientRect();
      const boxes = [...svg.querySelectorAll("text")].map((label) => ({
        words: label.textContent ?? "",
        box: label.getBoundingClientRect(),
      }));
      boxes.forEach(({ words, box }, i) => {
        const isOut =
          box.left < frame.left - 1 || box.right > frame.right + 1 || box.bottom > frame.bottom + 3;
        if (isOut) found.push({ size: name, one: words, other: "the edge" });
        for (const other of boxes.slice(i + 1)) {
          const apart =
            box.right <= other.box.left + 0.5 ||
            other.box.right <= box.left + 0.5 ||
            box.bottom - 3 <= other.box.top ||
            other.box.bottom - 3 <= box.top;
          if (!apart) found.push({ size: name, one: words, other: other.words });
        }
      });
    }
    return found;
  }, size);
}

/** Of a picture: the whitest pixel (its least channel), and the share of pixels with much red in them. */
async function lightOf(png: Buffer): Promise<{ brightest: number; bright: number }> {
  const blank = await context.newPage();
  try {
    return await blank.evaluate(
      async (url) => {
        const image = new Image();
        image.src = url;
        await image.decode();
        const canvas = new OffscreenCanvas(image.width, image.height);
        const context2d = canvas.getContext("2d");
        context2d?.drawImage(image, 0, 0);
        const data = context2d?.getImageData(0, 0, image.width, image.height).data ?? new Uint8ClampedArray();
        let brightest = 0;
        let bright = 0;
        for (let i = 0; i < data.length; i += 4) {
          const [r = 0, g = 0, b = 0] = data.subarray(i, i + 3);
          brightest = Math.max(brightest, Math.min(r, g, b));
          if (r > 150) bright++;
        }
        return { brightest, bright: bright / (data.length / 4) };
      },
      `data:image/png;base64,${png.toString("base64")}`,
    );
  } finally {
    await blank.close();
  }
}

interface Listening {
  onmessage: ((event: MessageEvent) => void) | null;
}

/** Shows the page so many pictures at once, each with other figures, through its own websocket's ear. */
async function pictures(count: number): Promise<void> {
  await page.evaluate(async (many) => {
    const { listening } = window as unknown as { listening: Listening[] };
    const state = await (await fetch("/api/state")).json();
    const beganMs = Date.parse(state.at);
    for (let i = 0; i < many; i++) {
      state.at = new Date(beganMs + i * 1000).toISOString();
      state.depth.surfaceM = 6 + Math.sin(i / 9);
      state.wind.meanKn = 12 + 5 * Math.sin(i / 40);
      state.drawing.plan.headingDeg = (200 + 40 * Math.sin(i / 15) + 360) % 360;
      state.drawing.side.surfaceM = 6 + Math.sin(i / 9);
      listening.at(-1)?.onmessage?.(new MessageEvent("message", { data: JSON.stringify(state) }));
      if (i % 50 === 0) await new Promise((resolve) => setTimeout(resolve, 0));
    }
  }, count);
}

/** What the page holds on to when all that can go has gone. */
async function heldBytes(): Promise<number> {
  const session = await context.newCDPSession(page);
  await pause(300);
  await session.send("HeapProfiler.collectGarbage");
  await session.send("HeapProfiler.collectGarbage");
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  await session.detach();
  return usedSize;
}

describe.skipIf(!existsSync(CHROMIUM))("the page before a rehearsal", { timeout: 60_000 }, () => {
  beforeAll(async () => {
    browser = await launch();
    boat = await rehearsed("stay");
    boat.goOn();
    await boat.playTo(300);
    ({ context, page } = await open(true));
  }, 60_000);

  afterAll(async () => {
    await context?.close();
    await browser?.close();
    await boat?.stop();
  });

  const at = (name: (typeof PHASES)[number]["name"]) => PHASES.find((one) => one.name === name)?.atS ?? 0;

  /** In every phase: labels apart at all four sizes, and the depth drawn as a figure. */
  async function drawnWell(): Promise<void> {
    for (const [width, height] of SIZES) {
      await page.setViewportSize({ width, height });
      await pause(120);
      expect(await clashes(`${width} × ${height}`)).toEqual([]);
      const labels = await page.locator("#side text, #plan text").allTextContents();
      expect(labels.length).toBeGreaterThanOrEqual(5);
      // The first screen holds the acts, whatever its size.
      const bar = await page.locator("#bar").boundingBox();
      expect((bar?.y ?? 0) + (bar?.height ?? 0)).toBeLessThanOrEqual(height);
      expect((await page.locator("#act-first").boundingBox())?.height).toBeGreaterThanOrEqual(64);
    }
    await page.setViewportSize({ width: 390, height: 844 });
  }

  test("approach: what to veer here and where she would lie", async () => {
    await boat.playTo(at("approach"));
    await shown();
    await drawnWell();
    expect(await text("#side")).toMatch(/\d+ m to veer here/);
    expect(await text("#plan")).toContain("would lie here");
    expect(await text("#act-first")).toContain("Let go");
  });

  test("let go: the rode is drawn, and can be told by the dial; a wet pocket tells nothing", async () => {
    await boat.playTo(at("let-go"));
    await shown();
    await drawnWell();
    await page.locator("#act-first").click();
    await page.getByRole("button", { name: "30 m", exact: true }).click();
    await page.getByRole("button", { name: "more m", exact: true }).click();
    await page.getByRole("button", { name: "Tell rodeward" }).click();
    await page.locator("#answer").getByText("Rode out 31 m: taken.").waitFor();
    expect(boat.daemon.core().watch.stay.rode).toMatchObject({ lengthM: 31, source: "told" });
    await page.locator("#side").getByText("31 m out").waitFor();
    await page.locator("#answer").getByRole("button", { name: "Undo" }).click();
    await page.locator("#answer").getByText("Undo: taken.").waitFor();
    expect(boat.daemon.core().watch.stay.rode?.lengthM).not.toBe(31);

    const before = boat.daemon.core().watch.stay.phase;
    await page.getByRole("button", { name: "More", exact: true }).click();
    await hold(page, '[data-verb="AWEIGH"]', 300);
    await pause(300);
    expect(boat.daemon.core().watch.stay.phase).toBe(before);
    await page.getByRole("button", { name: "Close" }).click();
  });

  test("an act that is refused says why, and nothing changes", async () => {
    await page.evaluate(() =>
      fetch("/api/act", {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ verb: "RODE", length: "900 m" }),
      }),
    );
    await page.getByRole("button", { name: "More", exact: true }).click();
    await hold(page, '[data-verb="UNDO"]', 50);
    await page.locator("#answer").getByText("Not done: not in this phase of the stay.").waitFor();
  });

  test("riding: enough out, metres to spare; two phones see the same; a hold of a second weighs, and undoes", async () => {
    await boat.playTo(at("riding"));
    await shown();
    await drawnWell();
    expect(await text("#side")).toMatch(/42 m out.*\d+ m is enough/);
    expect(await text("#plan")).toMatch(/\d+ m to spare/);
    const other = await open(false);
    expect(await text("#side", other.page)).toMatch(/42 m out/);
    expect(
      await other.page
        .getByRole("button", { name: /pair this phone first/ })
        .first()
        .isDisabled(),
    ).toBe(true);
    await hold(page, "#act-second", 400);
    expect(boat.daemon.core().watch.stay.phase).toBe("riding");
    await hold(page, "#act-second", 1300);
    await page.locator("#answer").getByText("Weigh: taken.").waitFor();
    await other.page.locator("#figures").getByText("weighing").waitFor();
    await page.locator("#answer").getByRole("button", { name: "Undo" }).click();
    await other.page.locator("#figures").getByText("riding to her anchor").waitFor();
    await other.context.close();
  });

  test("pictures leave nothing behind, once all that is kept on purpose is kept", async () => {
    // By then what is kept on purpose (widths of words) is full, and the code is compiled.
    await pictures(700);
    const before = await heldBytes();
    const elements = () => page.evaluate(() => document.querySelectorAll("*").length);
    const first = await elements();
    await pictures(700);
    // The browser's own books (long frames, compiled code) grow for a while by some 100 kB; a picture is 10 kB.
    expect((await heldBytes()) - before).toBeLessThan(700_000);
    expect(Math.abs((await elements()) - first)).toBeLessThan(20);
  });

  test("nothing serious for a screen reader, by day and by night", async () => {
    expect(await seriousFaults(page)).toEqual([]);
    await page.getByRole("button", { name: "Night", exact: true }).click();
    expect(await seriousFaults(page)).toEqual([]);
    await page.getByRole("button", { name: "More", exact: true }).click();
    expect(await seriousFaults(page)).toEqual([]);
    await page.getByRole("button", { name: "Close" }).click();
    await page.getByRole("button", { name: "Day", exact: true }).click();
  });

  test("units are each viewer's own", async () => {
    await page.locator("#lengths").selectOption("feet");
    await page.locator("#speeds").selectOption("m/s");
    await page.locator("#side").getByText("138 ft out").waitFor(); // 42 m / 0.3048
    expect(await text("#plan")).toMatch(/m\/s/);
    expect(await clashes("feet")).toEqual([]);
    await page.locator("#lengths").selectOption("");
    await page.locator("#speeds").selectOption("kn");
  });

  test("text at 200 %: labels still lie apart, the words are all there", async () => {
    await page.evaluate(() => document.documentElement.style.setProperty("font-size", "200%"));
    await pause(1300);
    const found = await clashes("200 %");
    const beyond = await page.evaluate(() =>
      [...document.querySelectorAll("body *")]
        .filter(
          (one) => one.getBoundingClientRect().right > innerWidth + 1 && one.closest("svg, .wide") === null,
        )
        .map((one) => `${one.tagName} ${one.id} ${Math.round(one.getBoundingClientRect().right)}`),
    );
    await page.evaluate(() => document.documentElement.style.removeProperty("font-size"));
    await pause(300);
    expect(found).toEqual([]);
    expect(beyond).toEqual([]);
  });

  test("too little out for the wind: what is short stands at the rode and on the act", async () => {
    await boat.playTo(at("short"));
    await shown();
    await drawnWell();
    expect(await text("#side")).toMatch(/\d+ m short/);
  });

  test("dragging: the words, the steps, the bar with its metres, and quiet by one tap", async () => {
    await boat.playTo(at("dragging"));
    await shown();
    await drawnWell();
    expect(await text("#words")).toBe("Dragging");
    expect(await page.locator("#steps li").count()).toBe(5);
    expect(await text("#plan")).toMatch(/\d+ ± \d+ m/);
    expect(await page.locator("#plan .moved").count()).toBe(1);
    expect(await page.locator("#head").getAttribute("data-flash")).toBe("yes");
    expect(await seriousFaults(page)).toEqual([]);
    await page.getByRole("button", { name: "Night", exact: true }).click();
    const { brightest, bright } = await lightOf(await page.screenshot());
    expect(brightest).toBeLessThan(130); // the least of red, green and blue: white would be 255
    expect(bright).toBeLessThan(0.12);
    await page.getByRole("button", { name: "More", exact: true }).click();
    await page.locator('[data-verb="RODE"]').click();
    expect((await lightOf(await page.screenshot())).brightest).toBeLessThan(130);
    await page.getByRole("button", { name: "Close" }).click();
    await page.getByRole("button", { name: "Day", exact: true }).click();
    await page.getByRole("button", { name: /I’m up/ }).click();
    await page.locator("#answer").getByText("Quiet. It comes back if she goes on.").waitFor();
    expect(boat.daemon.core().alerts.active.dragging?.status).toBe("acknowledged");
  });

  test("weighing: bow up", async () => {
    await boat.playTo(at("weighing"));
    await shown();
    await drawnWell();
    // Bow up: the boat's outline begins at the bow, which is its highest point on the screen.
    const path = (await page.locator("#plan .deck").getAttribute("d")) ?? "";
    const ys = [...path.matchAll(/[ML][-\d.]+ ([-\d.]+)/g)].map(([, y]) => Number(y));
    expect(Math.min(...ys)).toBe(ys[0]);
  });
});

/** Apart: it ends its own daemon. */
describe.skipIf(!existsSync(CHROMIUM))("the daemon goes", { timeout: 60_000 }, () => {
  test("NO LINK within five seconds, nothing looks live, and nothing can be sent", async () => {
    browser = await launch();
    boat = await rehearsed("quiet");
    boat.goOn();
    await boat.playTo(60);
    ({ context, page } = await open(true));
    await boat.stop();
    const goneMs = performance.now();
    await page.locator("h1").getByText("NO LINK").waitFor({ timeout: 6000 });
    expect(performance.now() - goneMs).toBeLessThan(5000);
    expect(await page.locator("#plan").isVisible()).toBe(false);
    expect(await page.locator("#act-first").isDisabled()).toBe(true);
    expect(await text("#act-first")).toContain("no link: cannot be sent");
    await browser.close();
  });
});
