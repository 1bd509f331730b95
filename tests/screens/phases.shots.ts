/** Pictures of the page in each phase of a rehearsal, into `build/screens`: to be looked at. `npm run screens`. */
import { mkdirSync } from "node:fs";
import { type Browser, chromium } from "playwright-core";
import { afterAll, beforeAll, describe, test } from "vitest";
import { PHASES } from "../page/phases.ts";
import { pause, type Rehearsed, rehearsed } from "../page/rehearsed.ts";

const OUT = "build/screens";
const SIZES = { phone: [390, 844], small: [360, 640], seven: [800, 480], wide: [1280, 800] } as const;
const only = process.env.SHOTS?.split(",");

let browser: Browser;
let boat: Rehearsed;

describe("pictures", () => {
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

  test.each(PHASES.filter(({ name }) => only === undefined || only.includes(name)))(
    "$name",
    async ({ name, atS }) => {
      await boat.playTo(atS);
      for (const [size, [width, height]] of Object.entries(SIZES)) {
        const context = await browser.newContext({ viewport: { width, height } });
        const page = await context.newPage();
        await page.request.post(`${boat.url}/api/session`, {
          data: { pin: boat.pin },
          headers: { origin: boat.url },
        });
        for (const light of size === "phone" ? ["day", "dusk", "night"] : ["day"]) {
          await page.addInitScript(`localStorage.setItem("rodeward-viewer", JSON.stringify({ mode: "${light}" }));
            localStorage.setItem("rodeward-mode", "${light}")`);
          await page.goto(boat.url);
          await page.locator("#drawing path").first().waitFor({ state: "attached", timeout: 5000 });
          await page
            .locator("#act-first:enabled")
            .waitFor({ timeout: 5000 })
            .catch(() => {});
          await pause(300);
          await page.screenshot({ path: `${OUT}/${name}-${size}-${light}.png` });
        }
        await context.close();
      }
    },
  );
});
