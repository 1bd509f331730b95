import { describe, expect, test } from "vitest";
import type { Second } from "../../src/rehearsal/rehearsal.ts";
import { rehearsalOf, SCENES } from "../../src/rehearsal/scenes.ts";
import { distanceM } from "../../src/units/position.ts";
import { acts, expectHeld, expectWhole, played, playedInS } from "./played.ts";

describe("the scenes", () => {
  test("are those that the command line offers", () => {
    expect([...SCENES.keys()]).toEqual(["stay", "quiet", "breeze", "tide-turn", "front", "drag", "weigh"]);
    expect(rehearsalOf("no-such-scene", 1)).toBeUndefined();
    for (const name of SCENES.keys()) expect(rehearsalOf(name, 1)?.name).toBe(name);
  });

  test.each([...SCENES.keys()])("%s: the same seed gives the same lines, another seed others", (name) => {
    const lines = (seed: number): string[] => {
      const rehearsal = rehearsalOf(name, seed);
      return Array.from({ length: 250 }, () => rehearsal?.next()?.lines ?? []).flat();
    };
    const first = lines(11);
    expect(lines(11)).toEqual(first);
    expect(lines(12)).not.toEqual(first);
  });

  test("two at once do not disturb each other", () => {
    const alone = played("weigh", 1);
    const one = rehearsalOf("weigh", 1);
    const other = rehearsalOf("stay", 5);
    for (const second of alone) {
      expect(one?.next()?.lines).toEqual(second.lines);
      other?.next();
    }
    expect(one?.next()).toBeUndefined();
  });

  test("three hours are made in under two seconds", () => {
    // The better of two: the first also warms up.
    const leastS = Math.min(playedInS("stay", 1), playedInS("stay", 2));
    expect((leastS * 10_800) / played("stay", 1).length).toBeLessThan(2);
  });

  test.each(["stay", "weigh"])("%s: lasts as long as it says", (name) => {
    expectWhole(name, played(name, 1));
  });
});

describe.each([1, 2])("the stay, seed %s", (seed) => {
  const seconds = played("stay", seed);
  const at = (i: number): Second["truth"] => (seconds[i] as Second).truth;
  const told = seconds.flatMap((second, atS) => acts(second).map((act) => ({ atS, act })));
  const when = (act: string): number => told.find((one) => one.act.startsWith(act))?.atS ?? Number.NaN;
  const meanKn = (endS: number): number => {
    const ten = seconds.slice(endS - 600, endS);
    return ten.reduce((sum, { truth }) => sum + truth.windKn, 0) / ten.length;
  };
  const speedMps = (i: number): number => distanceM(at(i).boat, at(i - 1).boat);

  test("lies within her rode until the anchor breaks out, in all that wind", () => {
    const brokeS = seconds.findIndex(({ said }) => said.includes("the anchor breaks out"));
    expect(brokeS).toBeGreaterThan(7000);
    expectHeld(seconds.slice(when("BROUGHTUP"), brokeS));
  });

  test("takes about six minutes at thirty times its speed", () => {
    expect(seconds.length / 30 / 60).toBeGreaterThan(5);
    expect(seconds.length / 30 / 60).toBeLessThan(6.5);
  });

  test("comes up at speed, stops, lets go at her place and veers by the marks to 5:1", () => {
    expect(speedMps(100)).toBeGreaterThan(2);
    const stoppedS = seconds.findIndex(({ said }) => said.includes("stopped, engine out of gear"));
    expect(stoppedS).toBeLessThan(when("LETGO"));
    expect(speedMps(stoppedS)).toBeLessThan(0.2);
    const order = told.map(({ act }) => act);
    expect(order.slice(0, 8)).toEqual([
      "LETGO",
      "RODE,10.0,M",
      "RISE,0.5,M",
      "EXPECT,16.0,N",
      "RODE,20.0,M",
      "RODE,30.0,M",
      // A mark is missed: ten metres too little is told, and put right.
      "RODE,32.0,M",
      "RODE,42.0,M",
    ]);
    expect(order[8]).toBe("BROUGHTUP");
    const { heightM = Number.NaN, rodeM } = at(when("BROUGHTUP"));
    expect(rodeM / (heightM + 0.5)).toBeGreaterThan(4.9);
    expect(rodeM / heightM).toBeLessThan(6);
  });

  test("lies quiet for forty minutes, then in wind for which her scope is short, then veers", () => {
    const broughtUpS = when("BROUGHTUP");
    for (let endS = broughtUpS + 600; endS < broughtUpS + 2400; endS += 60)
      expect(meanKn(endS)).toBeLessThan(15);
    const veersS = when("RODE,50");
    expect(meanKn(veersS - 240)).toBeGreaterThan(20.5);
    expect(told.find(({ atS, act }) => act === "ACN 10803" && atS < veersS)).toBeDefined();
    const { rodeM, heightM = Number.NaN } = at(veersS + 60);
    expect(rodeM / heightM).toBeGreaterThan(7);
    const strong = seconds.slice(4800, 8400).map(({ truth }) => truth.windKn);
    expect(Math.max(...strong)).toBeGreaterThan(28);
    for (let endS = 5400; endS < 9000; endS += 60) expect(meanKn(endS)).toBeLessThan(30);
  });

  test("drags 60 to 70 m at 4 m a minute, is acknowledged after some minutes, and weighed", () => {
    const brokeS = seconds.findIndex(({ said }) => said.includes("the anchor breaks out"));
    expect(at(brokeS - 1).draggedM).toBe(0);
    expect(at(brokeS + 600).draggedM).toBeGreaterThan(35);
    expect(at(brokeS + 600).draggedM).toBeLessThan(42);
    const ackS = when("ACN 10801");
    expect(ackS - brokeS).toBeGreaterThan(240);
    expect(when("ACN 10802")).toBeGreaterThan(ackS);
    const weighS = when("WEIGH");
    const aweighS = when("AWEIGH");
    expect(weighS).toBeGreaterThan(when("ACN 10802"));
    expect(at(weighS).draggedM).toBeGreaterThan(58);
    expect(at(aweighS).draggedM).toBeLessThan(72);
    const before = at(aweighS - 1);
    expect(before.anchor && distanceM(before.anchor, before.boat)).toBeLessThan(3);
    expect(at(aweighS).anchor).toBeUndefined();
    expect(speedMps(seconds.length - 1)).toBeGreaterThan(2);
  });
});
