import { describe, expect, it } from "vitest";
import { moved } from "../../src/units/position.ts";
import { act } from "../../src/watch/acts.ts";
import { HARD_WANDER_M } from "../../src/watch/circle.ts";
import { unknownReceiver } from "../../src/watch/receiver.ts";
import { step } from "../../src/watch/step.ts";
import { type Course, pictures, riding, SETTINGS, START_MS, STILL, watch } from "./drag-night.ts";

/** Long enough for the receiver and the lie to be learnt a little. */
const LAIN_S = 2400;

/** Begins to drag so many seconds in, at so many metres a minute, for so many metres. */
function dragging(fromS: number, mPerMin: number, mostM = 1000): Course {
  return { ...STILL, draggedM: (s) => Math.min(mostM, Math.max(0, ((s - fromS) * mPerMin) / 60)) };
}

describe("an anchor that holds", () => {
  it("is not called dragging, nor moved", () => {
    const { firstS, last } = watch(STILL, 2.5 * LAIN_S);
    expect(firstS).toEqual({ warning: undefined, alarm: undefined });
    const { movedM, movedSdM } = last.figures.drag;
    expect(Math.abs(movedM ?? Number.NaN)).toBeLessThan(3 * (movedSdM ?? 0));
  });
});

describe("an anchor that drags", () => {
  it.each([2, 4, 10, 30])("at %d m/min is told, with what it has moved", (mPerMin) => {
    const fromS = LAIN_S;
    const { firstS, last } = watch(dragging(fromS, mPerMin, 30), 2.2 * LAIN_S);
    const alarmS = firstS.alarm ?? Number.POSITIVE_INFINITY;
    expect(alarmS).toBeGreaterThan(fromS);
    expect(((alarmS - fromS) * mPerMin) / 60).toBeLessThan(16 + mPerMin / 2);
    const { drag } = last.figures;
    expect(Math.abs((drag.movedM ?? 0) - 30)).toBeLessThan(3 * (drag.movedSdM ?? 0));
    expect(Math.abs((drag.movedTowardDeg ?? 0) - 40)).toBeLessThan(12);
    expect(((drag.sinceMs ?? 0) - START_MS) / 1000).toBeGreaterThan(fromS - 1300);
    expect(((drag.sinceMs ?? 0) - START_MS) / 1000).toBeLessThan(alarmS);
    const found = last.findings.find(({ key }) => key === "dragging");
    // It has held again for a while: an alarm is answered, it does not go away.
    expect(found?.priority).toBe("alarm");
    expect(found?.amount).toBeCloseTo(drag.movedM ?? 0, 6);
    expect(found?.text).toMatch(/^Moved \d+ \+-\d+ m toward 0\d\d since 2[01]:\d\d$/);
    expect(found?.text.length).toBeLessThanOrEqual(43);
  });

  it("teaches the fit nothing of where it went", () => {
    const { last } = watch(dragging(LAIN_S, 2, 40), 3.5 * LAIN_S);
    expect(last.figures.drag.movedM).toBeGreaterThan(33);
  });

  it.each([
    ["no wind", { wind: undefined, windMean: undefined }],
    ["no heading", { headingDeg: undefined }],
    ["no depth", { depth: undefined }],
    ["none of them", { wind: undefined, windMean: undefined, headingDeg: undefined, depth: undefined }],
  ])("is told with %s too", (_, missing) => {
    const course = dragging(LAIN_S, 4);
    const { firstS } = watch({ ...course, change: (picture) => ({ ...picture, ...missing }) }, 1.4 * LAIN_S);
    expect(firstS.alarm).toBeGreaterThan(LAIN_S);
    expect(firstS.alarm).toBeLessThan(LAIN_S + 420);
  });

  it("is not silenced by a velocity that says nothing when slow", () => {
    const at = (sogMps: number, cogDeg: number | undefined) => ({
      ...dragging(LAIN_S, 4),
      change: (picture: Parameters<Course["change"]>[0]) => ({
        ...picture,
        motion: { value: { sogMps, cogDeg }, source: "bus/GP", atMs: picture.atMs },
      }),
    });
    const without = watch(dragging(LAIN_S, 4), 1.4 * LAIN_S).firstS.alarm ?? 0;
    for (const course of [at(0, undefined), at(0, 0), at(0.2, undefined)])
      expect(watch(course, 1.4 * LAIN_S).firstS.alarm).toBeLessThan(without + 60);
  });
});

