/** Responsibility transfer (ACN O) under a heartbeat, and the escalation of an unanswered warning. */
import { describe, expect, test } from "vitest";
import { heartbeat } from "../../src/alerts/heartbeat.ts";
import { announcedAgain, command, isUnanswered } from "../../src/alerts/life-cycle.ts";
import { ALERTS } from "../../src/alerts/table.ts";
import { seal } from "../../src/nmea/seal.ts";
import { sentenceIn } from "../nmea/sentence-in.ts";
import { AT_MS, boardOf, finding, type Life, lifeOf, PORT } from "./alerts-aboard.ts";

const KEY = "shoal";

/** A heartbeat heard from the display. */
function beat(life: Life, body = "RAHBT,30,A,3", port = PORT): Life {
  const told = sentenceIn(seal(body));
  if (told.id !== "HBT") throw new Error("no heartbeat");
  life.alerts = { ...life.alerts, heartbeats: heartbeat(life.alerts.heartbeats, port, told, life.atMs) };
  return life;
}

const raised = () => lifeOf(KEY).found(finding(KEY));
const taken = () => beat(raised()).give("transfer");

describe("transferred, O", () => {
  test.each([
    ["V", raised, "O2"],
    ["S", () => raised().give("silence"), "O3"],
    ["A", () => raised().give("acknowledge"), "O3"],
  ])("from %s, while the display's heartbeat is heard", (_, from, after) => {
    expect(beat(from()).give("transfer").state()).toBe(after);
  });

  test.each([
    ["no heartbeat", raised],
    ["one of another port", () => beat(raised(), "RAHBT,30,A,3", "elsewhere")],
    ["one that says not normal", () => beat(beat(raised()), "RAHBT,30,V,4")],
    ["one rarer than a minute", () => beat(raised(), "RAHBT,120,A,3")],
    ["one that is old", () => beat(raised()).found(finding(KEY), 76)],
    ["a caution", () => beat(lifeOf(KEY).found(finding(KEY, "caution")))],
    ["an alert that is over", () => beat(raised().found(null))],
    ["one that is taken already", taken],
    ["none active", () => beat(lifeOf(KEY))],
  ])("refused: %s", (_, from) => {
    const life = from();
    const before = life.state();
    expect(life.give("transfer").refusals).toBe(1);
    expect(life.state()).toBe(before);
  });

  /** State after each event; `=` no change. */
  test.each<[string, (life: Life) => Life, string]>([
    ["goes on with a heartbeat", (life) => beat(life.found(finding(KEY), 30)).found(finding(KEY), 30), "="],
    ["ends", (life) => life.found(null), "N3"],
    ["is acknowledged by a person", (life) => life.give("acknowledge"), "A3"],
    ["silence", (life) => life.give("silence"), "="],
    ["heartbeat missed for 75 s", (life) => life.found(finding(KEY), 75), "="],
    ["for more", (life) => life.found(finding(KEY), 76), "V3"],
    ["heartbeat of 2 s lost", (life) => beat(life, "RAHBT,2,A,4").found(finding(KEY), 6), "V3"],
    ["display no longer normal", (life) => beat(life, "RAHBT,30,V,4").found(finding(KEY)), "V3"],
  ])("O, %s", (_, event, after) => {
    const life = taken();
    event(life);
    expect(life.state()).toBe(after === "=" ? "O2" : after);
  });

  test("a rise in priority, or moving on, is ours again", () => {
    const risen = beat(lifeOf("dragging").found(finding("dragging", "warning"))).give("transfer");
    expect(risen.found(finding("dragging")).state()).toBe("V3");
    const moving = beat(lifeOf("dragging").found(finding("dragging", "alarm", "", 12))).give("transfer");
    expect(
      beat(moving)
        .found(finding("dragging", "alarm", "", 21))
        .state(),
    ).toBe("O2");
    expect(moving.found(finding("dragging", "alarm", "", 22)).state()).toBe("V3");
  });

  test("after a restart nobody holds anything", () => {
    const again = announcedAgain(taken().alerts, AT_MS);
    expect(again.active.shoal).toMatchObject({ status: "unacknowledged", holder: undefined });
    expect(command(again, KEY, "transfer", PORT, AT_MS)).toBeUndefined();
  });

  test("as sentences: ALF O, and to a simple display as if acknowledged", () => {
    const board = boardOf().found([finding("dragging", "alarm", "MOVED 14 M")]);
    const told = sentenceIn(seal("RAHBT,30,A,0"));
    if (told.id !== "HBT") throw new Error("no heartbeat");
    board.alerts = { ...board.alerts, heartbeats: heartbeat({}, PORT, told, AT_MS + 1000) };
    board.heard(seal("RAACN,,RDW,10801,1,O,C"));
    expect(board.alerts.active.dragging?.status).toBe("transferred");
    expect(board.out.at(-2)?.text).toContain(",B,A,O,RDW,10801,1,2,0,");
    expect(board.of("ALR").at(-1)?.text).toContain(",801,A,A,");
    board.found([finding("dragging", "alarm", "MOVED 14 M")], 76);
    expect(board.of("ALF").some(({ text }) => text.includes(",B,A,V,RDW,10801,1,3,0,"))).toBe(true);
  });
});

