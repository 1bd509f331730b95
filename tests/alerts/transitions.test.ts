/**
 * Every state of an alert with every event, and every row of the published table among them. States and
 * transitions after IMO MSC.302(87) section 7, MSC.252(83) section 20.2 and IEC 62923-1; names of states after
 * the ALF sentence (IEC 61924-2). An alert is of priority alarm where nothing else is said.
 */
import { describe, expect, test } from "vitest";
import { heartbeat } from "../../src/alerts/heartbeat.ts";
import type { AlertStatus } from "../../src/alerts/life-cycle.ts";
import { seal } from "../../src/nmea/seal.ts";
import type { AlertKey } from "../../src/watch/finding.ts";
import { sentenceIn } from "../nmea/sentence-in.ts";
import { finding, type Life, lifeOf, PORT } from "./alerts-aboard.ts";

const KEY: AlertKey = "shoal";

/** A heartbeat of the display, good for 75 s. */
function beat(life: Life): Life {
  const told = sentenceIn(seal("RAHBT,30,A,3"));
  if (told.id !== "HBT") throw new Error("no heartbeat");
  life.alerts = { ...life.alerts, heartbeats: heartbeat(life.alerts.heartbeats, PORT, told, life.atMs) };
  return life;
}

const on = (life: Life, seconds = 1) => life.found(finding(KEY), seconds);
const raised = () => on(lifeOf(KEY));

/** How each is reached; C is an active caution, which is A from its beginning. */
const STATES = {
  N: () => lifeOf(KEY),
  V: raised,
  S: () => raised().give("silence"),
  A: () => raised().give("acknowledge"),
  U: () => raised().found(null),
  O: () => beat(raised()).give("transfer"),
  C: () => lifeOf(KEY).found(finding(KEY, "caution")),
} as const satisfies Readonly<Record<string, () => Life>>;
type State = keyof typeof STATES;

/** The compiler sees to it that every status has its row. */
const STATE_OF: Readonly<Record<AlertStatus, State>> = {
  normal: "N",
  unacknowledged: "V",
  silenced: "S",
  acknowledged: "A",
  rectified: "U",
  transferred: "O",
};

const EVENTS = {
  "on 1 s": (life) => on(life),
  "on 29 s": (life) => on(life, 29),
  "on 30 s": (life) => on(life, 30),
  "on 60 s": (life) => on(life, 60),
  "on 76 s": (life) => on(life, 76),
  "as warning": (life) => life.found(finding(KEY, "warning")),
  "as caution": (life) => life.found(finding(KEY, "caution")),
  ends: (life) => life.found(null),
  "away 60 s": (life) => life.found(null, 60),
  silence: (life) => life.give("silence"),
  acknowledge: (life) => life.give("acknowledge"),
  "take over": (life) => life.give("transfer"),
  "beat, take over": (life) => beat(life).give("transfer"),
} as const satisfies Readonly<Record<string, (life: Life) => Life>>;
type Event = keyof typeof EVENTS;

/**
 * State and revision after each event; `=` no change, `-` a command that is refused. A fall in priority keeps the
 * state but for a caution, which is A; a rise is always V. The wait for an acknowledgement is repeated at 60 s,
 * which is a change.
 */
const AFTER: Readonly<Record<State, Readonly<Record<Event, string>>>> = {
  N: row("V1", "V1", "V1", "V1", "V2", "V1", "A1", "=", "=", "-", "-", "-", "-"),
  V: row("=", "=", "=", "V2", "V2", "V2", "A2", "U2", "U2", "S2", "A2", "-", "O2"),
  S: row("=", "=", "V3", "V3", "V3", "S3", "A3", "U3", "U3", "-", "A3", "-", "O3"),
  A: row("=", "=", "=", "=", "=", "A3", "A3", "N3", "N3", "-", "-", "-", "O3"),
  U: row("V3", "V3", "V3", "V3", "V4", "V3", "A3", "=", "=", "-", "N3", "-", "-"),
  O: row("=", "=", "=", "=", "V3", "O3", "A3", "N3", "N3", "-", "A3", "-", "-"),
  C: row("V2", "V2", "V2", "V2", "V3", "V2", "=", "N2", "N2", "-", "-", "-", "-"),
};

function row(...after: readonly string[]): Record<Event, string> {
  const names = Object.keys(EVENTS) as Event[];
  if (after.length !== names.length) throw new Error("a row for every event");
  return Object.fromEntries(names.map((name, i) => [name, after[i] ?? ""])) as Record<Event, string>;
}

const cells = (Object.keys(STATES) as State[]).flatMap((state) =>
  (Object.keys(EVENTS) as Event[]).map((event) => [state, event, AFTER[state][event]] as const),
);

test("every status of an alert is among the states, and each with every event", () => {
  expect(Object.values(STATE_OF).every((state) => state in STATES)).toBe(true);
  expect(cells).toHaveLength(7 * 13);
  expect(cells.every(([, , after]) => /^(?:[VSAUON]\d|=|-)$/.test(after))).toBe(true);
});

test.each(cells)("%s, %s → %s", (state, event, after) => {
  const life = STATES[state]();
  const before = life.state();
  const count = life.changes.length;
  EVENTS[event](life);
  const stays = after === "=" || after === "-";
  expect(life.refusals).toBe(after === "-" ? 1 : 0);
  expect(life.state()).toBe(stays ? before : after);
  // Every change is told once, with the next revision.
  const told = life.changes.slice(count).map((change) => change.revision);
  const first = life.changes[count - 1]?.revision ?? 0;
  expect(told).toEqual(told.map((_, i) => first + 1 + i));
  if (stays) expect(told).toEqual([]);
});

/**
 * The published rows: from, event, to. Sources: MSC.302(87) 7.3.5 (a silence ends by itself), 7.3.7 and 7.3.8 (what
 * ends unseen stays), MSC.252(83) 20.2.5 (30 s), IEC 61924-2 for ACN O under a heartbeat.
 */
const PUBLISHED: readonly (readonly [State, Event, string])[] = [
  ["N", "on 1 s", "V"],
  ["N", "as caution", "A"],
  ["V", "silence", "S"],
  ["S", "on 30 s", "V"],
  ["V", "acknowledge", "A"],
  ["S", "acknowledge", "A"],
  ["V", "ends", "U"],
  ["S", "ends", "U"],
  ["A", "ends", "N"],
  ["U", "acknowledge", "N"],
  ["U", "on 1 s", "V"],
  ["V", "on 60 s", "V"],
  ["V", "beat, take over", "O"],
  ["S", "beat, take over", "O"],
  ["A", "beat, take over", "O"],
  ["O", "on 76 s", "V"],
  ["O", "ends", "N"],
  ["C", "ends", "N"],
];

describe("each published row is in the table", () => {
  test.each(PUBLISHED)("%s, %s → %s", (from, event, to) => {
    expect(AFTER[from][event][0]).toBe(to);
  });

  test("a silence of 29.9 s still holds, of 30.0 s does not", () => {
    const life = raised().give("silence", 100);
    expect(on(life, 30).state()).toBe("S2");
    expect(on(life).state()).toBe("V3");
  });
});
