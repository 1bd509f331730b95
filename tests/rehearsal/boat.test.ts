import { describe, expect, test } from "vitest";
import { settingOf } from "../../src/rehearsal/anchorage.ts";
import { chanceOf } from "../../src/rehearsal/chance.ts";
import { hullForce } from "../../src/rehearsal/hull.ts";
import type { Second } from "../../src/rehearsal/rehearsal.ts";
import { distanceM, offsetM } from "../../src/units/position.ts";
import { expectHeld, expectWhole, pastTautM, played } from "./played.ts";

function lying(name: string, fromS: number, toS?: number): Second[] {
  return played(name, 2).slice(fromS, toS);
}

function most(values: readonly number[]): number {
  return values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
}

describe("the boat at anchor", () => {
  // UFC 4-159-03: ½ρV² = 36.353 N/m² at 15 kn (7.7167 m/s) with 1.221 kg/m³.
  test("the wind presses with ½ρV² on what it sees", () => {
    const { hull } = settingOf(chanceOf(1));
    const still = { north: 0, east: 0 };
    const westerly = { north: 0, east: 7.7167 };
    const ahead = hullForce(hull, westerly, still, still, 270);
    expect(ahead.east / (36.353 * hull.aheadM2)).toBeCloseTo(1, 2);
    expect(ahead.north).toBeCloseTo(0, 6);
    const abeam = hullForce(hull, westerly, still, still, 0);
    expect(abeam.east / (36.353 * hull.abeamM2)).toBeCloseTo(1, 2);
    expect(abeam.north).toBeCloseTo(0, 6);
    // On the bow she is pushed astern and off to the side away from the wind.
    const bow = hullForce(hull, westerly, still, still, 300);
    expect(bow.east).toBeGreaterThan(0);
    expect(bow.north).toBeGreaterThan(0);
  });

  test.each(["quiet", "breeze", "tide-turn", "front"])(
    "%s: stays inside √(L² − h²) and the rode's stretch, and the anchor stays",
    (name) => {
      const seconds = lying(name, 700);
      expectHeld(seconds);
      const [first, last] = [seconds[0]?.truth.anchor, seconds.at(-1)?.truth.anchor];
      expect(first && last && distanceM(first, last)).toBeLessThan(3);
    },
  );

  test.each(["quiet", "breeze", "tide-turn", "front", "drag"])("%s: lasts as long as it says", (name) => {
    expectWhole(name, played(name, 2));
  });

  test("in a breeze she lies near the end of her rode and sails to and fro across the wind", () => {
    const seconds = lying("breeze", 3000, 8000);
    const out = seconds.map((second) => -pastTautM(second));
    expect(most(out)).toBeLessThan(0.07 * 44);
    const headings = seconds.map(({ truth }) => ((truth.headingDeg - truth.windFromDeg + 540) % 360) - 180);
    expect(most(headings.map(Math.abs))).toBeGreaterThan(18);
    expect(most(headings.map(Math.abs))).toBeLessThan(75);
    const mean = headings.reduce((sum, deg) => sum + deg, 0) / headings.length;
    expect(Math.abs(mean)).toBeLessThan(8);
    const crossings = headings.filter((deg, i) => deg * (headings[i - 1] ?? deg) < 0).length;
    // Two crossings a period of 50 to 120 s, as drawn, give or take.
    expect(seconds.length / (crossings / 2)).toBeGreaterThan(35);
    expect(seconds.length / (crossings / 2)).toBeLessThan(150);
    const speeds = seconds
      .slice(1)
      .map(({ truth }, i) => distanceM(truth.boat, seconds[i]?.truth.boat ?? truth.boat));
    expect(most(speeds)).toBeGreaterThan(0.1);
    expect(most(speeds)).toBeLessThan(0.8);
  });

  test("in light airs she lies well inside", () => {
    const out = lying("quiet", 4000).map((second) => -pastTautM(second));
    expect(most(out)).toBeGreaterThan(10);
  });

  test("the stream turns her right round her anchor", () => {
    const bearing = ({ truth }: Second): number => {
      const { north, east } = offsetM(truth.anchor ?? truth.boat, truth.boat);
      return (Math.atan2(east, north) * 180) / Math.PI;
    };
    const seconds = played("tide-turn", 2);
    const before = bearing(seconds[2400] as Second);
    const after = bearing(seconds[10_000] as Second);
    expect(Math.abs(((after - before + 540) % 360) - 180)).toBeGreaterThan(130);
  });

  test("a front takes her to the other side", () => {
    const seconds = played("front", 2);
    const [before, after] = [seconds[3000], seconds[7000]].map((second) => second?.truth.boat);
    expect(before && after && distanceM(before, after)).toBeGreaterThan(60);
  });
});

describe("the boat dragging", () => {
  const seconds = played("drag", 2);

  test("nothing before it breaks out, then the anchor goes on and on, and takes her along", () => {
    expect(seconds[2700]?.truth.draggedM).toBeLessThan(0.2);
    const at = (i: number): Second["truth"] => (seconds[i] as Second).truth;
    for (let i = 2701; i < seconds.length; i++)
      expect(at(i).draggedM).toBeGreaterThanOrEqual(at(i - 1).draggedM);
    const draggedM = at(4499).draggedM - at(2700).draggedM;
    // 2 to 10 m a minute for 30 minutes, and nothing while the rode hangs slack.
    expect(draggedM).toBeGreaterThan(45);
    expect(draggedM).toBeLessThan(305);
    // Toward where she lay when it broke out: the wind stands, so both go that way.
    const [from, to] = [at(2700).anchor ?? at(2700).boat, at(4499).anchor ?? at(4499).boat];
    const rode = offsetM(from, at(2700).boat);
    const along = (move: { north: number; east: number }): number =>
      (move.north * rode.north + move.east * rode.east) / Math.hypot(rode.north, rode.east);
    expect(along(offsetM(from, to))).toBeGreaterThan(0.9 * draggedM);
    expect(along(offsetM(at(2700).boat, at(4499).boat))).toBeGreaterThan(0.9 * draggedM - 10);
  });

  test("she still lies to her rode while it drags", () => {
    expect(most(seconds.slice(2700).map(pastTautM))).toBeLessThan(5);
  });
});
