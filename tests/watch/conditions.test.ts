/** Shoal, scope, wind, doubt, and no watch kept: each with its persistence. */
import { describe, expect, test } from "vitest";
import { MPS_PER_KN } from "../../src/units/speed.ts";
import { PHASES, seen, stateAfter, WATCH, type Watch, watchOf } from "./aboard.ts";

/** Seconds from..to with these known; the findings of a key, as "s priority", where they change. */
function story(
  watch: Watch,
  key: string,
  from: number,
  to: number,
  known: (s: number) => object[],
  everyS = 1,
): string[] {
  const told: string[] = [];
  let before = "";
  for (let s = from; s <= to; s += everyS) {
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

describe("shoal: less under the keel than 1 m, now", () => {
  test.each(["underway", "let-go", "riding", "weighing"] as const)("%s: an alarm after 5 s", (phase) => {
    const told = story(watchOf(PHASES[phase]()), "shoal", 1, 20, (s) => [seen.depth(s, 1.7)]);
    expect(told).toEqual(["6 alarm"]);
  });

  test("one false echo is none; 20 cm of hysteresis, 60 s to be over", () => {
    const depth = (s: number) => {
      if (s === 3) return 1.5;
      if (s > 10 && s <= 100) return s % 2 === 0 ? 1.75 : 1.9;
      return s > 200 ? 2.1 : 3;
    };
    const told = story(watchOf(PHASES.riding()), "shoal", 1, 400, (s) => [seen.depth(s, depth(s))]);
    expect(told).toEqual(["20 alarm", "160"]);
  });

  test("in a swell the troughs count: told long before the mean is too little", () => {
    const swell = (s: number) => 3 - s / 1000 + 0.8 * Math.sin((2 * Math.PI * s) / 8);
    const watch = watchOf(PHASES.riding());
    // Draught 0.8 m: the mean leaves 1 m at 1200 s, the first trough at some 400 s.
    const [told] = story(watch, "shoal", 1, 1200, (s) => [seen.depth(s, swell(s))]);
    expect(Number(told?.split(" ")[0])).toBeGreaterThan(400);
    expect(Number(told?.split(" ")[0])).toBeLessThan(650);
  });

  test("a sounding that stands until the next is one sounding", () => {
    const once = story(watchOf(PHASES.riding()), "shoal", 1, 30, (s) =>
      s < 11 ? [seen.depth(1, 1.5)] : [seen.depth(s, 3)],
    );
    expect(once).toEqual([]);
    const slow = story(watchOf(PHASES.riding()), "shoal", 1, 30, (s) => [
      seen.depth(1 + 5 * Math.floor(s / 5), 1.5),
    ]);
    expect(slow).toHaveLength(1);
  });

  test("no water under the keel is said so", () => {
    const watch = watchOf(PHASES.riding());
    story(watch, "shoal", 1, 10, (s) => [seen.depth(s, 0.7)]);
    expect(watch.textOf("shoal")).toBe("No water under the keel");
  });

  test("it stands when the depth is lost", () => {
    const watch = watchOf(PHASES.riding());
    story(watch, "shoal", 1, 10, (s) => [seen.depth(s, 1.5)]);
    expect(story(watch, "shoal", 11, 300, () => [])).toEqual(["11 alarm"]);
    expect(watch.textOf("shoal")).toBe("No depth now; last was shoal");
  });
});

describe("how much worse it has got since it was acknowledged", () => {
  const amountOf = (watch: Watch, key: string, ...known: object[]) =>
    watch.second(900, ...known).findings.find((one) => one.key === key)?.amount;

  test("shoal: what is wanting under the keel, over swell", () => {
    const watch = watchOf(PHASES.riding());
    const swell = (s: number) => seen.depth(s, 1.2 + 0.5 * Math.sin((2 * Math.PI * s) / 8));
    story(watch, "shoal", 1, 899, (s) => [swell(s)]);
    expect(amountOf(watch, "shoal", swell(900))).toBeCloseTo(0.6, 1);
  });

  test("wind: over whichever limit it is farther beyond, m/s", () => {
    const watch = watchOf(PHASES.riding());
    const { windLimitMps, gustLimitMps } = WATCH;
    const wind = (s: number) => seen.wind(s, windLimitMps / MPS_PER_KN + 2, gustLimitMps / MPS_PER_KN + 9);
    expect(amountOf(watch, "wind-over", wind(900))).toBeCloseTo(9 * MPS_PER_KN, 6);
  });

  test("scope: the rode that is wanting, m", () => {
    const watch = watchOf(stateAfter("LETGO", "RODE,20.0,M", "BROUGHTUP"));
    story(watch, "scope-short", 1, 899, (s) => [seen.wind(s, 10, 13), seen.depth(s, 5)]);
    const amount = amountOf(watch, "scope-short", seen.wind(900, 10, 13), seen.depth(900, 5));
    expect(amount).toBeCloseTo(watch.second(901, seen.depth(901, 5)).figures.scope.shortM ?? 0, 6);
    expect(amount).toBeGreaterThan(5);
  });
});

describe("scope short", () => {
  const riding = (metres: number) => watchOf(stateAfter("LETGO", `RODE,${metres.toFixed(1)},M`, "BROUGHTUP"));
  const at = (depthM: (s: number) => number | undefined) => (s: number) => {
    const metres = depthM(s);
    return [seen.wind(s, 10, 13), ...(metres === undefined ? [] : [seen.depth(s, metres)])];
  };
  const five = at(() => 5);

  test("a warning after 5 s below the target, an alarm below the least", () => {
    expect(story(riding(28), "scope-short", 1, 20, five)).toEqual(["6 warning"]);
    expect(story(riding(18), "scope-short", 1, 20, five)).toEqual(["6 alarm"]);
    expect(story(riding(31), "scope-short", 1, 20, five)).toEqual([]);
  });

  test("says what to veer, or that there is not enough aboard", () => {
    const watch = riding(28);
    story(watch, "scope-short", 1, 10, five);
    expect(watch.textOf("scope-short")).toBe("Scope 4.6, wants 5: veer 3 m");
    story(
      watch,
      "scope-short",
      11,
      20,
      at(() => 13),
    );
    expect(watch.textOf("scope-short")).toContain("rode too short");
  });

  test("a sounder's noise about the target makes one alert, about the least one alarm", () => {
    const noisy = (mean: number) => (s: number) =>
      mean + ([0, 0.08, -0.06, 0.04, -0.08, 0.1, -0.1][s % 7] ?? 0);
    // The height swings about 6.2 m each second: 5 × 6.2 and 3 × 6.2 m are out.
    expect(story(riding(31), "scope-short", 1, 200, at(noisy(5.1))).length).toBeLessThanOrEqual(1);
    expect(story(riding(18.6), "scope-short", 1, 200, at(noisy(5.1))).length).toBeLessThanOrEqual(2);
  });

  test("one false echo is no alarm", () => {
    const echo = at((s) => (s === 30 ? 9 : 5));
    expect(story(riding(28), "scope-short", 1, 60, echo)).toEqual(["6 warning"]);
  });

  test("it stands when the depth is lost, as what it was", () => {
    const lost = at((s) => (s > 10 ? undefined : 5));
    expect(story(riding(18), "scope-short", 1, 120, lost)).toEqual(["6 alarm"]);
    expect(story(riding(28), "scope-short", 1, 120, lost)).toEqual(["6 warning"]);
  });

  test("while the rode is going out, or where it is attended, a caution", () => {
    const veering = watchOf(stateAfter("LETGO", "RODE,10.0,M"));
    expect(story(veering, "scope-short", 0, 700, five, 10)).toEqual(["10 caution", "600 alarm"]);
    const attended = watchOf(stateAfter("LETGO", "RODE,18.0,M", "BROUGHTUP"), {
      stay: "attended",
      leastScope: 2,
    });
    expect(story(attended, "scope-short", 0, 700, five, 10)).toEqual(["10 caution"]);
  });

  test("a counter that stands still does not keep it a caution", () => {
    const watch = watchOf(stateAfter("LETGO"));
    const known = (s: number) => [...five(s), seen.counted(s, 10)];
    expect(story(watch, "scope-short", 0, 700, known, 10)).toEqual(["10 caution", "600 alarm"]);
  });

  test("weighing, the rode is meant to get short", () => {
    const watch = riding(28);
    story(watch, "scope-short", 1, 20, five);
    watch.act(21, "WEIGH");
    expect(story(watch, "scope-short", 21, 60, (s) => [...five(s), seen.counted(s, 5)])).toEqual([]);
  });
});

describe("wind over the limit: mean 20 kn or gust 28 kn", () => {
  const winds = (mean: number, gust: number) => (s: number) => [seen.wind(s, mean, gust)];

  test("at once, once there is a mean; a warning", () => {
    expect(story(watchOf(PHASES.riding()), "wind-over", 1, 5, winds(21, 24))).toEqual(["1 warning"]);
    expect(story(watchOf(PHASES.riding()), "wind-over", 1, 5, winds(15, 29))).toEqual(["1 warning"]);
    expect(story(watchOf(PHASES.riding()), "wind-over", 1, 5, winds(19.9, 27.9))).toEqual([]);
    expect(story(watchOf(PHASES.underway()), "wind-over", 1, 5, winds(25, 35))).toEqual([]);
  });

  test("over 5 minutes after both are 2 kn below", () => {
    const watch = watchOf(PHASES.riding());
    story(watch, "wind-over", 1, 1, winds(21, 24));
    expect(story(watch, "wind-over", 2, 402, winds(19, 24), 10)).toEqual(["2 warning"]);
    expect(story(watch, "wind-over", 403, 803, winds(17.9, 24), 10)).toEqual(["403 warning", "703"]);
  });

  test("it stands when the wind is lost", () => {
    const watch = watchOf(PHASES.riding());
    story(watch, "wind-over", 1, 1, winds(21, 24));
    expect(story(watch, "wind-over", 2, 902, () => [], 10)).toEqual(["2 warning"]);
    expect(watch.textOf("wind-over")).toContain("none heard now");
  });
});

describe("a doubtful position", () => {
  test("after 5 s of fixes held back: a warning on watch, a caution under way", () => {
    const held = (s: number) => (s <= 20 ? [{ heldBack: { sinceMs: 0 } }] : []);
    expect(story(watchOf(PHASES.riding()), "position-doubtful", 1, 100, held)).toEqual(["6 warning", "51"]);
    expect(story(watchOf(PHASES.underway()), "position-doubtful", 1, 100, held)).toEqual(["6 caution", "51"]);
  });
});

describe("no watch kept: under way, still for 20 minutes in a depth this rode reaches", () => {
  const still = (s: number) => [seen.fix(s, s % 30), seen.depth(s, 5)];

  test("a caution", () => {
    expect(story(watchOf(PHASES.underway()), "not-watching", 1, 1301, still, 10)).toEqual(["1201 caution"]);
  });

  test("not while she moves, nor in deep water, nor with an anchor down", () => {
    const moving = (s: number) => [seen.fix(s, s * 0.2), seen.depth(s, 5)];
    expect(story(watchOf(PHASES.underway()), "not-watching", 1, 1501, moving, 10)).toEqual([]);
    const deep = (s: number) => [seen.fix(s, 0), seen.depth(s, 30)];
    expect(story(watchOf(PHASES.underway()), "not-watching", 1, 1501, deep, 10)).toEqual([]);
    expect(story(watchOf(PHASES.riding()), "not-watching", 1, 1501, still, 10)).toEqual([]);
  });

  test("weighed where she was still before letting go: the 20 minutes begin anew", () => {
    const watch = watchOf(PHASES.underway());
    story(watch, "not-watching", 1, 601, still, 10);
    watch.act(601, "LETGO", ...still(601));
    story(watch, "not-watching", 611, 4001, still, 10);
    watch.act(4001, "AWEIGH");
    expect(story(watch, "not-watching", 4011, 6001, still, 10)).toEqual(["5211 caution"]);
  });
});

test("an attended stay and a night differ in nothing else", () => {
  const known = (s: number) => [seen.fix(s, -200), seen.depth(s, 1.5), seen.wind(s, 25, 40)];
  const found = (stay: "night" | "attended") => {
    const watch = watchOf(stateAfter("LETGO", "RODE,35.0,M", "BROUGHTUP"), { stay });
    for (let s = 1; s <= 60; s++) watch.second(s, ...known(s));
    return watch.found().filter((one) => !one.endsWith("scope-short"));
  };
  expect(found("attended")).toEqual(found("night"));
  expect(WATCH.stay).toBe("night");
});
