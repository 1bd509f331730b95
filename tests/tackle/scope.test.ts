import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  greatestDepthByRuleM,
  greatestDepthsM,
  heightAtRollerM,
  NO_TARGET_YET,
  type ScopeStep,
  scopeOf,
  settleTarget,
  type TargetState,
  targetScope,
} from "../../src/tackle/scope.ts";
import { M_PER_FT } from "../../src/units/length.ts";
import { fromKn } from "../../src/units/speed.ts";

const STEPS: ScopeStep[] = [
  { windMps: 0, ratio: 5 },
  { windMps: fromKn(20), ratio: 7 },
  { windMps: fromKn(30), ratio: 8 },
];
const MIN = 60_000;

describe("worked examples", () => {
  const ft = (depthFt: number, rollerFt: number, riseFt: number): number =>
    heightAtRollerM(depthFt * M_PER_FT, rollerFt * M_PER_FT, riseFt * M_PER_FT) / M_PER_FT;

  // Common practice
  test("10 ft of water at 5:1 is 50 ft of rode", () => expect(ft(10, 0, 0) * 5).toBeCloseTo(50, 9));
  // US Sailing basic text, p. 84
  test("(10 + 2 + 3 ft) × 7 = 105 ft", () => expect(ft(10, 2, 3) * 7).toBeCloseTo(105, 9));
  // "Seamanship Secrets", p. 234
  test("(15 + 8 + 3 ft) × 7 = 182 ft; forgetting tide and bow 105 ft is 4.04:1", () => {
    expect(ft(15, 8, 3) * 7).toBeCloseTo(182, 9);
    expect(scopeOf(105, ft(15, 8, 3))).toBeCloseTo(4.04, 2);
  });
  // Skipper's tips of a sailing school
  test("bow 1.5 m over 3 m of water counts as 4.5 m", () =>
    expect(heightAtRollerM(3, 1.5, undefined)).toBe(4.5));

  // Common practice: 600 ft of rope and 25 ft of chain serve about 120 ft at 5:1, not 150 to 200
  test("625 ft of rode serve about 120 ft", () => {
    const depthFt = greatestDepthByRuleM(625 * M_PER_FT, 5, 5 * M_PER_FT, 0) / M_PER_FT;
    expect(depthFt).toBeCloseTo(120, 6);
    expect(scopeOf(625, ft(150, 5, 0))).toBeLessThan(5);
  });

  test("no height, no scope", () => expect(scopeOf(30, 0)).toBeUndefined());
});

describe("target by wind", () => {
  // Common practice: 5:1 in settled weather, 7:1 to 8:1 above 20 kn
  test.each([
    [0, 5],
    [19.9, 5],
    [20, 7],
    [29.9, 7],
    [30, 8],
    [60, 8],
  ])("%d kn: %d:1", (windKn, ratio) => expect(targetScope(STEPS, fromKn(windKn))).toBe(ratio));

  test("below all steps the lowest; without steps none", () => {
    expect(targetScope(STEPS.slice(1), 0)).toBe(7);
    expect(targetScope([], 10)).toBeUndefined();
  });

  test("more wind never asks for less, in whatever order the steps stand", () => {
    const wind = fc.double({ min: 0, max: 40, noNaN: true });
    const steps = fc.array(fc.record({ windMps: wind, ratio: fc.double({ min: 2, max: 12, noNaN: true }) }), {
      minLength: 1,
    });
    fc.assert(
      fc.property(steps, wind, wind, (made, a, b) => {
        const sorted = [...made].sort((x, y) => x.windMps - y.windMps);
        const rising = sorted.map((step, i) => ({ ...step, ratio: 3 + i }));
        const low = targetScope(rising, Math.min(a, b)) ?? 0;
        expect(targetScope([...rising].reverse(), Math.max(a, b))).toBeGreaterThanOrEqual(low);
      }),
    );
  });

  test("greatest depth for each step of this rode", () => {
    const depths = greatestDepthsM(68, STEPS, 1.1, 1.2).map((step) => step.greatestDepthM);
    expect(depths).toEqual([68 / 5 - 2.3, 68 / 7 - 2.3, 68 / 8 - 2.3]);
    expect(greatestDepthByRuleM(10, 5, 1.5, 1)).toBe(0);
  });
});

describe("settling", () => {
  function story(winds: readonly (readonly [minute: number, windKn: number])[]): (number | undefined)[] {
    let state: TargetState = NO_TARGET_YET;
    return winds.map(([minute, windKn]) => {
      const settled = settleTarget(state, fromKn(windKn), STEPS, minute * MIN);
      state = settled.state;
      return settled.ratio;
    });
  }

  test("up at once", () =>
    expect(
      story([
        [0, 10],
        [1, 21],
        [2, 31],
      ]),
    ).toEqual([5, 7, 8]));

  test("down only after 30 minutes below the step", () => {
    expect(
      story([
        [0, 31],
        [1, 25],
        [29.9, 25],
        [30, 25],
      ]),
    ).toEqual([8, 8, 8, 7]);
  });

  test("a step is reached at its own wind", () => expect(story([[0, 20]])).toEqual([7]));

  test("a gust over the step begins the 30 minutes anew", () => {
    expect(
      story([
        [0, 21],
        [20, 10],
        [25, 21],
        [54, 10],
        [55, 10],
      ]),
    ).toEqual([7, 7, 7, 7, 5]);
  });

  test("steps come down one by one, each by its own time", () => {
    expect(
      story([
        [0, 31],
        [10, 25],
        [20, 10],
        [30, 10],
        [39, 10],
        [40, 10],
      ]),
    ).toEqual([8, 8, 8, 7, 7, 5]);
  });

  test("asking twice at one instant, or in between, changes nothing", () => {
    const minutes = fc.array(fc.tuple(fc.integer({ min: 0, max: 20 }), fc.integer({ min: 0, max: 40 })), {
      minLength: 1,
      maxLength: 30,
    });
    fc.assert(
      fc.property(minutes, (gaps) => {
        let at = 0;
        const winds = gaps.map(([gap, windKn]) => {
          at += gap;
          return [at, windKn] as const;
        });
        const doubled = winds.flatMap((w) => [w, w]);
        expect(story(doubled).filter((_, i) => i % 2 === 1)).toEqual(story(winds));
      }),
    );
  });

  test("state is plain data", () => {
    const { state } = settleTarget(NO_TARGET_YET, fromKn(25), STEPS, 5 * MIN);
    const restored = JSON.parse(JSON.stringify(state)) as TargetState;
    expect(settleTarget(restored, 0, STEPS, 6 * MIN)).toEqual(settleTarget(state, 0, STEPS, 6 * MIN));
  });
});
