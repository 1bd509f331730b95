/** The three lights: text is readable on what it stands on, by the contrast ratio of WCAG 2.2, 1.4.3 (AA: 4.5). */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";

const css = readFileSync(join(import.meta.dirname, "../../src/page/client/palette.css"), "utf8");

function colours(selector: string): Record<string, string> {
  const block = css.slice(css.indexOf(`${selector} {`)).split("}")[0] ?? "";
  return Object.fromEntries(
    [...block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{3,6})/g)].map(([, name, hex]) => [name, hex]),
  );
}

const LIGHTS = { day: colours(":root"), dusk: colours(":root.dusk"), night: colours(":root.night") };

function channels(hex: string): number[] {
  const full = hex.length === 4 ? [...hex.slice(1)].map((c) => c + c) : (hex.slice(1).match(/../g) ?? []);
  return full.map((pair) => Number.parseInt(pair, 16));
}

function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = channels(hex).map((value) => {
    const s = value / 255;
    return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [dark = 0, light = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
}

const PAIRS = ["ink", "soft", "good", "warning", "alarm"].flatMap((ink) =>
  ["paper", "bed", "water"].map((paper) => [ink, paper] as const),
);

test("the ratio is WCAG's: black on white is 21, #777 on white 4.48 (its known near miss)", () => {
  expect(contrast("#000", "#fff")).toBeCloseTo(21, 5);
  expect(contrast("#777777", "#ffffff")).toBeCloseTo(4.48, 2);
});

describe.each(Object.entries(LIGHTS))("%s", (_, is) => {
  test.each([...PAIRS, ["on-alarm", "alarm-paper"] as const])("%s on %s", (ink, paper) => {
    expect(contrast(is[ink] ?? "", is[paper] ?? "")).toBeGreaterThanOrEqual(4.5);
  });
});

test("night is black and red: no blue to speak of, nothing bright but thin lines", () => {
  expect(LIGHTS.night.paper).toBe("#000");
  for (const hex of Object.values(LIGHTS.night)) {
    const [r = 0, g = 0, b = 0] = channels(hex);
    expect(r).toBeGreaterThanOrEqual(g);
    expect(b).toBeLessThanOrEqual(0x60);
  }
  for (const paper of ["paper", "water", "bed", "alarm-paper"])
    expect(luminance(LIGHTS.night[paper] ?? "#fff")).toBeLessThan(0.02);
});
