import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Catenary, solveCatenary } from "../../src/tackle/catenary.ts";
import { catenaryAtReach } from "../../src/tackle/catenary-reach.ts";
import type { Line } from "../../src/tackle/rode.ts";
import { lineLengthM, veered } from "../../src/tackle/rode.ts";
import { reachBoundM, stretchShare } from "../../src/tackle/swing.ts";
import { integrated, walk } from "./integrated-line.ts";
import { NO_PART, part, twoPart } from "./lines.ts";

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
/** Evenly over orders of size. */
const orders = (from: number, to: number) => between(from, to).map((power) => 10 ** power);

const weights = fc.record({ chain: between(5, 60), rope: between(0.01, 3) });
const stiffnesses = fc.oneof(
  fc.record({ chain: between(2e6, 2e7), rope: between(2e4, 2e6) }),
  fc.constant({ chain: Number.POSITIVE_INFINITY, rope: Number.POSITIVE_INFINITY }),
);
const lengths = fc.oneof(
  fc.record({ chain: between(0.1, 200), rope: between(0.1, 400) }),
  fc.record({ chain: between(0.1, 200), rope: fc.constant(0) }),
  fc.record({ chain: fc.constant(0), rope: between(0.1, 400) }),
);
const lines: fc.Arbitrary<Line> = fc
  .record({ lengths, weights, stiffnesses })
  .map(({ lengths: l, weights: w, stiffnesses: s }) =>
    twoPart(
      l.chain === 0 ? NO_PART : part(l.chain, w.chain, s.chain),
      l.rope === 0 ? NO_PART : part(l.rope, w.rope, s.rope),
    ),
  );
const loads = fc.oneof(fc.constant(0), orders(-3, 7));
/** Height as a share of the length, up to within a hair of hanging straight. */
const shares = fc.oneof(
  between(0.001, 0.999),
  orders(-9, -3).map((hair) => 1 - hair),
);
const cases = fc.record({ line: lines, loadN: loads, share: shares });

function solved(heightM: number, line: Line, loadN: number): Catenary {
  const answer = solveCatenary(heightM, line, loadN);
  if (!answer.ok) throw new Error(`${answer.reason}: h ${heightM}, H ${loadN}, ${JSON.stringify(line)}`);
  return answer;
}

describe("everywhere in the box", () => {
  test("solved in fewer than 60 iterations, with finite answers that fit the height", () => {
    fc.assert(
      fc.property(cases, ({ line, loadN, share }) => {
        const heightM = share * lineLengthM(line);
        const got = solved(heightM, line, loadN);
        expect(got.iterations).toBeLessThan(60);
        for (const value of Object.values(got))
          if (typeof value === "number") expect(value).toBeGreaterThanOrEqual(0);
        expect(Number.isFinite(got.reachM + got.rollerTensionN + got.pullDeg)).toBe(true);
        expect(got.groundedM).toBeLessThanOrEqual(lineLengthM(line));
      }),
      { numRuns: 2000 },
    );
  });

  test("whatever is put in, there is an answer and no exception", () => {
    fc.assert(
      fc.property(
        fc.double(),
        lines,
        fc.double(),
        fc.double(),
        fc.double(),
        (h, line, load, slopeDeg, friction) => {
          expect(typeof solveCatenary(h, line, load, { slopeDeg, friction }).ok).toBe("boolean");
        },
      ),
    );
  });

  test("the pull is never steeper than the taut line's: sin α ≤ h/L", () => {
    fc.assert(
      fc.property(cases, ({ line, loadN, share }) => {
        const got = solved(share * lineLengthM(line), line, loadN);
        expect(Math.sin((got.pullDeg * Math.PI) / 180)).toBeLessThanOrEqual(share * (1 + 1e-9));
      }),
    );
  });

  test("the reach never passes the bound of the stretched rode", () => {
    fc.assert(
      fc.property(cases, ({ line, loadN, share }) => {
        const heightM = share * lineLengthM(line);
        const got = solved(heightM, line, loadN);
        const bound = reachBoundM(lineLengthM(line), stretchShare(line, got.rollerTensionN), heightM);
        expect(got.reachM).toBeLessThanOrEqual(bound + 1e-6 * lineLengthM(line));
      }),
    );
  });

  test("level, rising or falling bottom: tangent where it lies, never below it", () => {
    fc.assert(
      fc.property(cases, between(-20, 20), ({ line, loadN, share }, slopeDeg) => {
        const heightM = share * lineLengthM(line);
        fc.pre(share > Math.sin((slopeDeg * Math.PI) / 180));
        const got = solveCatenary(heightM, line, loadN, { slopeDeg, friction: 0.5 });
        if (!got.ok) throw new Error(got.reason);
        expect(got.iterations).toBeLessThan(60);
        expect(got.pullDeg).toBeGreaterThanOrEqual(0);
        expect(got.pullDeg === 0 || got.groundedM < 1e-6 * lineLengthM(line)).toBe(true);
        expect(Number.isFinite(got.reachM + got.anchorTensionN)).toBe(true);
      }),
    );
  });
});

