import { mkdirSync, writeFileSync } from "node:fs";
import { expect, test } from "vitest";
import { CRUISER, pullAngleSvg, pullCurve } from "../bench/pull-angle-plots.ts";
import { tackleBench } from "../bench/tackle.bench.ts";

const SCOPES = [5, 7, 8];

test("more scope, a flatter pull, at every wind; each below its taut angle", () => {
  const curves = SCOPES.map((scope) => pullCurve(CRUISER, scope));
  for (const [i, curve] of curves.entries()) {
    expect(curve.points).toHaveLength(51);
    for (const [k, { pullDeg }] of curve.points.entries()) {
      expect(pullDeg).toBeLessThanOrEqual((Math.asin(1 / curve.scope) * 180) / Math.PI);
      expect(pullDeg).toBeLessThanOrEqual(curves[i - 1]?.points[k]?.pullDeg ?? 90);
    }
  }
});

test("the picture has its three curves, and is written when asked for", () => {
  const svg = pullAngleSvg(CRUISER, SCOPES);
  expect(svg.match(/<polyline/g)).toHaveLength(3);
  expect(svg).not.toContain("NaN");
  if (process.env.PLOTS !== "1") return;
  mkdirSync("build", { recursive: true });
  writeFileSync("build/pull-angle.svg", svg);
});

test("the bench gives finite times", async () => {
  for (const row of await tackleBench()) expect(row.value).toBeGreaterThan(0);
});
