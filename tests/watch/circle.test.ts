import { describe, expect, test } from "vitest";
import { circleNow, HARD_WANDER_M, UNLEARNT_WANDER_M } from "../../src/watch/circle.ts";
import { heightsNow } from "../../src/watch/ground.ts";
import type { WatchSettings } from "../../src/watch/settings.ts";
import { pictured, seen, stateAfter, WATCH, watchOf } from "./aboard.ts";

/** A rode that does not stretch: the geometry alone. */
const RIGID: WatchSettings = {
  ...WATCH,
  rode: {
    chainM: 68,
    chainDiameterM: 0.008,
    ropeM: 0,
    ropeDiameterM: undefined,
    ropeKind: undefined,
  },
};

function circleOf(
  acts: readonly string[],
  {
    depthM = 5,
    settings = RIGID,
    wanderM = UNLEARNT_WANDER_M,
    gustMps = undefined as number | undefined,
  } = {},
) {
  const state = { ...stateAfter("LETGO", ...acts), greatestGustMps: gustMps };
  const picture = pictured(60, { ...seen.fix(60, -30), ...seen.depth(60, depthM) });
  return circleNow(state, picture, heightsNow(state.stay, picture, settings), settings, wanderM);
}

// US Navy Quartermaster manual (NAVEDTRA 14221): drag circle = hawsepipe to pelorus + chain out. Ours takes the
// horizontal reach for the length: 35 m out, 8 m high, 9 m to the antenna: √(35² − 8²) + 9 = 43.073, below its 44.
test("35 m out, 8 m high, antenna 9 m abaft: 43.073 m and the margins", () => {
  const boat = { ...WATCH.boat, rollerToAntennaM: 9, rollerHeightM: 3 };
  const circle = circleOf(["RODE,35.0,M"], { settings: { ...RIGID, boat } });
  expect((circle?.radiusM ?? 0) - 15 - UNLEARNT_WANDER_M).toBeCloseTo(43.073, 1);
  expect((circle?.radiusM ?? 0) - 15 - UNLEARNT_WANDER_M).toBeGreaterThanOrEqual(43.073);
  expect((circle?.radiusM ?? 0) - 15 - UNLEARNT_WANDER_M).toBeLessThan(44);
});

describe("the circle", () => {
  test("margin: as set, or 5 % of the rode", () => {
    expect(circleOf(["RODE,35.0,M"])?.marginM).toBe(15);
    const long = { ...RIGID, rode: RIGID.rode && { ...RIGID.rode, chainM: 400 } };
    expect(circleOf([], { settings: long })?.marginM).toBe(20);
  });

  test("a rode neither told nor counted: the whole rode aboard, and it says so", () => {
    expect(circleOf([])).toMatchObject({ rodeM: 68, rodeAssumed: true });
    expect(circleOf(["RODE,35.0,M"])).toMatchObject({ rodeM: 35, rodeAssumed: false });
  });

  test("unknown rode aboard and none told: no circle", () => {
    const settings = { ...RIGID, rode: undefined };
    expect(circleOf([], { settings })).toBeUndefined();
    expect(circleOf(["RODE,35.0,M"], { settings })?.rodeM).toBe(35);
  });

  test("goes by today's depth, the smaller of anchor and boat, and by none where none is known", () => {
    const reachM = (depthM: number) => Math.sqrt(35 ** 2 - (depthM + 1.1) ** 2);
    const at = (depthM: number) => circleOf(["RODE,35.0,M"], { depthM })?.radiusM ?? 0;
    // Let go in 5 m: shoaler water under the boat widens it, deeper water does not narrow it.
    expect(at(2) - at(5)).toBeCloseTo(reachM(2) - reachM(5), 2);
    expect(at(9)).toBeCloseTo(at(5), 9);
    const state = stateAfter("LETGO", "RODE,35.0,M");
    const bare = {
      ...state,
      stay: { ...state.stay, anchor: state.stay.anchor && { ...state.stay.anchor, depthM: undefined } },
    };
    const heights = heightsNow(bare.stay, pictured(60), RIGID);
    expect(heights).toMatchObject({ forCircleM: 0, forScopeM: undefined });
    expect(circleNow(bare, pictured(60), heights, RIGID)?.radiusM).toBeCloseTo(35 + 6 + 30, 0);
  });

  test("stretches with the hardest gust so far", () => {
    const stretched = (gustMps: number | undefined) =>
      circleOf(["RODE,60.0,M"], { settings: WATCH, gustMps })?.radiusM ?? 0;
    expect(stretched(20)).toBeGreaterThan(stretched(10));
    expect(stretched(0)).toBeCloseTo(Math.sqrt(60 ** 2 - 6.1 ** 2) + 6 + 30, 6);
    // None measured yet: 28 kn is assumed.
    expect(stretched(undefined)).toBeGreaterThan(stretched(10));
  });

  test("of a rode whose make is not known: 5 %", () => {
    const rode = WATCH.rode && { ...WATCH.rode, ropeDiameterM: undefined };
    const circle = circleOf(["RODE,60.0,M"], { settings: { ...WATCH, rode }, gustMps: 0 });
    expect(circle?.radiusM).toBeCloseTo(Math.sqrt(63 ** 2 - 6.1 ** 2) + 36, 6);
  });

  test("range and bearing are from the antenna to the anchor, and absent without a fix", () => {
    expect(circleOf([])?.rangeM).toBeCloseTo(36, 2);
    expect(circleOf([])?.bearingDeg).toBeCloseTo(0, 3);
    const state = stateAfter("LETGO");
    const blind = circleNow(state, pictured(60), heightsNow(state.stay, pictured(60), WATCH), WATCH);
    expect([blind?.rangeM, blind?.bearingDeg]).toEqual([undefined, undefined]);
    expect(blind?.radiusM).toBeGreaterThan(60);
  });

  test("less rode than water: no reach, and no nonsense", () => {
    expect(circleOf(["RODE,3.0,M"])?.radiusM).toBeCloseTo(36, 0);
    expect(circleOf(["RODE,0,M"])?.radiusM).toBeCloseTo(36, 6);
  });

  test("the hard circle is wider by what may be learnt at most, and nothing else", () => {
    const soft = circleOf(["RODE,35.0,M"])?.radiusM ?? 0;
    const hard = circleOf(["RODE,35.0,M"], { wanderM: HARD_WANDER_M })?.radiusM ?? 0;
    expect(hard - soft).toBeCloseTo(HARD_WANDER_M - UNLEARNT_WANDER_M, 9);
  });
});

describe("the hardest gust so far is this stay's", () => {
  test("it grows with the wind, and not with one that has died away", () => {
    const watch = watchOf(stateAfter("LETGO"));
    watch.second(1, seen.wind(1, 15, 22));
    watch.second(2, seen.wind(2, 10, 12));
    expect(watch.state.greatestGustMps).toBeCloseTo((22 * 1852) / 3600, 6);
  });

  test("a gale of the stay before does not widen the next one's circle", () => {
    const watch = watchOf(stateAfter("LETGO"));
    watch.second(1, seen.wind(1, 40, 55), seen.fix(1, 0));
    watch.act(2, "AWEIGH").second(3, seen.wind(3, 5, 8), seen.fix(3, 0));
    watch.act(4, "LETGO", seen.fix(4, 0), seen.heading(4, 0)).second(5, seen.wind(5, 5, 8), seen.fix(5, 0));
    expect(watch.state.greatestGustMps).toBeCloseTo((8 * 1852) / 3600, 6);
  });
});