describe("what must not matter", () => {
  const told = watch(dragging(LAIN_S, 4), 1.2 * LAIN_S).firstS;

  it.each([100, 307])("turning the whole night to a wind from %d", (windFromDeg) => {
    const { firstS } = watch({ ...dragging(LAIN_S, 4), windFromDeg }, 1.2 * LAIN_S);
    // The plane is not quite square with the ellipsoid: one test later or earlier.
    expect(Math.abs((firstS.alarm ?? 0) - (told.alarm ?? 0))).toBeLessThanOrEqual(5);
  });

  it("mirroring it", () => {
    const { firstS } = watch({ ...dragging(LAIN_S, 4), windFromDeg: -220, mirror: -1 }, 1.2 * LAIN_S);
    expect(Math.abs((firstS.alarm ?? 0) - (told.alarm ?? 0))).toBeLessThanOrEqual(5);
  });

  it("saving and restoring: the same findings, second by second", () => {
    let kept = riding();
    let restored = riding();
    let second = 0;
    for (const picture of pictures(dragging(1500, 8), 2100)) {
      second++;
      const a = step(kept, picture, SETTINGS);
      const b = step(restored, picture, SETTINGS);
      expect(b.findings).toEqual(a.findings);
      kept = a.state;
      restored = second % 97 === 0 ? JSON.parse(JSON.stringify(b.state)) : b.state;
    }
    expect(kept.drag.hold?.tier.alarm).toBeDefined();
  });

  it("the length of the night, for what is kept", () => {
    const size = (hours: number) => JSON.stringify(watch(STILL, hours * 3600).state.drag).length;
    const long = size(3);
    expect(long).toBeLessThan(60_000);
    expect(long).toBeLessThan(1.2 * size(2.2));
  });
});

describe("answers", () => {
  const alarmed = watch(dragging(1200, 10, 40), 1600).state;
  const here = () => {
    const state = structuredClone(alarmed);
    const [picture] = pictures({ ...STILL, draggedM: () => 40 }, 1);
    if (picture === undefined) throw new Error("no picture");
    return { state, picture: { ...picture, atMs: START_MS + 1601_000 } };
  };

  it.each([
    ["BROUGHTUP", { verb: "BROUGHTUP" as const }],
    ["AWEIGH", { verb: "AWEIGH" as const }],
    ["SLIP", { verb: "SLIP" as const }],
  ])("%s ends the alarm", (_, order) => {
    const { state, picture } = here();
    const answer = act(state, order, picture, SETTINGS);
    if (!answer.ok) throw new Error(answer.reason);
    const { findings } = step(answer.state, picture, SETTINGS);
    expect(findings.find(({ key }) => key === "dragging")).toBeUndefined();
  });

  it("PLACE ends it, even where the anchor is said to be where it was", () => {
    const { state, picture } = here();
    const position = { ...(state.stay.anchor?.position ?? { latDeg: 0, lonDeg: 0 }), decimals: 4 };
    for (let i = 0; i < 2; i++) {
      const order = { verb: "PLACE" as const, at: { position, aim: undefined } };
      const answer = act(state, order, picture, SETTINGS);
      if (!answer.ok) throw new Error(answer.reason);
      const { findings } = step(answer.state, picture, SETTINGS);
      expect(findings.find(({ key }) => key === "dragging")).toBeUndefined();
    }
  });

  it.each([
    ["AWEIGH", { verb: "AWEIGH" as const }],
    ["BROUGHTUP", { verb: "BROUGHTUP" as const }],
    ["SLIP", { verb: "SLIP" as const }],
    ["PLACE", { verb: "PLACE" as const, at: { position: undefined, aim: { bearingDeg: 0, rangeM: 0 } } }],
  ])("%s taken back puts the alarm back, and the receiver is as it was", (_, order) => {
    const { state, picture } = here();
    const strayM = state.drag.receivers[0]?.spread.strayM;
    const answer = act(state, order, picture, SETTINGS);
    if (!answer.ok) throw new Error(answer.reason);
    let now = answer.state;
    for (let s = 1; s <= 10; s++)
      now = step(now, { ...picture, atMs: picture.atMs + s * 1000 }, SETTINGS).state;
    const later = { ...picture, atMs: picture.atMs + 11_000 };
    const undone = act(now, { verb: "UNDO" }, later, SETTINGS);
    if (!undone.ok) throw new Error(undone.reason);
    const { findings, state: after } = step(undone.state, later, SETTINGS);
    expect(findings.find(({ key }) => key === "dragging")?.priority).toBe("alarm");
    expect(after.drag.receivers[0]?.spread.strayM).toBe(strayM);
  });

  it("what can no more be taken back is not kept", () => {
    const { state, picture } = here();
    const answer = act(state, { verb: "BROUGHTUP" }, picture, SETTINGS);
    if (!answer.ok) throw new Error(answer.reason);
    const secondsOn = (s: number) =>
      step(answer.state, { ...picture, atMs: picture.atMs + s * 1000 }, SETTINGS);
    expect(secondsOn(60).state.undo).toBeDefined();
    expect(secondsOn(61).state.undo).toBeUndefined();
  });

  it("more rode is no answer", () => {
    const { state, picture } = here();
    const answer = act(state, { verb: "RODE", lengthM: 60 }, picture, SETTINGS);
    if (!answer.ok) throw new Error(answer.reason);
    const { findings } = step(answer.state, picture, SETTINGS);
    expect(findings.find(({ key }) => key === "dragging")?.priority).toBe("alarm");
  });
});

