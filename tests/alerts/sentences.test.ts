/**
 * Alerts as sentences. Strings with a checksum were sealed by a program of their own; layouts after IEC 61162-1 as
 * documented by SwiftNMEA and in bridge-equipment handbooks.
 */
import { describe, expect, test } from "vitest";
import type { Alert } from "../../src/alerts/life-cycle.ts";
import { alfOf, alrOf } from "../../src/alerts/sentences.ts";
import { ALERTS } from "../../src/alerts/table.ts";
import { encode } from "../../src/nmea/table.ts";
import { AT_MS, alertOf, boardOf, finding } from "./alerts-aboard.ts";

const at = (seconds: number): number => AT_MS + seconds * 1000;
const LONG = "MOVED 14 M TOWARD 065. CHECK POSITION";

const raised = alertOf("dragging", "alarm", LONG);
const acknowledged: Alert = {
  ...raised,
  status: "acknowledged",
  changedMs: at(11),
  statedMs: at(11),
  revision: 2,
  text: "",
};
const over: Alert = { ...acknowledged, status: "normal", changedMs: at(81), statedMs: at(81), revision: 3 };

describe("ALR", () => {
  test.each<[string, Alert, string]>([
    ["raised", raised, "$IIALR,123519.00,801,A,V,ANCHOR DRAGGING*50"],
    ["acknowledged", acknowledged, "$IIALR,123530.00,801,A,A,ANCHOR DRAGGING*4C"],
    ["over", over, "$IIALR,123640.00,801,V,A,ANCHOR DRAGGING*5F"],
  ])("%s", (_, alert, text) => expect(encode(alrOf(alert, 0))).toBe(text));

  test("over and never seen: not exceeded, not acknowledged", () => {
    expect(encode(alrOf({ ...raised, status: "rectified" }, 0))).toMatch(/,801,V,V,/);
  });

  test("without UTC the time is left empty, never 000000", () => {
    expect(encode(alrOf(raised, undefined))).toMatch(/^\$IIALR,,801,/);
    expect(encode(alrOf(raised, 3_600_000))).toMatch(/^\$IIALR,133519\.00,801,/);
  });
});

describe("ALF", () => {
  const texts = (alert: Alert, sequence: number) => alfOf(alert, sequence, 0).map(encode);

  test("raised, with its second text", () => {
    expect(texts(raised, 3)).toEqual([
      "$IIALF,2,1,3,123519.00,B,A,V,RDW,10801,1,1,0,ANCHOR DRAGGING*46",
      "$IIALF,2,2,3,,,,,RDW,10801,1,1,0,MOVED 14 M TOWARD 065. CHECK POSITION*59",
    ]);
  });

  test("acknowledged, and gone: priority and category are then empty", () => {
    expect(texts(acknowledged, 4)).toEqual([
      "$IIALF,1,1,4,123530.00,B,A,A,RDW,10801,1,2,0,ANCHOR DRAGGING*5D",
    ]);
    expect(texts(over, 5)).toEqual(["$IIALF,1,1,5,123640.00,,,N,RDW,10801,1,3,0,ANCHOR DRAGGING*55"]);
  });

  test.each<[Alert["status"], string]>([
    ["unacknowledged", "V"],
    ["silenced", "S"],
    ["acknowledged", "A"],
    ["rectified", "U"],
    ["normal", "N"],
  ])("state %s is %s", (status, letter) => {
    expect(texts({ ...raised, status }, 0)[0]?.split(",")[7]).toBe(letter);
  });

  test.each([
    ["alarm", "A"],
    ["warning", "W"],
    ["caution", "C"],
  ] as const)("priority %s is %s", (priority, letter) => {
    expect(texts({ ...raised, priority }, 0)[0]?.split(",")[6]).toBe(letter);
  });

  // What 82 characters leave for the second text: 43, with a revision of two digits.
  test.each([
    "W".repeat(43),
    "W".repeat(200),
    "Scope 4.2, wants 5.5: rode aboard too short",
    "12345 m outside. Check position, engine on",
    ",".repeat(43),
    "é,*$!^~\\".repeat(9),
  ])("the second text fits, as sent: %j", (text) => {
    const [, second = ""] = texts({ ...raised, text, revision: 99, escalation: 9 }, 9);
    expect(second.length + 2).toBeLessThanOrEqual(82);
    const sent = second.slice("$IIALF,2,2,9,,,,,RDW,10801,1,99,9,".length, -3);
    expect(sent.length).toBeLessThanOrEqual(43);
    // As much of it as fits: no more than one escaped character short.
    if (text.length >= 43) expect(sent.length).toBeGreaterThan(40);
  });
});

describe("ALC", () => {
  const two = [finding("dragging"), finding("scope-short", "warning")];

  test("empty", () =>
    expect(boardOf().found([]).of("ALC")).toEqual([{ at: 1, text: "$IIALC,01,01,00,0*7E" }]));

  test("two alerts with their revisions", () => {
    const board = boardOf().found(two).heard("$IIACN,123525.00,RDW,10801,1,A,C*2A");
    for (let i = 0; i < 2; i++) {
      board.found([finding("dragging")]);
      board.found(two);
    }
    expect(board.found(two, 27).of("ALC").at(-1)?.text).toBe(
      "$IIALC,01,01,01,2,RDW,10801,1,2,RDW,10803,1,5*78",
    );
  });

  test("all of them at once: four to a sentence, none split, none left out", () => {
    const all = ALERTS.map((row) => finding(row.key, "warning"));
    const lists = boardOf().found(all).of("ALC");
    const total = Math.ceil(ALERTS.length / 4);
    expect(lists).toHaveLength(total);
    const ids = lists.flatMap(({ text }, i) => {
      const [, sentences, number, sequence, count, ...entries] = text.replace(/\*..$/, "").split(",");
      expect([sentences, number]).toEqual([String(total).padStart(2, "0"), String(i + 1).padStart(2, "0")]);
      expect(sequence).toBe("00");
      expect(entries).toHaveLength(4 * Number(count));
      expect(text.length + 2).toBeLessThanOrEqual(82);
      return entries.filter((_, place) => place % 4 === 1).map(Number);
    });
    expect(ids.sort()).toEqual(ALERTS.map((row) => row.alfId));
  });

  test("alarms first, then the newest", () => {
    const board = boardOf().found([finding("wind-over", "warning")]);
    board.found([finding("wind-over", "warning"), finding("unheard", "warning"), finding("shoal")], 40);
    expect(board.of("ALC").at(-1)?.text).toContain("RDW,10806,1,1,RDW,10821,1,1,RDW,10808,1,1");
  });
});

test("TXT says it in words once, when an alarm or warning is raised, within its 61 characters", () => {
  const board = boardOf().found([finding("dragging", "alarm", LONG), finding("wind-lost", "caution", "x")]);
  expect(board.of("TXT").map(({ text }) => text.replace(/\*..$/, ""))).toEqual([
    `$IITXT,01,01,01,ANCHOR DRAGGING: ${LONG}`,
  ]);
  const long = boardOf()
    .found([finding("position-lost", "warning", ",".repeat(43))])
    .of("TXT");
  expect(long[0]?.text.length).toBeLessThanOrEqual(80);
});
