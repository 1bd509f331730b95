import { describe, expect, test } from "vitest";
import { refused } from "../../src/nmea/frame.ts";
import { seal } from "../../src/nmea/seal.ts";
import { calendarDay } from "../../src/nmea/sentences/position.ts";
import { decode } from "../../src/nmea/table.ts";
import { sentenceIn } from "./sentence-in.ts";

describe("time and date", () => {
  test.each([
    ["000000", 0],
    ["123519.", 45319],
    ["123519.5", 45319.5],
    ["235959.999", 86399.999],
    // The leap second at the end of 2016.
    ["235960.00", 86400],
    ["235960.75", 86400.75],
  ])("%s", (text, secondOfDay) => {
    expect(sentenceIn(seal(`GPZDA,${text},31,12,2016,00,00`))).toMatchObject({ timeOfDayS: secondOfDay });
  });

  test.each(["240000", "126000", "123561", "12351", "1235190", "12:35:19", "-23519", "123519Z"])(
    "%s is no time",
    (text) => {
      expect(decode(seal(`GPZDA,${text},15,06,2026,00,00`), { checksum: "required" }).pieces).toEqual([
        refused("bad-number"),
      ]);
    },
  );

  test.each([
    ["010180", { year: 1980, month: 1, day: 1 }],
    ["311299", { year: 1999, month: 12, day: 31 }],
    ["010100", { year: 2000, month: 1, day: 1 }],
    ["150679", { year: 2079, month: 6, day: 15 }],
    ["290224", { year: 2024, month: 2, day: 29 }],
    ["290223", undefined],
    ["310226", undefined],
    ["000026", undefined],
    ["", undefined],
  ])("RMC date %j", (text, date) => {
    expect(sentenceIn(seal(`GPRMC,123519,A,5045.6120,N,00118.2340,W,0.2,214.5,${text},,,A`))).toMatchObject({
      date,
    });
  });

  test("a date that is no number refuses the sentence", () => {
    // Recorded (gpsd-gnss-week-rollover).
    const text = "$GPRMC,000231.099,A,4829.0005,N,00022.0015,E,0.15,212.28,2208-1,,,A*73";
    expect(decode(text, { checksum: "required" }).pieces).toEqual([refused("bad-number")]);
  });

  test("ZDA without a date has a time and no day", () => {
    const sentence = sentenceIn(seal("GPZDA,123519.00,,,,,"));
    expect(sentence).toMatchObject({ timeOfDayS: 45319, day: undefined });
    expect(sentence.id === "ZDA" && calendarDay(sentence)).toBeUndefined();
    expect(calendarDay({ day: 15, month: 6, year: 2026 })).toEqual({ day: 15, month: 6, year: 2026 });
  });
});

describe("numbers", () => {
  const heading = (text: string) => decode(seal(`HEHDT,${text},T`), { checksum: "required" }).pieces[0];

  test.each([
    ["5", 5],
    ["005", 5],
    ["5.", 5],
    [".5", 0.5],
    ["+5.0", 5],
    ["0", 0],
    ["360", 360],
  ])("%s", (text, headingDeg) => expect(heading(text)).toMatchObject({ sentence: { headingDeg } }));

  test.each(["1e1", "0x10", "Infinity", "NaN", "5_5", " 5", "5 ", "--5", "5.5.5", ".", "-", "1e"])(
    "%j is no number",
    (text) => expect(heading(text)).toEqual(refused("bad-number")),
  );
});
