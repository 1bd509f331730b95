/** An acknowledged alarm is not a silenced night. */
import { describe, expect, test } from "vitest";
import { finding, type Life, lifeOf } from "./alerts-aboard.ts";

const KEY = "outside-circle" as const;
const outside = (metres: number | undefined) => finding(KEY, "alarm", "", metres);

/** Raised at 5 m outside and acknowledged there. */
const acknowledged = (): Life => lifeOf(KEY).found(outside(5)).give("acknowledge");

describe("outside the circle, acknowledged at 5 m", () => {
  test("stays so while she lies there", () => {
    expect(acknowledged().found(outside(7), 3600).alert()?.status).toBe("acknowledged");
  });

  test("returns for each 10 m more", () => {
    const life = acknowledged().found(outside(14.9));
    expect(life.alert()?.status).toBe("acknowledged");
    expect(life.found(outside(15)).alert()?.status).toBe("unacknowledged");
    life.give("acknowledge").found(outside(24.9));
    expect(life.alert()?.status).toBe("acknowledged");
    expect(life.found(outside(25)).alert()?.status).toBe("unacknowledged");
  });

  test("returns after 3 minutes of going on, however slowly", () => {
    const life = acknowledged();
    const metres = (s: number) => 5 + (s * 4) / 180;
    for (let s = 1; s < 180; s++) life.found(outside(metres(s)));
    expect(life.alert()?.status).toBe("acknowledged");
    expect(life.found(outside(metres(180))).alert()?.status).toBe("unacknowledged");
  });

  test("returns when she begins to move after an hour at rest", () => {
    const life = acknowledged().found(outside(6), 3600).found(outside(8));
    expect(life.alert()?.status).toBe("unacknowledged");
  });

  test("does not return for the time when there is no fix to measure by, but does for what a new fix shows", () => {
    const life = acknowledged().found(outside(undefined), 600);
    expect(life.alert()?.status).toBe("acknowledged");
    expect(life.found(outside(16)).alert()?.status).toBe("unacknowledged");
  });

  test("acknowledged while there was no fix: reckoned from the first one that comes", () => {
    const life = lifeOf(KEY).found(outside(20)).found(outside(undefined)).give("acknowledge");
    expect(life.found(outside(undefined), 60).found(outside(30)).alert()?.status).toBe("acknowledged");
    expect(life.found(outside(39)).alert()?.status).toBe("acknowledged");
    expect(life.found(outside(40)).alert()?.status).toBe("unacknowledged");
  });
});

describe("no position, acknowledged", () => {
  test("returns every 10 minutes", () => {
    const life = lifeOf("position-lost").found(finding("position-lost")).give("acknowledge");
    const returned: number[] = [];
    for (let s = 1; s <= 3 * 600; s++) {
      if (life.found(finding("position-lost")).alert()?.status !== "unacknowledged") continue;
      returned.push(s);
      life.give("acknowledge");
    }
    expect(returned).toEqual([600, 1200, 1800]);
  });

  test("a caution under way never does", () => {
    const life = lifeOf("position-lost").found(finding("position-lost", "caution"), 3600);
    expect(life.alert()?.status).toBe("acknowledged");
  });
});

test("what knows no way to come back stays acknowledged", () => {
  const life = lifeOf("shoal").found(finding("shoal")).give("acknowledge").found(finding("shoal"), 7200);
  expect(life.alert()?.status).toBe("acknowledged");
});

describe("what has no metres from the anchor, acknowledged and grown worse", () => {
  test.each([
    ["shoal", "alarm", 0.05, 0.34, 0.36],
    ["scope-short", "warning", 6, 13.9, 14],
    ["wind-over", "warning", 0.5, 5.6, 5.7],
  ] as const)("%s", (key, priority, at, notYet, again) => {
    const life = lifeOf(key)
      .found(finding(key, priority, "", at))
      .give("acknowledge");
    expect(life.found(finding(key, priority, "", notYet), 7200).alert()?.status).toBe("acknowledged");
    expect(life.found(finding(key, priority, "", again)).alert()?.status).toBe("unacknowledged");
  });
});
