import { describe, expect, test } from "vitest";
import { type FixState, judgeFix, NO_FIXES } from "../../src/instruments/fixes.ts";
import { lengthOf, type Vector } from "../../src/units/angle.ts";
import { moved, offsetM } from "../../src/units/position.ts";
import { ANCHORAGE } from "./aboard.ts";

interface Track {
  state: FixState;
  /** Metres north and east of the anchorage of the accepted fix. */
  accepted(): Vector;
  fix(atS: number, north: number, east?: number, sogMps?: number): Track;
}

function track(): Track {
  const one: Track = {
    state: NO_FIXES,
    accepted: () => offsetM(ANCHORAGE, one.state.accepted?.position ?? ANCHORAGE),
    fix(atS, north, east = 0, sogMps = 0) {
      const position = moved(ANCHORAGE, { north, east });
      one.state = judgeFix(one.state, { position, atMs: atS * 1000, source: "bus/GP" }, sogMps);
      return one;
    },
  };
  return one;
}

/** Lying still at the anchorage for a minute. */
function lying(): Track {
  const still = track();
  for (let s = 0; s <= 60; s++) still.fix(s, 0);
  return still;
}

const isHeldBack = ({ state }: Track): boolean => state.held !== undefined;

test("the first fix is taken; an accepted fix is the receiver's own, never smoothed", () => {
  const one = track().fix(0, 3.25, -7.5);
  expect(one.accepted().north).toBeCloseTo(3.25, 6);
  expect(one.accepted().east).toBeCloseTo(-7.5, 6);
});

// Recorded at Geneva: fixes 515 km off, sent as valid at 65 kn by a receiver that searches.
test("fixes 515 km off at 65 kn are held back, for as long as they come", () => {
  const one = lying();
  for (let s = 61; s <= 600; s++) one.fix(s, 515_000, 0, 33.4);
  expect(lengthOf(one.accepted())).toBeLessThan(1);
  expect(one.state.accepted?.atMs).toBe(60_000);
  expect(isHeldBack(one.fix(601, 2))).toBe(false);
  expect(one.accepted().north).toBeCloseTo(2, 6);
});

describe("jumps", () => {
  // Recorded: 147 m and 318 m by consumer receivers at rest.
  test.each([
    [147, 40],
    [318, 40],
    [147, 60],
    [100, 60],
    [318, 170],
  ])("of %d m for %d s: never accepted, and the right fix is taken again at once", (metres, seconds) => {
    const one = lying();
    for (let s = 61; s < 61 + seconds; s++) {
      one.fix(s, metres * 0.6, metres * 0.8);
      expect(isHeldBack(one), `second ${s}`).toBe(true);
      expect(lengthOf(one.accepted())).toBeLessThan(1);
    }
    one.fix(61 + seconds, 1);
    expect(isHeldBack(one)).toBe(false);
    expect(one.state.newLevelMs).toBeUndefined();
    expect(one.accepted().north).toBeCloseTo(1, 6);
  });

  test("to and fro each second: nothing false is taken", () => {
    const one = lying();
    for (let s = 61; s < 160; s++) {
      one.fix(s, s % 2 === 0 ? 0 : 147);
      expect(lengthOf(one.accepted())).toBeLessThan(1);
    }
  });

  test.each([500, 2000, 50_000])("of %d m that persists: a new level after 180 s", (metres) => {
    const one = lying();
    for (let s = 61; s < 61 + 180; s++) expect(isHeldBack(one.fix(s, metres))).toBe(true);
    one.fix(61 + 180, metres);
    expect(one.accepted().north).toBeCloseTo(metres, 0);
    expect(one.state.newLevelMs).toBe((61 + 180) * 1000);
  });

  test("of 147 m that persists: taken within 180 s, and as a new level", () => {
    const one = lying();
    let takenS: number | undefined;
    for (let s = 61; s <= 61 + 180; s++) if (!isHeldBack(one.fix(s, 147))) takenS ??= s;
    expect(takenS).toBeGreaterThan(61 + 60);
    expect(one.state.newLevelMs).toBe((takenS ?? 0) * 1000);
  });

  test("a step of 25 m, as a receiver makes it on changing satellites, costs seconds only", () => {
    const one = lying();
    for (let s = 61; s <= 70; s++) one.fix(s, 25);
    expect(one.accepted().north).toBeCloseTo(25, 6);
  });
});

describe("a boat adrift is never held back", () => {
  test.each([
    [3, 1, 0],
    [3, 1, 3],
    [3, 5, 0],
    [2, 20, 0],
  ])("at %d m/s, a fix every %d s, speed told %d m/s", (mps, everyS, sogMps) => {
    const one = lying();
    for (let s = 60 + everyS; s <= 660; s += everyS) {
      one.fix(s, mps * (s - 60), 0, sogMps);
      expect(isHeldBack(one), `second ${s}`).toBe(false);
    }
  });

  test("at 3 m/s, silent about its speed, after a minute without a fix: taken within 10 s", () => {
    const one = lying();
    const north = (s: number) => 3 * (s - 60);
    for (let s = 120; s <= 130; s++) one.fix(s, north(s));
    expect(isHeldBack(one)).toBe(false);
    expect(one.accepted().north).toBeCloseTo(north(130), 3);
  });

  test("at 3 m/s while a jump of 147 m hides her for 40 s: taken within 10 s of its end", () => {
    const one = lying();
    for (let s = 61; s <= 100; s++) one.fix(s, 0, 3 * (s - 60) + 147);
    for (let s = 101; s <= 111; s++) one.fix(s, 0, -3 * (s - 60));
    expect(one.accepted().east).toBeCloseTo(-3 * 51, 3);
  });

  test("under way at 20 kn", () => {
    const one = lying();
    for (let s = 61; s <= 200; s++)
      expect(isHeldBack(one.fix(s, 10.3 * (s - 60), 0, s < 70 ? 0 : 10.3))).toBe(false);
  });
});

test("speed beyond 60 kn condemns the very first fix too", () => {
  const one = track().fix(0, 0, 0, 40);
  expect(one.state.accepted).toBeUndefined();
  expect(one.fix(1, 0, 0, 0).state.accepted?.atMs).toBe(1000);
});

test("fixes held back are counted", () => {
  const one = lying();
  for (let s = 61; s <= 70; s++) one.fix(s, 147);
  expect(one.fix(71, 0).state.heldCount).toBe(10);
  expect(lengthOf(one.accepted())).toBeLessThan(0.001);
});
