import { describe, expect, test } from "vitest";
import { type Catenary, solveCatenary } from "../../src/tackle/catenary.ts";
import { type CatenaryShape, catenaryShape, type ShapePoint } from "../../src/tackle/catenary-shape.ts";
import type { Line } from "../../src/tackle/rode.ts";
import { NO_PART, onePart, part, twoPart } from "./lines.ts";

const rode = twoPart(part(20, 12), part(30, 0.15));

function solved(heightM: number, line: Line, loadN: number): Catenary {
  const answer = solveCatenary(heightM, line, loadN);
  if (!answer.ok) throw new Error(answer.reason);
  return answer;
}

function lengthM(points: readonly ShapePoint[]): number {
  return points.reduce((sum, point, i) => {
    const before = points[i - 1] ?? point;
    return sum + Math.hypot(point.xM - before.xM, point.zM - before.zM);
  }, 0);
}

function endsMeet(shape: CatenaryShape, heightM: number, reachM: number): void {
  expect(shape.chain[0]).toEqual({ xM: 0, zM: 0 });
  expect(shape.rope[0]).toEqual(shape.chain.at(-1));
  expect(shape.rope.at(-1)).toEqual({ xM: reachM, zM: heightM });
}

describe("true to scale", () => {
  test.each([0, 200, 1000, 3000, 20000])(
    "at %d N both parts have their length and meet at the splice",
    (loadN) => {
      const catenary = solved(8, rode, loadN);
      const shape = catenaryShape(catenary, rode, { points: 200, reachM: undefined });
      endsMeet(shape, 8, catenary.reachM);
      expect(lengthM(shape.chain)).toBeCloseTo(20, 3);
      expect(lengthM(shape.rope)).toBeCloseTo(30, 3);
    },
  );

  test("rises all the way, never under the bottom", () => {
    const shape = catenaryShape(solved(8, rode, 700), rode, { points: 30, reachM: undefined });
    const all = [...shape.chain, ...shape.rope];
    for (const [i, point] of all.entries()) {
      expect(point.zM).toBeGreaterThanOrEqual(all[i - 1]?.zM ?? 0);
      expect(point.xM).toBeGreaterThanOrEqual(all[i - 1]?.xM ?? 0);
    }
  });

  test("what lies is drawn on the bottom", () => {
    const catenary = solved(8, rode, 1000);
    const shape = catenaryShape(catenary, rode, { points: 30, reachM: undefined });
    expect(catenary.groundedM).toBeCloseTo(2.5856, 4);
    expect(shape.chain[1]?.zM).toBe(0);
    expect(shape.chain[1]?.xM).toBeCloseTo(2.5856, 4);
  });

  test("rope lying too: chain ends on the bottom", () => {
    const catenary = solved(8, rode, 2);
    expect(catenary.groundedRopeM).toBeGreaterThan(1);
    const shape = catenaryShape(catenary, rode, { points: 30, reachM: undefined });
    endsMeet(shape, 8, catenary.reachM);
    expect(shape.chain.at(-1)).toEqual({ xM: expect.closeTo(20, 6), zM: 0 });
  });

  test("all chain, and all rope", () => {
    const chain = onePart(40, 12);
    const chainShape = catenaryShape(solved(8, chain, 900), chain, { points: 10, reachM: undefined });
    expect(chainShape.rope).toEqual([]);
    expect(chainShape.chain.at(-1)?.zM).toBe(8);
    const rope = twoPart(NO_PART, part(40, 0.1));
    const ropeShape = catenaryShape(solved(8, rope, 900), rope, { points: 10, reachM: undefined });
    expect(ropeShape.chain).toEqual([]);
    expect(ropeShape.rope[0]).toEqual({ xM: 0, zM: 0 });
    expect(lengthM(ropeShape.rope)).toBeCloseTo(40, 3);
  });
});

test("inside the slack limit the rode lies heaped and hangs straight down from the roller", () => {
  const catenary = solved(8, rode, 0);
  const shape = catenaryShape(catenary, rode, { points: 10, reachM: 12 });
  endsMeet(shape, 8, 12);
  expect(shape.rope[1]).toEqual({ xM: 12, zM: 0 });
});

test("on a slope what lies follows the slope", () => {
  const seabed = { slopeDeg: 5, friction: 0 };
  const catenary = solveCatenary(8, rode, 900, seabed);
  if (!catenary.ok) throw new Error(catenary.reason);
  const shape = catenaryShape(catenary, rode, { points: 200, reachM: undefined }, seabed);
  const touch = shape.chain[1];
  expect((touch?.zM ?? 0) / (touch?.xM ?? 1)).toBeCloseTo(Math.tan((5 * Math.PI) / 180), 9);
  expect(lengthM(shape.chain) + lengthM(shape.rope)).toBeCloseTo(50, 3);
});
