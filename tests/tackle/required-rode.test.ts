import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { solveCatenary } from "../../src/tackle/catenary.ts";
import { heightAtPullLimitM, leastRodeM } from "../../src/tackle/least-rode.ts";
import { greatestDepthM, greatestHeightM, requiredRode } from "../../src/tackle/required-rode.ts";
import { type Line, lineAboard, type Rode, veered } from "../../src/tackle/rode.ts";
import { NO_PART, onePart, part, twoPart } from "./lines.ts";

const rode: Rode = {
  chainM: 8,
  chainDiameterM: 0.008,
  ropeM: 60,
  ropeDiameterM: 0.014,
  ropeKind: "nylon-three-strand",
};
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const stocks: fc.Arbitrary<Line> = fc
  .record({ chainM: between(0, 80), ropeM: between(1, 300), chain: between(6, 50), rope: between(0.02, 2) })
  .map((s) => twoPart(part(s.chainM, s.chain), part(s.ropeM, s.rope)));

describe("least rode within a pull limit: closed forms", () => {
  // s = √(h² + 2hH/w), the rows of the one-part catenary that lies
  test.each([
    [1000, 12, 6, 32.186954],
    [4003, 12, 10, 82.290137],
    [2000, 20, 10, 45.825757],
  ])("horizontal pull, H %d w %d h %d", (loadN, weight, heightM, lengthM) => {
    expect(leastRodeM(onePart(20, weight), heightM, loadN, 0)).toBeCloseTo(lengthM, 5);
  });

  // Rows of the one-part catenary lifted clear
  test.each([
    [2000, 50, 3.2233],
    [2000, 30, 14.8328],
    [8000, 70, 5.2582],
  ])("H %d: %d m keep it to %d°", (loadN, lengthM, limitDeg) => {
    expect(leastRodeM(onePart(10, 12), 10, loadN, limitDeg)).toBeCloseTo(lengthM, 2);
  });

  test("chain and rope, stretching: 20 m + 30 m at 3000 N and 5.218362°", () => {
    const stock = twoPart(part(20, 12, 20e6), part(500, 0.15, 50e3));
    expect(leastRodeM(stock, 8, 3000, 5.218362)).toBeCloseTo(50, 4);
  });

  test("a weightless taut rope needs h / sin 8° = 7.185 h", () => {
    expect(leastRodeM(twoPart(NO_PART, part(9, 0.001)), 1, 1e6, 8)).toBeCloseTo(7.185, 3);
  });

  test("no load: up and down; no rode: nothing to say", () => {
    expect(leastRodeM(onePart(5, 12), 7, 0, 8)).toBe(7);
    expect(leastRodeM(twoPart(NO_PART, NO_PART), 7, 500, 8)).toBeUndefined();
  });
});

describe("least rode: what it means", () => {
  const heights = between(1, 40);
  const loads = between(1, 30000);
  const limits = between(0.5, 30);

  test("with it the pull is at the limit, with less it is over", () => {
    fc.assert(
      fc.property(stocks, heights, loads, limits, (stock, heightM, loadN, limitDeg) => {
        const leastM = leastRodeM(stock, heightM, loadN, limitDeg) ?? 0;
        fc.pre(leastM > heightM * 1.001);
        const at = solveCatenary(heightM, veered(stock, leastM), loadN);
        const under = solveCatenary(heightM, veered(stock, leastM * 0.9995), loadN);
        if (!at.ok || !under.ok) throw new Error("does not reach the bottom");
        expect(at.pullDeg).toBeCloseTo(limitDeg, 4);
        expect(under.pullDeg).toBeGreaterThan(limitDeg);
      }),
    );
  });

  test("more load or more height never asks for less of a rode that does not stretch", () => {
    fc.assert(
      fc.property(
        stocks,
        heights,
        loads,
        limits,
        between(1, 3),
        (stock, heightM, loadN, limitDeg, factor) => {
          const leastM = leastRodeM(stock, heightM, loadN, limitDeg) ?? 0;
          expect(leastRodeM(stock, heightM, loadN * factor, limitDeg)).toBeGreaterThanOrEqual(
            leastM * (1 - 1e-9),
          );
          expect(leastRodeM(stock, heightM * factor, loadN, limitDeg)).toBeGreaterThanOrEqual(
            leastM * (1 - 1e-9),
          );
        },
      ),
    );
  });

  test("stretch only ever helps: never more than the stiff rode needs", () => {
    fc.assert(
      fc.property(
        stocks,
        heights,
        loads,
        limits,
        between(2e4, 1e6),
        (stock, heightM, loadN, limitDeg, stiff) => {
          const stretchy = { ...stock, rope: { ...stock.rope, stiffnessN: stiff } };
          const stiffM = leastRodeM(stock, heightM, loadN, limitDeg) ?? 0;
          expect(leastRodeM(stretchy, heightM, loadN, limitDeg)).toBeLessThanOrEqual(stiffM * (1 + 1e-9));
        },
      ),
    );
  });

  test("the greatest height is where all of it is just needed", () => {
    fc.assert(
      fc.property(stocks, loads, limits, (stock, loadN, limitDeg) => {
        const heightM = heightAtPullLimitM(stock, loadN, limitDeg);
        const wholeM = stock.chain.lengthM + stock.rope.lengthM;
        expect((leastRodeM(stock, heightM, loadN, limitDeg) ?? 0) / wholeM).toBeCloseTo(1, 6);
      }),
    );
  });
});

