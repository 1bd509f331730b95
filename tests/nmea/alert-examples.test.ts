/**
 * Alert sentences with known contents: examples of IEC 61162-1 as documented by SwiftNMEA, of go-nmea's tests, and
 * the project's own night. `len` counts `$` to LF.
 */
import { describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { sentenceIn } from "./sentence-in.ts";

type Example = readonly [text: string, len: number | undefined, values: Readonly<Record<string, unknown>>];

const at123519 = { timeOfDayS: 12 * 3600 + 35 * 60 + 19 };

const EXAMPLES: Readonly<Record<string, readonly Example[]>> = {
  "B6 alarms, the old pair": [
    [
      "$IIALR,123519.00,801,A,V,ANCHOR DRAGGING*50",
      45,
      { ...at123519, alertId: 801, condition: "exceeded", acknowledged: "no", text: "ANCHOR DRAGGING" },
    ],
    ["$IIALR,123530.00,801,A,A,ANCHOR DRAGGING*4C", 45, { condition: "exceeded", acknowledged: "yes" }],
    ["$IIALR,123640.00,801,V,A,ANCHOR DRAGGING*5F", 45, { condition: "normal", acknowledged: "yes" }],
    // go-nmea's tests.
    ["$RAALR,220516,001,A,A,Bilge pump alarm1*4c", undefined, { alertId: 1, text: "Bilge pump alarm1" }],
    ["$IIACK,801*5C", 15, { alertId: 801 }],
    [seal("IIACK,001"), undefined, { alertId: 1 }],
  ],
  "B7 bridge alerts": [
    // Examples of IEC 61162-1, checksums computed.
    [
      "$IIALF,1,1,0,124304.50,A,W,A,,3052,1,1,0,LOST TARGET*2A",
      undefined,
      {
        timeOfDayS: 12 * 3600 + 43 * 60 + 4.5,
        category: "A",
        priority: "warning",
        state: "acknowledged",
        maker: undefined,
        alertId: 3052,
        text: "LOST TARGET",
      },
    ],
    [
      "$IIALF,2,1,1,081950.10,B,A,S,XYZ,010512,1,2,0,HEADING LOST*2C",
      undefined,
      { total: 2, priority: "alarm", state: "silenced", maker: "XYZ", alertId: 10512, revision: 2 },
    ],
    [
      "$IIALF,2,2,1,,,,,XYZ,010512,1,2,0,NO SYSTEM HEADING AVAILABLE*0C",
      undefined,
      { number: 2, timeOfDayS: undefined, category: undefined, priority: undefined, state: undefined },
    ],
    [
      "$IIALF,2,1,3,123519.00,B,A,V,RDW,10801,1,1,0,ANCHOR DRAGGING*46",
      65,
      { sequence: 3, category: "B", state: "unacknowledged", maker: "RDW", alertId: 10801, instance: 1 },
    ],
    [
      "$IIALF,2,2,3,,,,,RDW,10801,1,1,0,MOVED 14 M TOWARD 065. CHECK POSITION*59",
      75,
      { escalation: 0, text: "MOVED 14 M TOWARD 065. CHECK POSITION" },
    ],
    [
      "$IIALF,1,1,4,123530.00,B,A,A,RDW,10801,1,2,0,ANCHOR DRAGGING*5D",
      undefined,
      { state: "acknowledged", revision: 2 },
    ],
    [
      "$IIALF,1,1,5,123640.00,,,N,RDW,10801,1,3,0,ANCHOR DRAGGING*55",
      undefined,
      { state: "normal", category: undefined, priority: undefined, revision: 3 },
    ],
    ["$IIALC,01,01,00,0*7E", 22, { total: 1, number: 1, sequence: 0, count: 0, entries: [] }],
    [
      "$IIALC,01,01,01,2,RDW,10801,1,2,RDW,10803,1,5*78",
      50,
      {
        count: 2,
        entries: [
          { maker: "RDW", id: 10801, instance: 1, revision: 2 },
          { maker: "RDW", id: 10803, instance: 1, revision: 5 },
        ],
      },
    ],
    // go-nmea's tests (ALC, ACN, ARC).
    [
      "$FBALC,02,01,03,02,FEB,01,02,03,TEB,02,03,04*5f",
      undefined,
      {
        total: 2,
        sequence: 3,
        count: 2,
        entries: [
          { maker: "FEB", id: 1 },
          { maker: "TEB", revision: 4 },
        ],
      },
    ],
    [
      "$IIACN,123525.00,RDW,10801,1,A,C*2A",
      37,
      { maker: "RDW", alertId: 10801, instance: 1, order: { command: "acknowledge", isCommand: true } },
    ],
    ["$IIACN,123525.00,RDW,10801,1,S,C*38", undefined, { order: { command: "silence", isCommand: true } }],
    [
      "$IIACN,,,0,0,Q,C*5E",
      21,
      { maker: undefined, alertId: 0, instance: 0, order: { command: "request", isCommand: true } },
    ],
    [
      "$RAACN,220516,TCK,002,1,A,C*00",
      undefined,
      { maker: "TCK", alertId: 2, instance: 1, order: { command: "acknowledge", isCommand: true } },
    ],
    // The other order that sources give, and no flag: no command.
    [seal("IIACN,,RDW,10801,1,C,A"), undefined, { order: { command: "acknowledge", isCommand: true } }],
    [seal("IIACN,,RDW,10801,1,A,"), undefined, { order: { command: "acknowledge", isCommand: false } }],
    ["$IIARC,123525.00,RDW,10999,1,A*59", 35, { maker: "RDW", alertId: 10999, command: "acknowledge" }],
    ["$RAARC,220516,TCK,002,1,A*73", undefined, { maker: "TCK", alertId: 2, instance: 1 }],
  ],
};

describe.each(Object.entries(EXAMPLES))("%s", (_, examples) => {
  test.each(examples)("%s", (text, len, values) => {
    if (len !== undefined) expect(text.length + 2).toBe(len);
    expect(sentenceIn(text)).toMatchObject(values);
  });
});
