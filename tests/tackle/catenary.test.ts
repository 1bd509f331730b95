import { describe, expect, test } from "vitest";
import { type Catenary, type NoCatenary, type Seabed, solveCatenary } from "../../src/tackle/catenary.ts";
import { catenaryAtReach, type NoLoad } from "../../src/tackle/catenary-reach.ts";
import { riseM, spanM } from "../../src/tackle/hanging.ts";
import { NO_PART, onePart, part, twoPart } from "./lines.ts";

function solved(answer: Catenary | NoCatenary | NoLoad): Catenary {
  if (!answer.ok) throw new Error(answer.reason);
  return answer;
}

/** Relative, for published figures with many digits. */
function near(actual: number, published: number, relative: number): void {
  expect(Math.abs(actual / published - 1), `${actual} against ${published}`).toBeLessThanOrEqual(relative);
}

// Closed form s = √(h² + 2hH/w), x = (H/w)·acosh(1 + wh/H), T = H + wh (TU Delft, Computational Modelling
// workshop 2, whose input is the sixth row; last row T published by a mooring-design lab page).
describe("one part lying on the bottom: closed form", () => {
  test.each([
    // H N, w N/m, h m, s m, x m, T N
    [1000, 12, 6, 32.186954, 31.436049, 1072.0],
    [1000, 12, 10, 42.031734, 40.427225, 1120.0],
    [4003, 12, 10, 82.290137, 81.477587, 4123.0],
    [2000, 20, 10, Math.sqrt(2100), 44.356825, 2200.0],
    [500, 12, 4, 18.690461, 18.114427, 548.0],
    [1005525, 1183.16159, 200, 616.396879, 572.180117, 1242157.318],
    [500000, 1500, 100, 276.887462, 252.144304, 650000],
  ])("H %d N, w %d N/m, h %d m", (loadN, weight, heightM, hangingM, spanOfHangingM, tensionN) => {
    const lyingM = 15;
    const got = solved(solveCatenary(heightM, onePart(hangingM + lyingM, weight), loadN));
    expect(got.groundedM).toBeCloseTo(lyingM, 5);
    expect(got.reachM - lyingM).toBeCloseTo(spanOfHangingM, 5);
    near(got.rollerTensionN, tensionN, 1e-8);
    expect(got.pullDeg).toBe(0);
    expect(got.anchorTensionN).toBe(loadN);
  });
});

// h = (H/w)[√(1+((Va+wL)/H)²) − √(1+(Va/H)²)] solved for Va: textbook form, values computed from it.
describe("one part lifted clear: closed form", () => {
  test.each([
    // H, w, h, L, Va, pull °, reach, T
    [2000, 12, 10, 30, 529.648, 14.8328, 28.25044, 2188.943],
    [2000, 12, 10, 50, 112.634, 3.2233, 48.81512, 2123.169],
    [4000, 12, 10, 30, 1235.486, 17.1644, 28.27579, 4306.457],
    [4000, 12, 10, 50, 518.698, 7.3886, 48.94581, 4153.491],
    [4000, 12, 10, 70, 160.46, 2.2972, 69.15793, 4123.217],
    [8000, 12, 10, 50, 1334.095, 9.4676, 48.97878, 8230.475],
    [8000, 12, 10, 70, 736.258, 5.2582, 69.25089, 8153.808],
  ])("H %d N, w %d N/m, h %d m, L %d m", (loadN, weight, heightM, lengthM, lift, pull, reach, top) => {
    const got = solved(solveCatenary(heightM, onePart(lengthM, weight), loadN));
    expect(got.liftN).toBeCloseTo(lift, 3);
    expect(got.pullDeg).toBeCloseTo(pull, 4);
    expect(got.reachM).toBeCloseTo(reach, 5);
    expect(got.rollerTensionN).toBeCloseTo(top, 2);
    expect(got.groundedM).toBe(0);
  });

  test("at 2000 N with 70 m the last 11.4 m lie", () => {
    const got = solved(solveCatenary(10, onePart(70, 12), 2000));
    expect(got.groundedM).toBeCloseTo(11.40535, 5);
    expect(got.reachM).toBeCloseTo(68.85553, 5);
    expect(got.rollerTensionN).toBeCloseTo(2120, 6);
  });

  test("the last link lifts at H = w(L² − h²)/2h", () => {
    const liftsN = (12 * (50 ** 2 - 10 ** 2)) / 20;
    expect(solved(solveCatenary(10, onePart(50, 12), liftsN * 0.999)).groundedM).toBeGreaterThan(0);
    expect(solved(solveCatenary(10, onePart(50, 12), liftsN * 1.001)).pullDeg).toBeGreaterThan(0);
  });
});