describe("required rode", () => {
  const demand = { rode, targetScope: 5, loadN: 1500, pullLimitDeg: 8 };

  test("the larger of rule and mechanics; nothing short", () => {
    const got = requiredRode(6.1, demand);
    expect(got.byRuleM).toBe(30.5);
    expect(got.byMechanicsM).toBe(leastRodeM(lineAboard(rode) ?? onePart(0, 0), 6.1, 1500, 8));
    expect(got.requiredM).toBe(Math.max(30.5, got.byMechanicsM ?? 0));
    expect(got.aboardM).toBe(68);
    expect(got.shortfallM).toBe(0);
  });

  test("in light air the rule asks for more, in a gale the mechanics", () => {
    const light = requiredRode(6.1, { ...demand, loadN: 100 });
    expect(light.requiredM).toBe(light.byRuleM);
    const gale = requiredRode(6.1, { ...demand, loadN: 5000 });
    expect(gale.requiredM).toBe(gale.byMechanicsM);
    expect(gale.requiredM).toBeGreaterThan(gale.byRuleM ?? 0);
  });

  test("too deep: what is missing, and how deep this rode goes", () => {
    const got = requiredRode(20, demand);
    expect(got.shortfallM).toBeCloseTo((got.requiredM ?? 0) - 68, 9);
    expect(got.shortfallM).toBeGreaterThan(30);
    const deepest = greatestHeightM(demand) ?? 0;
    expect(requiredRode(deepest, demand).requiredM).toBeCloseTo(68, 6);
    expect(greatestDepthM(demand, 1.1, 1.2)).toBeCloseTo(deepest - 2.3, 9);
    expect(greatestDepthM(demand, 99, undefined)).toBe(0);
  });

  test("without a load the rule alone; without a rode no mechanics and no shortfall", () => {
    expect(requiredRode(6.1, { ...demand, loadN: undefined })).toMatchObject({
      byMechanicsM: undefined,
      requiredM: 30.5,
    });
    expect(requiredRode(6.1, { ...demand, rode: undefined })).toEqual({
      byRuleM: 30.5,
      byMechanicsM: undefined,
      requiredM: 30.5,
      aboardM: undefined,
      shortfallM: undefined,
    });
    expect(greatestHeightM({ ...demand, rode: undefined })).toBeUndefined();
    expect(greatestHeightM({ ...demand, targetScope: undefined, loadN: undefined })).toBeUndefined();
  });

  test("stretch reaches no deeper than the rode is long", () => {
    const drawn = { rode, targetScope: undefined, loadN: 60000, pullLimitDeg: 80 };
    expect(greatestHeightM(drawn)).toBe(68);
  });

  test("no rode in the locker serves nowhere", () => {
    const none = { ...demand, rode: { ...rode, chainM: 0, ropeM: 0 } };
    expect(requiredRode(6, none).shortfallM).toBe(30);
    expect(greatestDepthM(none, 1, 0)).toBe(0);
  });
});