describe("a warning that nobody answers", () => {
  const wind = finding("wind-over", "warning");

  test("of a row that says so becomes an alarm, counted, once", () => {
    const life = lifeOf("wind-over").found(wind, 300);
    expect(life.alert()).toMatchObject({ priority: "warning", escalation: 4, alarmMs: undefined });
    life.found(wind);
    expect(life.alert()).toMatchObject({
      priority: "alarm",
      status: "unacknowledged",
      escalation: 5,
      alarmMs: AT_MS + 301_000,
    });
    life.found(wind, 59);
    expect(life.changes.at(-1)?.escalation).toBe(5);
    expect(life.found(wind).alert()).toMatchObject({ priority: "alarm", escalation: 6 });
  });

  test("silencing it begins the time anew; acknowledging ends it", () => {
    const silenced = lifeOf("wind-over").found(wind, 200).give("silence").found(wind, 329);
    expect(silenced.alert()?.priority).toBe("warning");
    expect(silenced.found(wind).alert()?.priority).toBe("alarm");
    const seen = lifeOf("wind-over").found(wind, 200).give("acknowledge").found(wind, 900);
    expect(seen.alert()?.priority).toBe("warning");
  });

  test("it stays an alarm until it ends or becomes a caution, and begins again as a warning", () => {
    const life = lifeOf("wind-over").found(wind, 301).give("acknowledge").found(wind, 10);
    expect(life.alert()).toMatchObject({ priority: "alarm", status: "acknowledged" });
    expect(life.found(null).found(wind).alert()).toMatchObject({ priority: "warning", escalated: false });
    const over = lifeOf("wind-over").found(wind, 301).found(null).found(wind);
    expect(over.alert()).toMatchObject({ priority: "warning", status: "unacknowledged" });
    const less = lifeOf("wind-over").found(wind, 301).found(finding("wind-over", "caution"));
    expect(less.alert()).toMatchObject({ priority: "caution", status: "acknowledged", escalated: false });
  });

  test("of any other row it is repeated as a warning", () => {
    for (const { key } of ALERTS.filter((row) => row.escalatesAfterMs === undefined)) {
      const life = lifeOf(key).found(finding(key, "warning"), 900);
      expect([key, life.alert()?.priority]).toEqual([key, "warning"]);
    }
  });

  /** What may wake a sleeper, by the design: nothing else may become an alarm for want of an answer. */
  test("only what may wake a sleeper escalates", () => {
    const mayWake = ["dragging", "outside-circle", "shoal", "position-lost", "wind-over", "scope-short"];
    const escalating = ALERTS.filter((row) => row.escalatesAfterMs !== undefined);
    expect(escalating.map((row) => row.key)).toEqual(["wind-over"]);
    expect(mayWake).toEqual(expect.arrayContaining(escalating.map((row) => row.key)));
    // IEC 62923-1 caps the time at 5 minutes (from memory; 300 s is the ceiling of type-approved radars).
    for (const row of escalating) expect(row.escalatesAfterMs).toBeLessThanOrEqual(300_000);
  });
});

test("unanswered: unacknowledged for a minute, silence apart", () => {
  const life = lifeOf(KEY).found(finding(KEY), 60);
  const isOld = () => isUnanswered(life.alert() ?? life.changes[0]!, life.atMs);
  expect(isOld()).toBe(false);
  life.found(finding(KEY));
  expect(isOld()).toBe(true);
  life.give("silence");
  expect(isOld()).toBe(false);
});
