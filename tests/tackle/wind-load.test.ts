import { describe, expect, test } from "vitest";
import { type Boat, UNKNOWN_BOAT } from "../../src/tackle/boat.ts";
import {
  AIR_KG_M3,
  designLoadN,
  equivalentWindMps,
  GUST_FACTOR,
  windageAreaM2,
  windForceN,
  windLoadN,
} from "../../src/tackle/wind-load.ts";
import { M_PER_FT } from "../../src/units/length.ts";
import { fromKn } from "../../src/units/speed.ts";

const LBF = 4.4482216152605;
const boatOfFt = (lengthFt: number, beamFt?: number): Boat => ({
  ...UNKNOWN_BOAT,
  lengthM: lengthFt * M_PER_FT,
  beamM: beamFt === undefined ? undefined : beamFt * M_PER_FT,
});

// ½ρV² at 1.225 kg/m³ (standard atmosphere, from memory) and at UFC 4-159-03's 1.221
test.each([
  [15, 36.473, 36.353],
  [30, 145.89, 145.414],
  [42, 285.944, 285.011],
  [60, 583.56, 581.655],
])("pressure of %d kn", (windKn, standard, ufc) => {
  const pressure = windForceN(fromKn(windKn), 1, 1);
  expect(pressure).toBeCloseTo(standard, 2);
  expect((pressure * 1.221) / AIR_KG_M3).toBeCloseTo(ufc, 2);
});

// ABYC H-40 horizontal design loads, lbf, as copied by anchor makers and handbooks; the table's own rounding is 2 %
describe("the design-load table", () => {
  test.each([
    [15, [90, 125, 175, 225, 300, 400, 500]],
    [30, [360, 490, 700, 900, 1200, 1600, 2000]],
    [42, [720, 980, 1400, 1800, 2400, 3200, 4000]],
    [60, [1440, 1960, 2800, 3600, 4800, 6400, 8000]],
  ])("at %d kn", (windKn, rowLbf) => {
    for (const [i, lengthFt] of [20, 25, 30, 35, 40, 50, 60].entries()) {
      const ratio = (designLoadN(boatOfFt(lengthFt), fromKn(windKn)) ?? 0) / ((rowLbf[i] ?? 0) * LBF);
      expect(Math.abs(ratio - 1)).toBeLessThan(0.021);
    }
  });

  // Kluznick, race-committee mooring (1992), quoting ABYC: 40 ft × 11 ft at 42 kn = 2400 lb
  test("40 ft by 11 ft, storm", () => {
    expect((designLoadN(boatOfFt(40, 11), fromKn(42)) ?? 0) / LBF / 2400).toBeCloseTo(1, 1);
  });

  // Gerr, boat-systems handbook: 32 ft × 12 ft is read off the next row up, 900 lb; between the rows it is less
  test("32 ft by 12 ft lies between the rows of 30 and 35 ft, by its beam", () => {
    const byLength = (designLoadN(boatOfFt(32), fromKn(30)) ?? 0) / LBF;
    const byBeam = (designLoadN(boatOfFt(32, 12), fromKn(30)) ?? 0) / LBF;
    expect(byLength).toBeCloseTo(780, 6);
    expect(byBeam).toBeCloseTo(800, 6);
    expect(byBeam).toBeLessThan(900);
  });

  test("a beamy boat goes by her beam, a narrow one by her length", () => {
    expect(designLoadN(boatOfFt(20, 14), fromKn(30))).toBeCloseTo(1200 * LBF, 6);
    expect(designLoadN(boatOfFt(40, 8), fromKn(30))).toBeCloseTo(1200 * LBF, 6);
  });

  test("outside the table as area", () => {
    expect(designLoadN(boatOfFt(10), fromKn(30))).toBeCloseTo(90 * LBF, 6);
    expect(designLoadN(boatOfFt(120), fromKn(30))).toBeCloseTo(8000 * LBF, 6);
  });

  // Cd·A that the 15-kn row stands for: 11.0 … 61.0 m², two to three times a real frontal area
  test("is two to three times our area by length and beam", () => {
    const beamsFt = [8, 9, 11, 13, 14, 16, 18];
    for (const [i, lengthFt] of [20, 25, 30, 35, 40, 50, 60].entries()) {
      const boat = boatOfFt(lengthFt, beamsFt[i]);
      const dragAreaM2 = (designLoadN(boat, fromKn(15)) ?? 0) / windForceN(fromKn(15), 1, 1);
      expect(dragAreaM2 / (windageAreaM2(boat) ?? 0)).toBeGreaterThan(2);
      expect(dragAreaM2 / (windageAreaM2(boat) ?? 0)).toBeLessThan(3);
    }
  });
});

describe("the lower estimate", () => {
  const boat: Boat = { ...UNKNOWN_BOAT, lengthM: 9.2, beamM: 3.1, windageAreaM2: 9 };

  test("is ½ρCdAV² with the sheering allowance, and stays below the table", () => {
    const windMps = fromKn(28);
    expect(windLoadN(boat, windMps)).toBeCloseTo(1.5 * 0.5 * 1.225 * 9 * windMps ** 2, 9);
    expect(windLoadN(boat, windMps)).toBeLessThan(designLoadN(boat, windMps) ?? 0);
  });

  test("double wind, four times the load; a surge factor multiplies", () => {
    const load = windLoadN(boat, 10) ?? 0;
    expect(windLoadN(boat, 20)).toBeCloseTo(4 * load, 9);
    expect(windLoadN(boat, 10, { drag: 1, sheering: 1.5, surge: 1.3 })).toBeCloseTo(1.3 * load, 9);
  });

  test("the equivalent wind gives the load back", () => {
    expect(equivalentWindMps(boat, windLoadN(boat, 13) ?? 0)).toBeCloseTo(13, 12);
  });

  test("nothing known of the boat's size: no load, not a load of 0", () => {
    expect(windLoadN(UNKNOWN_BOAT, 10)).toBeUndefined();
    expect(designLoadN(UNKNOWN_BOAT, 10)).toBeUndefined();
    expect(equivalentWindMps(UNKNOWN_BOAT, 100)).toBeUndefined();
    expect(windageAreaM2({ ...UNKNOWN_BOAT, lengthM: 9.2 })).toBeGreaterThan(5);
  });

  // WMO/TD-No. 1555 (from memory): on-shore 1.38, off-shore 1.52
  test("gusts", () => {
    expect(GUST_FACTOR).toBeGreaterThan(1.38);
    expect(GUST_FACTOR).toBeLessThan(1.52);
  });
});
