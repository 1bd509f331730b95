import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { UNKNOWN_BOAT } from "../../src/tackle/boat.ts";
import { type AdviceInput, adviseRode } from "../../src/tackle/rode-advice.ts";
import { rodeTable } from "../../src/tackle/rode-table.ts";
import { DEFAULT_LOAD_FACTORS } from "../../src/tackle/wind-load.ts";
import { M_PER_FT } from "../../src/units/length.ts";
import { fromKn } from "../../src/units/speed.ts";

const input: AdviceInput = {
  depthM: 5,
  riseM: 1.2,
  boat: {
    lengthM: 9.2,
    beamM: 3.1,
    draughtM: 0.8,
    windageAreaM2: 9,
    rollerHeightM: 1.1,
    rollerToAntennaM: 6,
  },
  rode: {
    chainM: 8,
    chainDiameterM: 0.008,
    ropeM: 60,
    ropeDiameterM: 0.014,
    ropeKind: "nylon-three-strand",
  },
  windMps: fromKn(15),
  gustMps: undefined,
  steps: [
    { windMps: 0, ratio: 5 },
    { windMps: fromKn(20), ratio: 7 },
    { windMps: fromKn(30), ratio: 8 },
  ],
  pullLimitDeg: 8,
  displayUnits: "metric",
  factors: DEFAULT_LOAD_FACTORS,
};

describe("a small cruiser in 5 m of water", () => {
  const got = adviseRode(input);

  test("heights, wind, target", () => {
    expect(got).toMatchObject({ depthM: 5, rollerHeightM: 1.1, riseM: 1.2, targetScope: 5, aboardM: 68 });
    expect(got.heightM).toBeCloseTo(7.3, 12);
    expect(got.windKn).toBeCloseTo(15, 12);
    expect(got.byRuleM).toBeCloseTo(36.5, 12);
  });

  test("load at the gust, 1.4 times the wind", () => {
    expect(got.loadN).toBeCloseTo(1.5 * 0.5 * 1.225 * 9 * (1.4 * fromKn(15)) ** 2, 9);
    const given = adviseRode({ ...input, gustMps: fromKn(30) });
    expect(given.loadN).toBeCloseTo(1.5 * 0.5 * 1.225 * 9 * fromKn(30) ** 2, 9);
  });

  test("riding with the required length: pull within the limit, antenna 6 m beyond the reach", () => {
    expect(got.requiredM).toBe(Math.max(got.byRuleM ?? 0, got.byMechanicsM ?? 0));
    expect(got.pullDeg).toBeLessThanOrEqual(8.0001);
    expect(got.swingRadiusM).toBeCloseTo((got.reachM ?? 0) + 6, 12);
    expect(got.shortfallM).toBe(0);
    expect(got.veerDisplay).toBe(`${Math.ceil(got.requiredM ?? 0)} m`);
  });

  test("rides with what is advised, not with all there is aboard", () => {
    const gale = adviseRode({ ...input, windMps: fromKn(19) });
    expect(gale.requiredM).toBe(gale.byMechanicsM);
    expect(gale.requiredM).toBeLessThan(60);
    expect(gale.pullDeg).toBeCloseTo(8, 6);
  });

  test("deeper than this rode serves: named, with all of it out", () => {
    const deep = adviseRode({ ...input, depthM: 15, windMps: fromKn(25) });
    expect(deep.shortfallM).toBeCloseTo((deep.requiredM ?? 0) - 68, 9);
    expect(deep.shortfallM).toBeGreaterThan(0);
    expect(deep.greatestDepthM).toBeLessThan(15);
    expect(deep.pullDeg).toBeGreaterThan(8);
    expect(deep.veerDisplay).toBe("68 m");
    const atDeepest = adviseRode({ ...input, depthM: deep.greatestDepthM ?? 0, windMps: fromKn(25) });
    expect(atDeepest.requiredM).toBeCloseTo(68, 5);
  });

  test("deeper than the rode is long: no catenary to speak of, the shortfall stands", () => {
    const abyss = adviseRode({ ...input, depthM: 90 });
    expect(abyss).toMatchObject({ pullDeg: undefined, groundedM: undefined, reachM: undefined });
    expect(abyss.swingRadiusM).toBeUndefined();
    expect(abyss.shortfallM).toBeGreaterThan(300);
  });
});

