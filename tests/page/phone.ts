/** A phone before a rehearsed boat: Chromium, paired or not, with a thumb. */
import { type Browser, type BrowserContext, chromium, type Page } from "playwright-core";
import { pause, type Rehearsed } from "./rehearsed.ts";

export const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";

export function launch(...more: string[]): Promise<Browser> {
  const args = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", ...more];
  return chromium.launch({ executablePath: CHROMIUM, args });
}

export interface Phone {
  context: BrowserContext;
  page: Page;
}

/** @param prepare before anything of the page is fetched */
export async function phone(
  browser: Browser,
  boat: Rehearsed,
  {
    paired = true,
    width = 390,
    height = 844,
    bypassCSP = false,
    prepare = (_: Page): unknown => undefined,
  } = {},
): Promise<Phone> {
  const context = await browser.newContext({ viewport: { width, height }, bypassCSP });
  const page = await context.newPage();
  await prepare(page);
  if (paired)
    await page.request.post(`${boat.url}/api/session`, {
      data: { pin: boat.pin },
      headers: { origin: boat.url },
    });
  await page.goto(boat.url);
  await page.locator("#plan path").first().waitFor({ state: "attached", timeout: 8000 });
  if (paired) await page.locator("#act-more").waitFor({ timeout: 8000 });
  return { context, page };
}

export async function hold(page: Page, selector: string, forMs: number): Promise<void> {
  await page.locator(selector).scrollIntoViewIfNeeded();
  const box = await page.locator(selector).boundingBox();
  if (box === null) throw new Error(`${selector} is not shown`);
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await pause(forMs);
  await page.mouse.up();
}