describe("a source that changes its name, a counter that ticks", () => {
  const told = watch(dragging(LAIN_S, 1), 1.6 * LAIN_S).firstS.alarm ?? 0;
  const soon = (change: Course["change"]) => {
    const alarmS = watch({ ...dragging(LAIN_S, 1), change }, 1.8 * LAIN_S).firstS.alarm;
    // 1 m a minute: three metres more at the most.
    expect(alarmS).toBeLessThan(told + 180);
  };

  it.each([30, 60, 300])("one receiver that changes talker each %d s", (everyS) => {
    soon((picture, s) => {
      if (picture.position === undefined || Math.floor(s / everyS) % 2 === 0) return picture;
      return { ...picture, position: { ...picture.position, source: "bus/GN" } };
    });
  });

  it("a counter that goes to and fro by half a metre each minute", () => {
    soon((picture, s) => ({
      ...picture,
      rodeCountedM: { value: Math.floor(s / 60) % 2 === 0 ? 40 : 39.4, source: "bus/II", atMs: picture.atMs },
    }));
  });

  it("two receivers that do not agree: the windows start anew, and neither's error is taken for a drag", () => {
    const { firstS } = watch(
      {
        ...STILL,
        change: (picture, s) => {
          if (picture.position === undefined || s < LAIN_S) return picture;
          const value = moved(picture.position.value, { north: 9, east: 7 });
          return { ...picture, position: { ...picture.position, value, source: "wifi/GP" } };
        },
      },
      LAIN_S + 120,
    );
    expect(firstS.alarm).toBeUndefined();
  });
});

describe("a receiver's new level", () => {
  it("is not taken for a drag, and a drag after it is", () => {
    const jumpS = LAIN_S;
    const level: Course["change"] = (picture, s) => {
      if (s < jumpS || picture.position === undefined) return picture;
      const value = moved(picture.position.value, { north: 30, east: 25 });
      const position = { ...picture.position, value };
      return { ...picture, position, newLevelMs: START_MS + jumpS * 1000 };
    };
    expect(watch({ ...STILL, change: level }, 1.5 * LAIN_S).firstS.alarm).toBeUndefined();
    const after = watch({ ...dragging(jumpS + 900, 6), change: level }, 1.7 * LAIN_S);
    expect(after.firstS.alarm).toBeGreaterThan(jumpS + 900);
  });
});

describe("the circle beside it", () => {
  it("is not widened past the hard one by anything that has been learnt", () => {
    const state = riding();
    const wild = unknownReceiver("bus/GP");
    wild.spread.variance = wild.spread.variance.map(() => 1e6);
    wild.spread.weightS = 6 * 3600;
    state.drag.receivers = [wild];
    const calm = watch(STILL, 60).last.figures.circle;
    const { circle } = watch(STILL, 60, state).last.figures;
    expect((circle?.radiusM ?? 0) - (calm?.radiusM ?? 0)).toBeCloseTo(HARD_WANDER_M - 15, 3);
  });

  it("alarms within 60 s for a boat adrift at 3 m/s, whatever has been learnt", () => {
    const state = riding();
    const wild = unknownReceiver("bus/GP");
    wild.spread.variance = wild.spread.variance.map(() => 1e6);
    wild.spread.weightS = 6 * 3600;
    state.drag.receivers = [wild];
    let now = state;
    let alarmS: number | undefined;
    let second = 0;
    for (const picture of pictures({ ...STILL, draggedM: (s) => Math.max(0, 3 * (s - 600)) }, 700)) {
      second++;
      const watched = step(now, picture, SETTINGS);
      now = watched.state;
      if (watched.findings.some(({ priority }) => priority === "alarm")) alarmS ??= second;
    }
    expect(alarmS).toBeGreaterThan(600);
    expect(alarmS).toBeLessThan(660);
  });
});