// NREL MoorPy, tests/test_catenary.py: published inputs and outputs, tolerance there 1e-5.
describe("published mooring-line values", () => {
  test.each([
    // x, z, L, EA, w, friction, pull at the anchor, H, V, grounded
    [400, 200, 500, 7.51e12, 800, 5.0, 0, 96643.43501616362, 237751.75997440016, 202.81030003199982],
    [
      400, 200, 500, 7.51e12, 800, 0, 96643.42815934008, 96643.42815934008, 237751.75535996316,
      202.810305804602,
    ],
    [
      400, 200, 500, 7.51e12, 800, 0.1, 80418.60434855078, 96643.42877136687, 237751.75577183915,
      202.81030528520108,
    ],
  ])("on the bottom, x %d z %d L %d EA %d w %d friction %d", (x, z, L, EA, w, friction, pull, H, V, lies) => {
    const seabed: Seabed = { slopeDeg: 0, friction };
    const got = solved(catenaryAtReach(z, onePart(L, w, EA), x, seabed));
    near(got.loadN, H, 1e-5);
    near(got.rollerVerticalN, V, 1e-5);
    near(got.groundedM, lies, 1e-5);
    if (pull === 0) expect(got.anchorTensionN).toBe(0);
    else near(got.anchorTensionN, pull, 1e-5);
  });

  test("drawn nearly taut, stretched beyond its own length", () => {
    const [x, z, L] = [246.22420940032947, 263.55766330843164, 360.6256626239693];
    const got = solved(catenaryAtReach(z, onePart(L, 3.08735, 7e8), x));
    near(got.loadN, 71116.8, 1e-5);
    near(got.liftN, 75567.3, 1e-5);
    near(got.rollerVerticalN, 76680.6, 1e-5);
    expect(got.groundedM).toBe(0);
  });

  // Lines that hang below their lower end: no anchor's case (there is a bottom), but it holds the formulas to them
  test.each([
    [400, 200, 500, 7.51e12, 200, 43694.580989249596, -22365.599350216216],
    [89.9, 59.2, 130, 7.51e8, 881.05, 31373.229006023103, -26650.341270116318],
  ])("hanging free, x %d z %d L %d EA %d w %d", (x, z, L, EA, w, H, lift) => {
    const line = part(L, w, EA);
    near(spanM(line, L, H, lift), x, 1e-5);
    near(riseM(line, L, H, lift), z, 1e-5);
  });

  // Pull falls by friction × w a metre from the touchdown; the stretch of what lies is its integral over EA
  test("friction takes the pull, and with it the stretch, out of what lies", () => {
    const [H, w, EA, friction] = [900, 12, 2e4, 0.8];
    const line = onePart(60, w, EA);
    const held = solved(solveCatenary(8, line, H, { slopeDeg: 0, friction }));
    const free = solved(solveCatenary(8, line, H));
    let lostM = 0;
    for (let i = 0; i < 1e4; i++) {
      const fromTouchdownM = (held.groundedM * (i + 0.5)) / 1e4;
      lostM += (Math.min(H, friction * w * fromTouchdownM) / EA) * (held.groundedM / 1e4);
    }
    expect(held.groundedM).toBe(free.groundedM);
    expect(free.reachM - held.reachM).toBeCloseTo(lostM, 6);
    expect(held.anchorTensionN).toBeCloseTo(H - friction * w * held.groundedM, 8);
  });

  test("half of a symmetric line, and the same scaled down to a yacht", () => {
    const half = solved(catenaryAtReach(20, onePart(65, 100, 1e12), 50));
    near(half.loadN, 263.19523, 1e-6);
    near(half.rollerVerticalN, 2247.83917, 1e-6);
    near(half.groundedM, 42.521608, 1e-6);
    const yacht = solved(catenaryAtReach(10, onePart(25, 12), 20));
    near(yacht.loadN, 72.48261, 1e-6);
    near(yacht.rollerVerticalN, 178.31384, 1e-6);
    near(yacht.groundedM, 10.140513, 1e-6);
  });
});