describe("what is not given stays unknown", () => {
  test("nothing but a depth and a roller: the rule at the 20 kn step", () => {
    const got = adviseRode({
      ...input,
      boat: { ...UNKNOWN_BOAT, rollerHeightM: 1 },
      rode: undefined,
      riseM: undefined,
      windMps: undefined,
    });
    expect(got).toEqual({
      depthM: 5,
      rollerHeightM: 1,
      riseM: undefined,
      heightM: 6,
      windKn: undefined,
      targetScope: 7,
      requiredM: 42,
      byRuleM: 42,
      byMechanicsM: undefined,
      aboardM: undefined,
      shortfallM: undefined,
      greatestDepthM: undefined,
      loadN: undefined,
      pullDeg: undefined,
      groundedM: undefined,
      reachM: undefined,
      swingRadiusM: undefined,
      veerDisplay: "42 m",
    });
  });

  test("no roller height: no height, no rode; what is aboard and the load are still said", () => {
    const got = adviseRode({ ...input, boat: { ...input.boat, rollerHeightM: undefined } });
    expect(got).toMatchObject({
      heightM: undefined,
      requiredM: undefined,
      greatestDepthM: undefined,
      aboardM: 68,
    });
    expect(got.veerDisplay).toBeUndefined();
    expect(got.loadN).toBeGreaterThan(0);
  });

  test("no antenna offset: reach, but no swing radius", () => {
    const got = adviseRode({ ...input, boat: { ...input.boat, rollerToAntennaM: undefined } });
    expect(got.reachM).toBeGreaterThan(0);
    expect(got.swingRadiusM).toBeUndefined();
  });

  test("every key is there, and no number is NaN, whatever is missing", () => {
    const maybe = (value: number) =>
      fc.option(fc.double({ min: value / 10, max: value * 5, noNaN: true }), { nil: undefined });
    const boats = fc.record({
      lengthM: maybe(9),
      beamM: maybe(3),
      draughtM: maybe(1),
      windageAreaM2: maybe(9),
      rollerHeightM: maybe(1),
      rollerToAntennaM: maybe(6),
    });
    const rodes = fc.option(
      fc.record({
        chainM: fc.constantFrom(0, 8, 60),
        chainDiameterM: fc.constantFrom(undefined, 0.008),
        ropeM: fc.constantFrom(0, 60),
        ropeDiameterM: fc.constantFrom(undefined, 0.014),
        ropeKind: fc.constantFrom(undefined, "polyester-braid" as const),
      }),
      { nil: undefined },
    );
    const keys = Object.keys(adviseRode(input));
    fc.assert(
      fc.property(boats, rodes, maybe(10), maybe(10), maybe(2), (boat, rode, depthM, windMps, riseM) => {
        const got = adviseRode({ ...input, boat, rode, depthM: depthM ?? 0, windMps, riseM });
        expect(Object.keys(got)).toEqual(keys);
        for (const value of Object.values(got)) expect(value).not.toBeNaN();
      }),
    );
  });
});

test("feet and fathoms: 10 ft at 5:1 from the water's edge is 50 ft", () => {
  const bare = { ...input, rode: undefined, riseM: undefined, boat: { ...UNKNOWN_BOAT, rollerHeightM: 0 } };
  expect(adviseRode({ ...bare, depthM: 10 * M_PER_FT, displayUnits: "feet" }).veerDisplay).toBe("50 ft");
  expect(adviseRode({ ...bare, depthM: 10 * M_PER_FT, displayUnits: "fathoms" }).veerDisplay).toBe(
    "9 fathoms",
  );
});

// Common practice: 600 ft of rope and 25 ft of chain serve about 120 ft at 5:1, and not 150 to 200 ft
test("a party boat's 625 ft", () => {
  const party = {
    ...input,
    rode: { ...input.rode, chainM: 25 * M_PER_FT, ropeM: 600 * M_PER_FT } as AdviceInput["rode"],
    boat: { ...UNKNOWN_BOAT, rollerHeightM: 5 * M_PER_FT },
    riseM: undefined,
    displayUnits: "feet" as const,
  };
  const at = (depthFt: number) => adviseRode({ ...party, depthM: depthFt * M_PER_FT });
  expect((at(120).greatestDepthM ?? 0) / M_PER_FT).toBeCloseTo(120, 6);
  expect(at(119).shortfallM).toBe(0);
  for (const depthFt of [150, 200]) expect(at(depthFt).shortfallM).toBeGreaterThan(0);
  expect((at(150).shortfallM ?? 0) / M_PER_FT).toBeCloseTo(150, 6);
});

describe("the table", () => {
  const depthsM = [3, 6, 12];
  const windsMps = [fromKn(10), fromKn(25), fromKn(40)];
  const table = rodeTable(depthsM, windsMps, input);

  test("each cell is the advice for its depth and wind", () => {
    for (const [i, depthM] of depthsM.entries()) {
      for (const [j, windMps] of windsMps.entries()) {
        const advice = adviseRode({ ...input, depthM, windMps });
        expect(table.rows[i]?.[j]?.requiredM).toBe(advice.requiredM);
        expect(table.rows[i]?.[j]?.beyondAboard).toBe((advice.requiredM ?? 0) > 68);
      }
    }
  });

  test("cells beyond the rode aboard are marked and still say how much", () => {
    expect(table.rows[0]?.[0]?.beyondAboard).toBe(false);
    expect(table.rows[2]?.[2]?.beyondAboard).toBe(true);
    expect(Number.parseFloat(table.rows[2]?.[2]?.veerDisplay ?? "0")).toBeGreaterThan(68);
  });

  test("a cell is marked exactly where the depth passes the greatest for its wind", () => {
    for (const [j] of windsMps.entries()) {
      for (const [i, depthM] of depthsM.entries()) {
        expect(table.rows[i]?.[j]?.beyondAboard).toBe(depthM > (table.greatestDepthsM[j] ?? 0));
      }
    }
  });

  test("without a rode nothing is marked", () => {
    expect(rodeTable([3], [5], { ...input, rode: undefined }).rows[0]?.[0]?.beyondAboard).toBeUndefined();
  });

  test("deeper never asks for less", () => {
    for (const [j] of windsMps.entries()) {
      const column = table.rows.map((row) => row[j]?.requiredM ?? 0);
      expect(column).toEqual([...column].sort((a, b) => a - b));
    }
  });
});