describe("against an integration of its own", () => {
  const moderate = fc.record({ line: lines, loadN: orders(1, 5), share: between(0.02, 0.9) });

  test("same lift, same grounded length, same reach", () => {
    fc.assert(
      fc.property(moderate, ({ line, loadN, share }) => {
        const heightM = share * lineLengthM(line);
        const ours = solved(heightM, line, loadN);
        const walked = integrated(line, heightM, loadN, 300);
        const lengthM = lineLengthM(line);
        expect(Math.abs(ours.reachM - walked.reachM)).toBeLessThan(2e-4 * lengthM);
        expect(Math.abs(ours.groundedM - walked.groundedM)).toBeLessThan(2e-4 * lengthM);
        expect(Math.abs(ours.liftN - walked.liftN)).toBeLessThan(2e-4 * (loadN + ours.rollerVerticalN));
      }),
      { numRuns: 40 },
    );
  });

  test("walking our answer ends at the roller", () => {
    fc.assert(
      fc.property(moderate, ({ line, loadN, share }) => {
        const heightM = share * lineLengthM(line);
        const ours = solved(heightM, line, loadN);
        const end = walk(line, loadN, ours.groundedM, ours.liftN, 1000);
        expect(Math.abs(end.heightM - heightM)).toBeLessThan(1e-4 * lineLengthM(line));
        expect(Math.abs(end.reachM - ours.reachM)).toBeLessThan(1e-4 * lineLengthM(line));
      }),
    );
  });
});

describe("more wind, more rode", () => {
  const dust = (value: number) => 1e-7 * (1 + Math.abs(value));
  /** Not the last hair before hanging straight: there the height's own rounding moves reach and tension. */
  const sloping = fc.record({ line: lines, loadN: loads, share: between(0.001, 0.9999) });

  test("more load: more tension, more reach, never a flatter pull in a rode that does not stretch", () => {
    fc.assert(
      fc.property(sloping, between(1, 3), ({ line, loadN, share }, factor) => {
        const heightM = share * lineLengthM(line);
        const less = solved(heightM, line, loadN);
        const more = solved(heightM, line, loadN * factor);
        expect(more.rollerTensionN).toBeGreaterThanOrEqual(less.rollerTensionN - dust(less.rollerTensionN));
        expect(more.reachM).toBeGreaterThanOrEqual(less.reachM - dust(lineLengthM(line)));
        expect(more.groundedM).toBeLessThanOrEqual(less.groundedM + dust(less.groundedM));
        if (
          line.chain.stiffnessN === Number.POSITIVE_INFINITY &&
          line.rope.stiffnessN === Number.POSITIVE_INFINITY
        ) {
          expect(more.pullDeg).toBeGreaterThanOrEqual(less.pullDeg - dust(less.pullDeg));
        }
      }),
    );
  });

  test("more rode out of the same stock: more reach, a flatter pull, no more tension", () => {
    fc.assert(
      fc.property(sloping, between(0.05, 1), ({ line, loadN, share }, cut) => {
        const lengthM = lineLengthM(line);
        const heightM = share * cut * lengthM;
        const less = solved(heightM, veered(line, cut * lengthM), loadN);
        const more = solved(heightM, line, loadN);
        expect(more.reachM).toBeGreaterThanOrEqual(less.reachM - dust(lineLengthM(line)));
        expect(more.pullDeg).toBeLessThanOrEqual(less.pullDeg + dust(less.pullDeg));
        expect(more.rollerTensionN).toBeLessThanOrEqual(less.rollerTensionN + dust(less.rollerTensionN));
      }),
    );
  });

  test("as the load grows the catenary becomes the straight chord", () => {
    const stiffLines = lines.map(({ chain, rope }) =>
      twoPart(
        { ...chain, stiffnessN: Number.POSITIVE_INFINITY },
        { ...rope, stiffnessN: Number.POSITIVE_INFINITY },
      ),
    );
    fc.assert(
      fc.property(stiffLines, between(0.05, 0.9), (line, share) => {
        const lengthM = lineLengthM(line);
        const got = solved(share * lengthM, line, 1e9);
        expect(got.pullDeg).toBeCloseTo((Math.asin(share) * 180) / Math.PI, 2);
        expect(got.reachM / lengthM).toBeCloseTo(Math.sqrt(1 - share * share), 4);
      }),
    );
  });

  test("the load found from a reach gives that reach back", () => {
    fc.assert(
      fc.property(lines, orders(0, 4), between(0.02, 0.9), (line, loadN, share) => {
        const heightM = share * lineLengthM(line);
        const there = solved(heightM, line, loadN);
        const back = catenaryAtReach(heightM, line, there.reachM);
        if (!back.ok) {
          // Stiff and taut: rounding decides whether the last hair of reach exists at all
          expect(back.reason).toBe("beyond-reach");
          expect(there.reachM).toBeCloseTo(reachBoundM(lineLengthM(line), 0, heightM), 6);
          return;
        }
        expect(back.reachM).toBeCloseTo(there.reachM, 7);
      }),
      { numRuns: 60 },
    );
  });
});

// Geometry: asin(1/s), √(s² − 1)
test.each([
  [2, 30.0, 1.7321],
  [3, 19.471, 2.8284],
  [4, 14.478, 3.873],
  [5, 11.537, 4.899],
  [6, 9.594, 5.9161],
  [7, 8.213, 6.9282],
  [8, 7.181, 7.9373],
  [10, 5.739, 9.9499],
])("taut at %d:1", (scope, pullDeg, reach) => {
  const got = solved(1, twoPart(NO_PART, part(scope, 0.001)), 1e6);
  expect(got.pullDeg).toBeCloseTo(pullDeg, 3);
  expect(got.reachM).toBeCloseTo(reach, 4);
});
