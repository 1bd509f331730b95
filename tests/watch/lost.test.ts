/** Silence alarms too: what is missing, since when, and how much it matters in this phase. */
import { describe, expect, test } from "vitest";
import type { Phase } from "../../src/watch/state.ts";
import { PHASES, seen, type Watch, watchOf } from "./aboard.ts";

type Known = ReturnType<typeof seen.fix>;

/** The last fix stays in the picture, however old. */
const lastFix = (s: number): Known => ({ lastFix: seen.fix(s, 0).lastFix });

function story(watch: Watch, key: string, from: number, to: number, known: (s: number) => Known[]): string[] {
  const told: string[] = [];
  let before = "";
  for (let s = from; s <= to; s++) {
    watch.second(s, ...known(s));
    const now =
      watch
        .found()
        .find((one) => one.endsWith(` ${key}`))
        ?.split(" ")[0] ?? "";
    if (now !== before) told.push(`${s} ${now}`.trim());
    before = now;
  }
  return told;
}

const DOWN: readonly Phase[] = ["let-go", "riding", "weighing"];

describe("no position", () => {
  const gone = (s: number) => [lastFix(Math.min(s, 100))];

  test.each(DOWN)("%s: a warning 10 s after the last accepted fix, an alarm after 60 s", (phase) => {
    expect(story(watchOf(PHASES[phase]()), "position-lost", 1, 300, gone)).toEqual([
      "110 warning",
      "160 alarm",
    ]);
  });

  test("under way: a caution", () => {
    expect(story(watchOf(PHASES.underway()), "position-lost", 1, 300, gone)).toEqual(["110 caution"]);
  });

  test("never any: counted from the start", () => {
    const told = story(watchOf(PHASES.riding()), "position-lost", 1, 100, () => []);
    expect(told).toEqual(["10 warning", "60 alarm"]);
  });

  test("a fix that is held back is no position: said so, and since when", () => {
    const watch = watchOf(PHASES.riding());
    story(watch, "position-lost", 1, 130, (s) => [...gone(s), { heldBack: { sinceMs: 0 } }]);
    expect(watch.textOf("position-lost")).toBe("Fix jumps since 20:01. Check by eye");
  });

  test("over when it has been back for a minute; one that comes and goes makes one alert", () => {
    const back = story(watchOf(PHASES.riding()), "position-lost", 1, 300, (s) =>
      s > 100 && s < 200 ? [lastFix(100)] : [lastFix(s)],
    );
    expect(back).toEqual(["110 warning", "160 alarm", "200 warning", "260"]);
    // A fix every 25 s.
    const flapping = story(watchOf(PHASES.riding()), "position-lost", 1, 1000, (s) => [
      lastFix(s - (s % 25)),
    ]);
    expect(flapping).toEqual(["10 warning"]);
  });
});

describe("no depth", () => {
  const gone = (s: number) => (s <= 100 ? [seen.depth(s, 5)] : []);

  test.each(DOWN)("%s: a caution after 10 s, a warning after 60 s", (phase) => {
    expect(story(watchOf(PHASES[phase]()), "depth-lost", 1, 300, gone)).toEqual([
      "110 caution",
      "160 warning",
    ]);
  });

  test("under way a caution, and only of a sounder that was heard", () => {
    expect(story(watchOf(PHASES.underway()), "depth-lost", 1, 300, gone)).toEqual(["110 caution"]);
    expect(story(watchOf(PHASES.underway()), "depth-lost", 1, 300, () => [])).toEqual([]);
  });

  test("a boat at anchor that has never heard a sounder is told once, as a caution", () => {
    const watch = watchOf(PHASES.riding());
    expect(story(watch, "depth-lost", 1, 600, () => [])).toEqual(["10 caution"]);
    expect(watch.textOf("depth-lost")).toBe("No sounder heard: scope not known");
  });
});

describe("wind and heading", () => {
  test.each([
    ["wind-lost", (s: number) => seen.wind(s, 10, 13)],
    ["heading-lost", (s: number) => seen.heading(s, 200)],
  ] as const)("%s: a caution, and only of an instrument that was heard", (key, known) => {
    const once = story(watchOf(PHASES.riding()), key, 1, 300, (s) => (s <= 100 ? [known(s)] : []));
    expect(once).toEqual(["110 caution"]);
    expect(story(watchOf(PHASES.riding()), key, 1, 300, () => [])).toEqual([]);
  });
});

test("every text fits the room it has", () => {
  const watch = watchOf(PHASES.riding());
  for (let s = 1; s <= 200; s++) watch.second(s, ...(s < 10 ? [seen.wind(s, 1, 1), seen.heading(s, 1)] : []));
  const keys = watch.found().map((one) => one.split(" ")[1] ?? "");
  expect(keys.sort()).toEqual(["depth-lost", "heading-lost", "position-lost", "wind-lost"]);
  for (const key of keys) expect(watch.textOf(key)?.length).toBeLessThanOrEqual(43);
});
