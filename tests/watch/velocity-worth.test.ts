import { describe, expect, it } from "vitest";
import { chanceOf } from "../../src/rehearsal/chance.ts";
import { type ReceiverForm, receive, receiverOf } from "../../src/rehearsal/receiver.ts";
import { vectorOf } from "../../src/units/angle.ts";
import { fromKn } from "../../src/units/speed.ts";
import { heldStepM, noteVelocity, noVelocity, velocityWorth } from "../../src/watch/velocity-worth.ts";

/** A boat yawing 8 m either side in 90 s, seen by a receiver for so many seconds. */
function watched(change: Partial<ReceiverForm>, seconds = 3600, swingM = 8) {
  const chance = chanceOf(11);
  const form = { ...receiverOf("mid", chance), ...change };
  const fixAt = receive(form, chance.fork("fix"));
  const record = noVelocity();
  const rate = (2 * Math.PI) / 90;
  for (let s = 0; s < seconds; s++) {
    const at = { north: 40, east: swingM * Math.sin(rate * s) };
    const fix = fixAt(s, at, { north: 0, east: swingM * rate * Math.cos(rate * s) });
    const sogMps = fromKn(Math.round(fix.speedKn * 10) / 10);
    const velocity = fix.courseDeg === undefined ? { north: 0, east: 0 } : vectorOf(sogMps, fix.courseDeg);
    noteVelocity(record, fix.at, { sogMps, cogDeg: fix.courseDeg, velocity });
  }
  return record;
}

describe("what the velocity is worth", () => {
  it("is not known at first", () => {
    expect(velocityWorth(watched({}, 60))).toBe("unknown");
  });

  it("is alive where a minute's way explains a minute's motion", () => {
    expect(velocityWorth(watched({}))).toBe("alive");
  });

  it("is pinned where speed stands at 0 below some speed", () => {
    expect(velocityWorth(watched({ pinnedBelowKn: 0.4 }))).toBe("pinned");
    expect(velocityWorth(watched({ pinnedBelowKn: 0.8 }))).toBe("pinned");
    expect(velocityWorth(watched({ pinnedBelowKn: 0.8 }, 3600, 1))).toBe("pinned");
  });

  it("is silent where no course is given when slow", () => {
    expect(velocityWorth(watched({ courseFromKn: 1 }))).toBe("silent");
  });

  it("is not called alive on a boat that does not move", () => {
    expect(velocityWorth(watched({}, 3600, 0))).not.toBe("alive");
  });

  it("is not called alive where it has nothing to do with the motion", () => {
    const record = noVelocity();
    const chance = chanceOf(2);
    for (let s = 0; s < 7200; s++) {
      const at = { north: 0, east: 8 * Math.sin(s / 15) };
      const velocity = { north: 0.3 * chance.normal(), east: 0.3 * chance.normal() };
      noteVelocity(record, at, { sogMps: Math.hypot(velocity.north, velocity.east), cogDeg: 10, velocity });
    }
    expect(velocityWorth(record)).toBe("unknown");
  });
});

describe("a static hold", () => {
  it("is known by its steps after exact repeats", () => {
    expect(heldStepM(watched({ pinnedBelowKn: 2, holdsForM: 8 }))).toBeGreaterThan(5);
  });

  it("is not seen in a receiver that only has coarse steps", () => {
    const record = noVelocity();
    const chance = chanceOf(4);
    let east = 0;
    for (let s = 0; s < 3600; s++) {
      east += 0.05 * chance.normal();
      const stepped = Math.round(east / 1.85) * 1.85;
      noteVelocity(
        record,
        { north: 0, east: stepped },
        { sogMps: 0, cogDeg: undefined, velocity: { north: 0, east: 0 } },
      );
    }
    expect(heldStepM(record)).toBeUndefined();
  });
});
