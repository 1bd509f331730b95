import fc from "fast-check";
import { expect, test } from "vitest";
import { findRoot } from "../../src/tackle/root.ts";

test("finds a root to the tolerance of x when f never gets small enough", () => {
  const { x } = findRoot((v) => Math.sign(v - 2 / 3), { lo: 0, hi: 1, toleranceX: 1e-12, toleranceF: 0 });
  expect(Math.abs(x - 2 / 3)).toBeLessThan(2e-12);
});

test("never more steps than plain halving and two, on flat, steep and kinked functions", () => {
  const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(
      between(0.001, 0.999),
      between(-8, 8),
      fc.integer({ min: 0, max: 2 }),
      (root, power, shape) => {
        const exponent = 2 ** power;
        const f = (x: number): number => {
          if (shape === 0) return x ** exponent - root ** exponent;
          if (shape === 1) return Math.atan((x - root) * 10 ** power);
          return x < root ? (x - root) * 1e-6 : (x - root) * 10 ** power;
        };
        const { x, iterations } = findRoot(f, { lo: 0, hi: 1, toleranceX: 1e-9, toleranceF: 0 });
        expect(iterations).toBeLessThanOrEqual(Math.ceil(Math.log2(1 / 2e-9)) + 2);
        expect(Math.abs(f(x))).toBeLessThanOrEqual(
          Math.max(Math.abs(f(root - 2e-9)), Math.abs(f(root + 2e-9))),
        );
      },
    ),
  );
});

test("a bracket that holds no change of sign gives its nearer end", () => {
  const bracket = { lo: 1, hi: 2, toleranceX: 1e-9, toleranceF: 0 };
  expect(findRoot((x) => x, bracket).x).toBe(1);
  expect(findRoot((x) => x - 3, bracket).x).toBe(2);
});
