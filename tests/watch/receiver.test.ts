import { describe, expect, it } from "vitest";
import { placedAnew } from "../../src/watch/hold.ts";
import { fixSdM, receiverFor, receiverNow, unknownReceiver } from "../../src/watch/receiver.ts";
import { step } from "../../src/watch/step.ts";
import { noVelocity } from "../../src/watch/velocity-worth.ts";
import { pictures, riding, SETTINGS, STILL } from "./drag-night.ts";

/** A receiver watched for a night that wanders so much, one sigma. */
function known(source: string, sdM: number) {
  const profile = unknownReceiver(source);
  profile.spread.variance = profile.spread.variance.map(() => sdM * sdM);
  profile.spread.weightS = 6 * 3600;
  return profile;
}

describe("what is known of a receiver", () => {
  it("is said in words, and that it is not known yet", () => {
    expect(receiverNow(unknownReceiver("bus/GP")).words).toMatch(/not known yet/);
    const now = receiverNow(known("bus/GP", 5.7));
    expect(now.learnt).toBe(true);
    expect(now.words).toMatch(/^This receiver wanders 14 m: expect to hear of a drag after about 4\d m\.$/);
  });

  it("is taken from a former night for the same source only", () => {
    const prior = { ...known("bus/GP", 1), nights: 3 };
    const own = receiverFor([], "bus/GP", prior);
    expect(own.spread.variance[0]).toBe(1);
    expect(own.nights).toBe(4);
    expect(own.spread.weightS).toBeLessThan(6 * 3600);
    expect(receiverFor([], "bus/GN", prior)).toEqual(unknownReceiver("bus/GN"));
  });

  it("is kept of a few sources, not of as many as a wire can invent", () => {
    const kept = [] as ReturnType<typeof unknownReceiver>[];
    for (let i = 0; i < 20; i++) receiverFor(kept, `bus/${i}`, undefined);
    expect(kept.map(({ source }) => source)).toEqual(["bus/16", "bus/17", "bus/18", "bus/19"]);
  });

  it("draws the circle as close as its wander allows", () => {
    const radiusWith = (sdM: number) => {
      const state = riding();
      state.drag.receivers = [known("bus/GP", sdM)];
      const [picture] = pictures(STILL, 1);
      if (picture === undefined) throw new Error("no picture");
      return step(state, picture, SETTINGS).figures.circle?.radiusM ?? 0;
    };
    expect(radiusWith(5) - radiusWith(1)).toBeCloseTo(8 * 4, 6);
    expect(radiusWith(50) - radiusWith(7.5)).toBeCloseTo(0, 6);
  });

  it("draws the circle wider after a circle alarm that the operator calls mistaken, and never too wide", () => {
    const state = riding();
    const [picture] = pictures(STILL, 1);
    const anchor = state.stay.anchor?.position;
    if (picture === undefined || anchor === undefined) throw new Error("no picture");
    const first = step(state, picture, SETTINGS);
    const radiusAfter = (beyondM: number | undefined, at = anchor) => {
      const drag = placedAnew(structuredClone(first.state.drag), at, beyondM);
      return step({ ...first.state, drag }, picture, SETTINGS).figures.circle?.radiusM ?? 0;
    };
    const radiusM = first.figures.circle?.radiusM ?? 0;
    expect(radiusAfter(undefined)).toBe(radiusM);
    expect(radiusAfter(20)).toBeCloseTo(radiusM + 10, 6);
    expect(radiusAfter(55)).toBeCloseTo(radiusM + 45, 6);
    // A jump, not wander: believed, it would leave the circle wide for weeks of nights.
    expect(radiusAfter(500)).toBe(radiusM);
    expect(radiusAfter(20, { latDeg: anchor.latDeg + 0.001, lonDeg: anchor.lonDeg })).toBe(radiusM);
  });

  it("takes a living velocity's word for the wander of a fix, never more than how she lies", () => {
    const profile = known("bus/GP", 2);
    expect(fixSdM(profile)).toBe(2);
    expect(fixSdM(unknownReceiver("bus/GP"))).toBeUndefined();
    const pairs = { count: 50, wayWay: 100, wayGone: 100, goneGone: 110 };
    const alive = { ...noVelocity(), seconds: 4000, moving: 4000, leastMps: 0.01, pairs, astrayS: 4000 };
    expect(fixSdM({ ...profile, velocity: { ...alive, astrayVar: 1 } })).toBe(1.5);
    expect(fixSdM({ ...profile, velocity: { ...alive, astrayVar: 25 } })).toBe(2);
    expect(fixSdM({ ...unknownReceiver("bus/GP"), velocity: { ...alive, astrayVar: 1 } })).toBe(1.5);
    expect(fixSdM({ ...unknownReceiver("bus/GP"), velocity: { ...alive, astrayS: 900 } })).toBeUndefined();
  });

  it("learns how far a receiver strays from an alarm that the operator calls mistaken", () => {
    let state = riding();
    for (const picture of pictures({ ...STILL, draggedM: (s) => (s < 900 ? 0 : 25) }, 1300))
      state = step(state, picture, SETTINGS).state;
    const anchor = state.stay.anchor?.position;
    if (anchor === undefined) throw new Error("no anchor");
    expect(state.drag.hold?.tier.alarm).toBeDefined();
    const elsewhere = { latDeg: anchor.latDeg + 0.001, lonDeg: anchor.lonDeg };
    expect(placedAnew(structuredClone(state.drag), elsewhere, undefined).receivers[0]?.spread.strayM).toBe(0);
    expect(placedAnew(state.drag, anchor, undefined).receivers[0]?.spread.strayM).toBeGreaterThan(20);
  });
});
