import { describe, expect, it } from "vitest";
import { solveCatenary } from "../../src/tackle/catenary.ts";
import { lineAboard, type Rode, veered } from "../../src/tackle/rode.ts";
import { reachAt, reachTable, stretchAt } from "../../src/watch/reach-table.ts";

const RODE: Rode = {
  chainM: 30,
  chainDiameterM: 0.008,
  ropeM: 60,
  ropeDiameterM: 0.014,
  ropeKind: "nylon-three-strand",
};

describe("the reach by load", () => {
  const table = reachTable(undefined, RODE, 60, 8);

  it("is the catenary's to a few centimetres, between its steps too", () => {
    const line = lineAboard(RODE);
    if (line === undefined) throw new Error("the rode is described");
    for (const loadN of [300, 900, 2500, 7000]) {
      const solved = solveCatenary(8, veered(line, 60), loadN);
      expect(solved.ok && Math.abs(solved.reachM - reachAt(table, loadN))).toBeLessThan(0.05);
    }
  });

  it("has the stretch of the rope out in it, and hardly any of the chain's", () => {
    // 14 mm three-strand breaks near 31 kN and has an EA of twice that: 30 m of it give 0.48 m for each kN.
    expect(stretchAt(table, 1000)).toBeCloseTo(0.49, 1);
    expect(stretchAt(reachTable(undefined, RODE, 30, 8), 1000)).toBeLessThan(0.01);
    expect(stretchAt(table, undefined)).toBe(0);
  });

  it("asks for the weight of the chain before it takes it to be drawn straight", () => {
    // 8 mm short-link chain is 1.4 kg a metre, of which sea water carries 13 %: 12 N a metre.
    expect(table.straightN).toBeGreaterThan(30 * 11.5);
    expect(table.straightN).toBeLessThan(30 * 12.5);
    expect(reachTable(undefined, { ...RODE, chainM: 0 }, 60, 8).straightN).toBe(0);
  });

  it("lets a rope that nobody has described stretch as a usual one does", () => {
    const unknown = reachTable(undefined, { ...RODE, ropeDiameterM: undefined }, 60, 8);
    const bound = Math.sqrt(60 ** 2 - 8 ** 2) - 1;
    expect(reachAt(unknown, undefined)).toBeCloseTo(bound, 6);
    expect(reachAt(unknown, 4000) - bound).toBeCloseTo((4000 * 30) / 62e3, 6);
    expect(reachAt(reachTable(undefined, undefined, 60, 8), 4000) - bound).toBeCloseTo((4000 * 60) / 62e3, 6);
  });
});
