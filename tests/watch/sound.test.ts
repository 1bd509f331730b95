import { describe, expect, test } from "vitest";
import { resume, savedFrom } from "../../src/core.ts";
import { isSound } from "../../src/watch/sound.ts";
import { UNDER_WAY } from "../../src/watch/state.ts";
import { EVENING_MS } from "../instruments/aboard.ts";
import { WATCH } from "./aboard.ts";
import { CORE, lying, nightOf } from "./night.ts";

const UNDONE = {
  stay: UNDER_WAY,
  windTold: undefined,
  journal: undefined,
  drag: undefined,
  atMs: EVENING_MS,
};

/**
 * So little rode at first that height leaves it no reach, and the fix right where the anchor was marked; then all
 * of it, and she lies back.
 */
function straightDown(rodeM: number, rollerToAntennaM: number | undefined) {
  const night = nightOf({ boat: { ...WATCH.boat, rollerToAntennaM } });
  const still = (at: ReturnType<typeof night.at>) => void at.fix(0).depth(4.6).wind(2).heading(0);
  night.each(1, 10, still);
  night
    .at(10)
    .act("LETGO")
    .act(`RODE,${rodeM.toFixed(1)},M`);
  night.each(11, 422, still);
  still(night.at(423));
  night.at(423).act("RODE,35.0,M");
  night.each(424, 1500, (at, s) => lying(at, Math.min(33, (s - 423) / 2)));
  return night;
}

describe("a rode shorter than the roller is high, and the fix right over the anchor", () => {
  test.each([
    [5, undefined],
    [3, undefined],
    [5.5, 0],
    [5, 0.5],
  ])("%d m told, antenna %s m abaft: the circle stands and a boat that leaves is told", (rodeM, antennaM) => {
    const night = straightDown(rodeM, antennaM);
    expect(isSound(night.core.watch)).toBe(true);
    expect(night.core.last.figures.circle?.radiusM).toBeGreaterThan(35);
    night.each(1501, 1700, (at, s) => lying(at, 33 + (s - 1500)));
    expect(night.raisedAt("outside-circle", "alarm")).toBeLessThan(1600);
    expect(night.raisedAt("dragging", "alarm")).toBeLessThan(1600);
  });
});

describe("state that was spoilt", () => {
  test("whole state is as sound written out and read again as before", () => {
    const { core } = straightDown(20, undefined);
    expect(isSound(JSON.parse(JSON.stringify(savedFrom(core))))).toBe(true);
  });

  test("is begun anew where it was spoilt: the anchor stays, the receiver is a stranger again", () => {
    const night = straightDown(20, undefined);
    const { drag } = night.core.watch;
    const [profile] = drag.receivers;
    if (drag.hold === undefined || profile === undefined) throw new Error("no hold");
    drag.hold.fit.state[1] = Number.NaN;
    profile.spread.variance[3] = Number.NaN;
    drag.depthM = Number.NaN;
    night.core.watch.undo = { ...(night.core.watch.undo ?? UNDONE), drag: structuredClone(drag) };
    const saved = JSON.parse(JSON.stringify(savedFrom(night.core)));
    night.core = resume(saved, CORE, night.core.atMs);
    expect(isSound(night.core.watch.undo)).toBe(true);
    night.each(1501, 1600, (at) => lying(at, 33));
    expect(isSound(night.core.watch)).toBe(true);
    expect(night.core.watch.stay.phase).toBe("riding");
    night.each(1601, 1800, (at, s) => lying(at, 33 + (s - 1600)));
    expect(night.raisedAt("outside-circle", "alarm")).toBeLessThan(1720);
  });

  test.each([
    [{ a: 1, b: [1, { c: undefined }], d: "", e: true }, true],
    [{ a: [1, Number.NaN] }, false],
    [{ a: { b: Number.POSITIVE_INFINITY } }, false],
    [[null], false],
  ])("%o: %s", (value, sound) => expect(isSound(value)).toBe(sound));
});
