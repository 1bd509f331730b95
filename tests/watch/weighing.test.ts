import { describe, expect, test } from "vitest";
import { PHASES, seen, type Watch, watchOf } from "./aboard.ts";

/** Range from the anchor, which lies 6 m north of the anchorage, each second. */
function haul(
  watch: Watch,
  from: number,
  to: number,
  rangeM: (s: number) => number | undefined,
  everyS = 5,
): string[] {
  const phases: string[] = [];
  for (let s = from; s <= to; s += everyS) {
    const metres = rangeM(s);
    watch.second(s, ...(metres === undefined ? [] : [seen.fix(s, 6 - metres)]), seen.depth(s, 5));
    const { phase } = watch.state.stay;
    if (!phases.at(-1)?.endsWith(phase)) phases.push(`${s} ${phase}`);
  }
  return phases;
}

describe("weighing", () => {
  test("closing on the anchor, however slowly, it goes on", () => {
    // 60 m in an hour: 10 m in 10 minutes.
    expect(haul(watchOf(PHASES.weighing()), 1, 3600, (s) => 60 - s / 60)).toEqual(["1 weighing"]);
  });

  test("not closing for 10 minutes, it is riding again", () => {
    expect(haul(watchOf(PHASES.weighing()), 1, 900, () => 40)).toEqual(["1 weighing", "601 riding"]);
    const stopped = haul(watchOf(PHASES.weighing()), 1, 1200, (s) => Math.max(20, 60 - s / 3));
    expect(stopped[1]).toMatch(/^(71\d|720) riding$/);
  });

  test("and that is said, for some minutes", () => {
    const watch = watchOf(PHASES.weighing());
    haul(watch, 1, 601, () => 40);
    const said = (s: number) => watch.second(s, seen.fix(s, -34)).figures.guidance.callout?.text;
    expect(said(604)).toBe("Not weighing: riding, the watch goes on");
    expect(said(960)).not.toContain("Not weighing");
  });

  test("sheering to and fro is not closing", () => {
    const phases = haul(watchOf(PHASES.weighing()), 1, 900, (s) => 40 + 10 * Math.sin(s / 20));
    expect(phases[1]).toMatch(/^6\d\d riding$/);
  });

  test("without a fix too", () => {
    expect(haul(watchOf(PHASES.weighing()), 1, 700, () => undefined)[1]).toMatch(/^60\d riding$/);
  });

  test("riding again, it may be weighed again, and the count begins anew", () => {
    const watch = watchOf(PHASES.weighing());
    haul(watch, 1, 700, () => 40);
    watch.act(700, "WEIGH", seen.fix(700, -34));
    expect(haul(watch, 701, 1400, () => 40)).toEqual(["701 weighing", "1301 riding"]);
  });

  test("the circle stays armed", () => {
    const watch = watchOf(PHASES.weighing());
    for (let s = 1; s <= 60; s++) watch.second(s, seen.fix(s, -200), seen.depth(s, 5));
    expect(watch.found()).toContain("alarm outside-circle");
  });
});
