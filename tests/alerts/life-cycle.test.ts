import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { announcedAgain, isActive, NO_ALERTS, nextRevision, review } from "../../src/alerts/life-cycle.ts";
import type { AlertKey, Priority } from "../../src/watch/finding.ts";
import { AT_MS, finding, lifeOf } from "./alerts-aboard.ts";

const KEY: AlertKey = "shoal";

describe("the check row of the handbook", () => {
  test("V, silence → S, 29.9 s → S, 30.0 s → V", () => {
    const life = lifeOf(KEY).found(finding(KEY)).give("silence", 100);
    expect(life.found(finding(KEY), 30).state()).toBe("S2"); // 29.9 s after the command
    expect(life.found(finding(KEY)).state()).toBe("V3");
    const exact = lifeOf(KEY).found(finding(KEY)).give("silence").found(finding(KEY), 29);
    expect(exact.state()).toBe("S2");
    expect(exact.found(finding(KEY)).state()).toBe("V3"); // 30.0 s
  });

  test("V, ack → A, clear → N", () => {
    expect(lifeOf(KEY).found(finding(KEY)).give("acknowledge").found(null).state()).toBe("N3");
  });

  test("V, clear → U, ack → N", () => {
    expect(lifeOf(KEY).found(finding(KEY)).found(null).give("acknowledge").state()).toBe("N3");
  });

  test("V, clear → U, raise → V: revisions 1, 2, 3, and the same instance", () => {
    const life = lifeOf(KEY).found(finding(KEY)).found(null, 5).found(finding(KEY));
    expect(life.changes.map((change) => change.revision)).toEqual([1, 2, 3]);
    expect(life.alert()?.raisedMs).toBe(AT_MS + 1000);
  });

  test("after 99 comes 1, and the count goes on when the alert is raised anew", () => {
    expect(nextRevision(98)).toBe(99);
    expect(nextRevision(99)).toBe(1);
    const life = lifeOf(KEY).found(finding(KEY)).give("acknowledge").found(null);
    expect(life.found(finding(KEY)).state()).toBe("V4");
  });
});

describe("an unacknowledged alert repeats", () => {
  test("every 60 s, counted 1 to 9, after which comes 1", () => {
    const life = lifeOf(KEY).found(finding(KEY), 60 * 11 + 1);
    expect(life.changes.map((change) => change.escalation)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 1, 2]);
    expect(life.changes.every((change) => change.status === "unacknowledged")).toBe(true);
  });

  test("but not a caution, nor one that is acknowledged", () => {
    expect(lifeOf(KEY).found(finding(KEY, "caution"), 600).changes).toHaveLength(1);
    expect(lifeOf(KEY).found(finding(KEY)).give("acknowledge").found(finding(KEY), 600).changes).toHaveLength(
      2,
    );
  });
});

describe("a caution", () => {
  test("needs no acknowledgement, refuses commands, and ends without a trace", () => {
    const life = lifeOf(KEY).found(finding(KEY, "caution"));
    expect(life.state()).toBe("A1");
    expect(life.give("acknowledge").give("silence").refusals).toBe(2);
    expect(life.found(null).state()).toBe("N2");
    expect(life.alert()).toBeUndefined();
  });
});

describe("a change of priority", () => {
  const rises: readonly (readonly [Priority, Priority])[] = [
    ["caution", "warning"],
    ["caution", "alarm"],
    ["warning", "alarm"],
  ];
  test.each(rises)("a rise from %s to %s returns to unacknowledged, whatever was said before", (from, to) => {
    for (const before of ["silence", "acknowledge"] as const) {
      const life = lifeOf(KEY).found(finding(KEY, from)).give(before).found(finding(KEY, to));
      expect(life.alert()).toMatchObject({ status: "unacknowledged", priority: to });
    }
  });

  test("it is known since when it has been an alarm", () => {
    const life = lifeOf(KEY).found(finding(KEY, "warning"), 50).found(finding(KEY, "alarm"), 20);
    expect(life.alert()).toMatchObject({ raisedMs: AT_MS + 1000, alarmMs: AT_MS + 51_000 });
    expect(life.found(finding(KEY, "warning")).alert()?.alarmMs).toBe(AT_MS + 51_000);
  });

  test("a fall keeps what was said", () => {
    const life = lifeOf(KEY).found(finding(KEY)).give("acknowledge").found(finding(KEY, "warning"));
    expect(life.alert()).toMatchObject({ status: "acknowledged", priority: "warning", revision: 3 });
    const unseen = lifeOf(KEY).found(finding(KEY)).found(finding(KEY, "warning"));
    expect(unseen.alert()).toMatchObject({ status: "unacknowledged", priority: "warning" });
  });
});

test("each key has one life of its own", () => {
  let alerts = NO_ALERTS;
  const first = review(alerts, [finding("shoal"), finding("wind-over", "warning")], AT_MS);
  alerts = review(first.alerts, [finding("wind-over", "warning")], AT_MS + 1000).alerts;
  expect(alerts.active.shoal?.status).toBe("rectified");
  expect(alerts.active["wind-over"]?.status).toBe("unacknowledged");
});

test("after a restart whatever is active is unacknowledged and due again; what is over stays over", () => {
  const active = lifeOf(KEY).found(finding(KEY)).give("acknowledge");
  expect(announcedAgain(active.alerts, AT_MS).active.shoal).toMatchObject({
    status: "unacknowledged",
    acknowledged: undefined,
    revision: 3,
    sent: { alrMs: 0, alfMs: 0 },
  });
  const over = lifeOf(KEY).found(finding(KEY)).found(null);
  expect(announcedAgain(over.alerts, AT_MS).active.shoal?.status).toBe("rectified");
});

/** Whatever happens in whatever order: 1 what is found is active, 2 only a person's act or a caution is seen. */
test("a raised alert ends only by rectification, and is seen only by acknowledgement", () => {
  const events = fc.array(
    fc.constantFrom(...(["alarm", "warning", "caution", "none", "silence", "acknowledge"] as const)),
    { maxLength: 60 },
  );
  fc.assert(
    fc.property(events, (all) => {
      const life = lifeOf(KEY);
      for (const event of all) {
        const before = life.alert();
        if (event === "silence" || event === "acknowledge") life.give(event);
        else if (event === "none") life.found(null);
        else life.found(finding(KEY, event));
        const after = life.alert();
        if (event === "alarm" || event === "warning" || event === "caution") {
          expect(after !== undefined && isActive(after)).toBe(true);
          expect(after?.priority).toBe(event);
          const seen = after?.status === "acknowledged";
          if (event !== "caution" && seen) expect(before?.status).toBe("acknowledged");
        }
        if (before !== undefined && after === undefined)
          expect([before.status, event]).toEqual(
            event === "none" ? ["acknowledged", "none"] : ["rectified", "acknowledge"],
          );
      }
    }),
    { numRuns: 300 },
  );
});
