/** Alerts: the old pair ALR/ACK, and the bridge alert set ALF, ALC, ACN, ARC, with the heartbeat HBT. */
import { code, decimal, type Field, integer, text } from "../field.ts";
import { refused } from "../frame.ts";
import { row } from "../row.ts";
import { timeOfDay } from "../time-field.ts";

const alertNumber = integer({ min: 0, max: 9999999 });
const instance = integer({ min: 0, max: 999999 });

/** ALF state letters after IEC 61162-1; one maker's handbook prints others, so foreign ones are not trusted. */
const state = code({
  V: "unacknowledged",
  S: "silenced",
  A: "acknowledged",
  O: "transferred",
  U: "rectified",
  N: "normal",
});

const COMMANDS = { A: "acknowledge", Q: "request", O: "transfer", S: "silence" } as const;
const command = code(COMMANDS);

interface CommandPlaces {
  command: (typeof COMMANDS)[keyof typeof COMMANDS] | undefined;
  /** The flag `C` was there: without it this is no command. */
  isCommand: boolean;
}

/** Command and flag: sources disagree on their order and the letters never collide, so both are taken. */
const commandAndFlag: Field<CommandPlaces> = {
  width: 2,
  read: (places, at) => {
    const given = [places[at] ?? "", places[at + 1] ?? ""];
    const flagAt = given.indexOf("C");
    return {
      command: command.read(given, flagAt === 0 ? 1 : 0) as CommandPlaces["command"],
      isCommand: flagAt >= 0,
    };
  },
  write: (value) => [...command.write(value?.command), value?.isCommand === false ? "" : "C"],
};

export interface ListedAlert {
  maker: string;
  id: number;
  instance: number | undefined;
  revision: number | undefined;
}

const ENTRY = 4;

const entries: Field<ListedAlert[]> = {
  width: "rest",
  read: (places, at) => {
    const list: ListedAlert[] = [];
    for (let i = at; i + ENTRY - 1 < places.length; i += ENTRY) {
      const [id, inst, revision] = [
        alertNumber.read(places, i + 1),
        instance.read(places, i + 2),
        instance.read(places, i + 3),
      ];
      if (typeof id !== "number" || typeof inst === "object" || typeof revision === "object")
        return refused("bad-number");
      list.push({ maker: places[i] ?? "", id, instance: inst, revision });
    }
    return list;
  },
  write: (list) =>
    (list ?? []).flatMap((e) => [e.maker, String(e.id), String(e.instance ?? ""), String(e.revision ?? "")]),
};

const two = (min: number, max: number) => integer({ pad: 2, min, max });

export const alertSentences = [
  row(
    "ALR",
    "alarm state (old displays)",
    {
      timeOfDayS: timeOfDay,
      alertId: integer({ pad: 3, min: 0, max: 999 }),
      condition: code({ A: "exceeded", V: "normal" }),
      acknowledged: code({ A: "yes", V: "no" }),
      text,
    },
    { least: 4, example: "$IIALR,123519.00,801,A,V,ANCHOR DRAGGING*50" },
  ),
  row("ACK", "acknowledge an ALR", { alertId: integer({ min: 0 }) }, { least: 1, example: "$IIACK,801*5C" }),
  row(
    "ALF",
    "alert",
    {
      total: integer({ min: 1, max: 9 }),
      number: integer({ min: 1, max: 9 }),
      sequence: integer({ min: 0, max: 9 }),
      timeOfDayS: timeOfDay,
      category: code({ A: "A", B: "B", C: "C" }),
      priority: code({ E: "emergency", A: "alarm", W: "warning", C: "caution" }),
      state,
      maker: text,
      alertId: alertNumber,
      instance,
      revision: integer({ min: 0, max: 99 }),
      escalation: integer({ min: 0, max: 9 }),
      text,
    },
    { least: 12, example: "$IIALF,2,1,3,123519.00,B,A,V,RDW,10801,1,1,0,ANCHOR DRAGGING*46" },
  ),
  row(
    "ALC",
    "cyclic list of alerts",
    {
      total: two(1, 99),
      number: two(1, 99),
      sequence: two(0, 99),
      count: integer({ min: 0, max: 99 }),
      entries,
    },
    { least: 4, example: "$IIALC,01,01,01,2,RDW,10801,1,2,RDW,10803,1,5*78" },
  ),
  row(
    "ACN",
    "alert command",
    { timeOfDayS: timeOfDay, maker: text, alertId: alertNumber, instance, order: commandAndFlag },
    { least: 6, example: "$IIACN,123525.00,RDW,10801,1,A,C*2A" },
  ),
  row(
    "ARC",
    "alert command refused",
    { timeOfDayS: timeOfDay, maker: text, alertId: alertNumber, instance, command },
    { least: 5, example: "$IIARC,123525.00,RDW,10999,1,A*59" },
  ),
  row(
    "HBT",
    "heartbeat",
    {
      intervalS: decimal(0, { min: 0 }),
      status: code({ A: "normal", V: "not-normal" }),
      sequence: integer({ min: 0, max: 9 }),
    },
    { least: 3, example: "$IIHBT,30,A,0*00" },
  ),
] as const;