// The one-part formulas applied to chain and rope in turn, V and H continuous at the splice (computed, not published).
describe("chain and rope", () => {
  const stiff = (chainM: number, ropeM: number) => twoPart(part(chainM, 12), part(ropeM, 0.15));
  const elastic = (chainM: number, ropeM: number) => twoPart(part(chainM, 12, 20e6), part(ropeM, 0.15, 50e3));
  test.each([
    // H, line, Va, grounded, pull, reach, T
    [1000, "stiff", stiff(20, 30), 0, 2.5856, 0, 49.228026, 1022.5315],
    [1000, "elastic", elastic(20, 30), 0, 2.817062, 0, 49.850248, 1021.9552],
    [3000, "stiff", stiff(20, 30), 293.32486, 0, 5.584342, 49.341011, 3047.828],
    [3000, "elastic", elastic(20, 30), 273.99081, 0, 5.218362, 51.193243, 3044.4758],
    [6000, "stiff", stiff(10, 40), 862.16301, 0, 8.177077, 49.355263, 6080.8278],
    [6000, "elastic", elastic(10, 40), 772.98687, 0, 7.341045, 54.269174, 6066.9743],
  ] as const)("H %d N, %s", (loadN, _name, line, lift, lies, pull, reach, top) => {
    const got = solved(solveCatenary(8, line, loadN));
    expect(got.liftN).toBeCloseTo(lift, 4);
    expect(got.groundedM).toBeCloseTo(lies, 5);
    expect(got.pullDeg).toBeCloseTo(pull, 5);
    expect(got.reachM).toBeCloseTo(reach, 5);
    expect(got.rollerTensionN).toBeCloseTo(top, 3);
  });

  test("one material cut in two is the same line", () => {
    const whole = solved(solveCatenary(8, onePart(40, 12, 1e6), 2500));
    const cut = solved(solveCatenary(8, twoPart(part(13, 12, 1e6), part(27, 12, 1e6)), 2500));
    expect(cut.reachM).toBeCloseTo(whole.reachM, 9);
    expect(cut.pullDeg).toBeCloseTo(whole.pullDeg, 9);
  });
});

describe("the ends of the range", () => {
  const rode = twoPart(part(8, 12, 5e6), part(60, 0.1, 60e3));

  test("no load: the rode hangs straight down, the rest lies, and that is the slack limit", () => {
    const got = solved(solveCatenary(6, rode, 0));
    // 6 m hang, a hair less for their own weight's stretch
    expect(got.groundedM).toBeCloseTo(62, 3);
    expect(got.groundedRopeM).toBeCloseTo(54, 3);
    expect(got.reachM).toBe(got.groundedM);
    expect(got.rollerTensionN).toBeCloseTo(0.6, 3);
    expect(got.pullDeg).toBe(0);
  });

  test("inside the slack limit the boat lies above the heap and pulls nothing", () => {
    const got = solved(catenaryAtReach(6, rode, 20));
    expect(got.loadN).toBe(0);
    expect(got.reachM).toBeCloseTo(62, 3);
  });

  test("no reach beyond the taut line when it cannot stretch", () => {
    const stiff = onePart(30, 12);
    const answer = catenaryAtReach(10, stiff, Math.sqrt(30 ** 2 - 10 ** 2) + 0.001);
    expect(answer).toEqual({ ok: false, reason: "beyond-reach" });
    expect(solved(catenaryAtReach(10, stiff, Math.sqrt(30 ** 2 - 10 ** 2) - 0.001)).loadN).toBeGreaterThan(
      1e4,
    );
  });

  test("a rode that does not reach the bottom says so", () => {
    expect(solveCatenary(70, rode, 500)).toEqual({ ok: false, reason: "rode-shorter-than-height" });
    expect(solveCatenary(68, rode, 0)).toEqual({ ok: false, reason: "rode-shorter-than-height" });
    expect(solveCatenary(5, twoPart(NO_PART, NO_PART), 500)).toEqual({ ok: false, reason: "no-rode" });
  });

  test.each([
    [Number.NaN, 500],
    [-1, 500],
    [6, Number.NaN],
    [6, -1],
    [6, Number.POSITIVE_INFINITY],
  ])("height %d, load %d is refused", (heightM, loadN) => {
    expect(solveCatenary(heightM, rode, loadN)).toEqual({ ok: false, reason: "bad-input" });
  });

  test("all chain, all rope", () => {
    const allRope = solved(solveCatenary(6, twoPart(NO_PART, part(40, 0.1, 60e3)), 900));
    expect(allRope.pullDeg).toBeGreaterThan(8);
    const allChain = solved(solveCatenary(6, onePart(40, 12, 5e6), 900));
    expect(allChain.pullDeg).toBe(0);
    expect(allChain.groundedM).toBeGreaterThan(5);
  });
});

