/** Backed down with an engine that tells (RPM): watched for a minute from where the rode has come tight. */
import { describe, expect, test } from "vitest";
import { deck } from "./deck.ts";

/** Lying 32 m back; then so many metres further in a minute, with this RPM each second. */
function backed(rpm: string | undefined, creepM: number, headingDeg: number | undefined) {
  const boat = deck();
  boat.live(70);
  boat.give("LETGO");
  boat.give("RODE,40,M");
  // The bow is never still, so that her way alone would not be believed.
  const bow = (s: number) => (headingDeg === undefined ? undefined : headingDeg + (s % 2 === 0 ? 20 : -20));
  for (let s = 0; s < 60; s++) boat.live(1, { north: -32, headingDeg: bow(s) });
  for (let s = 0; s < 75; s++) {
    if (rpm !== undefined) boat.hear(rpm);
    boat.live(1, { north: -32 - (s * creepM) / 60, headingDeg: bow(s) });
  }
  return boat.core().last.figures.guidance;
}

describe("a shaft that turns backwards", () => {
  test("held: so said, with how far she crept", () => {
    const { sternPull, callout } = backed("IIRPM,S,1,-900,,A", 0.6, 0);
    expect(sternPull?.byEngine).toBe(true);
    expect(sternPull?.creptM).toBeLessThan(1.5);
    expect(callout?.text).toMatch(/^Held astern, crept [01] m$/);
  });
  test("crept: do not leave the helm", () => {
    const { callout } = backed("IIRPM,S,1,-900,,A", 4, 0);
    expect(callout?.text).toMatch(/^(Creeping: do not leave the helm|Not holding: crept \d m)$/);
  });
  test("a pitch set astern says it too, and no heading is needed", () => {
    expect(backed("IIRPM,E,1,1800,-40,A", 0.6, undefined).sternPull?.byEngine).toBe(true);
  });
});

test.each([
  ["ahead", "IIRPM,S,1,900,,A"],
  ["an engine that only runs", "IIRPM,E,1,800,,A"],
  ["void", "IIRPM,S,1,-900,,V"],
  ["none", undefined],
])("%s: nothing is taken for a pull astern", (_, rpm) => {
  expect(backed(rpm, 0.6, 0).sternPull).toBeUndefined();
});