describe("a sloping bottom", () => {
  const chain = onePart(40, 12, 5e6);

  test("no slope is the level bottom", () => {
    expect(solveCatenary(8, chain, 900, { slopeDeg: 0, friction: 0 })).toEqual(solveCatenary(8, chain, 900));
  });

  test("lifted clear the slope changes only how the pull angle is counted", () => {
    const level = solved(solveCatenary(8, chain, 6000));
    const rising = solved(solveCatenary(8, chain, 6000, { slopeDeg: 3, friction: 0 }));
    expect(level.pullDeg).toBeGreaterThan(3);
    expect(rising.reachM).toBeCloseTo(level.reachM, 8);
    expect(rising.pullDeg).toBeCloseTo(level.pullDeg - 3, 8);
  });

  test("lying, the line leaves the slope as a tangent: closed form from the touchdown", () => {
    // Measured from the touchdown the height is (H/w)(cosh-form) with foot slope tan β: walk it by hand
    const [H, w, L, h] = [900, 12, 40, 8];
    const beta = (4 * Math.PI) / 180;
    const got = solved(solveCatenary(h, onePart(L, w), H, { slopeDeg: 4, friction: 0 }));
    const foot = Math.tan(beta);
    const hanging = L - got.groundedM;
    const top = foot + (w * hanging) / H;
    const rise = (H / w) * (Math.sqrt(1 + top * top) - Math.sqrt(1 + foot * foot));
    expect(got.groundedM).toBeGreaterThan(1);
    expect(got.pullDeg).toBe(0);
    expect(rise + got.groundedM * Math.sin(beta)).toBeCloseTo(h, 8);
    const span = (H / w) * (Math.asinh(top) - Math.asinh(foot));
    expect(span + got.groundedM * Math.cos(beta)).toBeCloseTo(got.reachM, 8);
    // The chain's weight down the slope takes its part of the pull
    expect(got.anchorTensionN).toBeCloseTo(H / Math.cos(beta) - w * Math.sin(beta) * got.groundedM, 8);
  });

  test("where the bottom falls away towards the boat less chain lies, where it rises more", () => {
    const falls = solved(solveCatenary(8, chain, 900, { slopeDeg: -4, friction: 0 }));
    const level = solved(solveCatenary(8, chain, 900));
    const rises = solved(solveCatenary(8, chain, 900, { slopeDeg: 4, friction: 0 }));
    expect(falls.groundedM).toBeLessThan(level.groundedM);
    expect(level.groundedM).toBeLessThan(rises.groundedM);
  });

  test("a bottom that comes up to the roller is refused", () => {
    const answer = solveCatenary(3, chain, 900, { slopeDeg: 10, friction: 0 });
    expect(answer).toEqual({ ok: false, reason: "bottom-above-roller" });
  });
});
