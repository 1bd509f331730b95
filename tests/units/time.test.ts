import { describe, expect, test } from "vitest";
import {
  DAY_MS,
  formatClock,
  formatInstant,
  instantOf,
  midnightBefore,
  parseInstant,
  secondOfDay,
} from "../../src/units/time.ts";

// 1781526919 s is 2026-06-15T12:35:19Z by any Unix `date -d @1781526919`.
const AT = 1_781_526_919_000;

describe("RFC 3339", () => {
  test.each([
    ["2026-06-15T12:35:19Z", AT],
    ["2026-06-15T12:35:19.250Z", AT + 250],
    ["2026-06-15T14:35:19+02:00", AT],
    ["2026-06-15 12:35:19z", AT],
    ["2026-06-15T12:35Z", AT - 19_000],
  ])("%s", (text, atMs) => expect(parseInstant(text)).toBe(atMs));

  test.each(["2026-06-15", "2026-06-15T12:35:19", "2026-13-15T12:35:19Z", "12:35", "", "1781526919", "now"])(
    "%j is none: a zone and a day are needed",
    (text) => expect(parseInstant(text)).toBeUndefined(),
  );

  test("written again, with a fraction only where there is one", () => {
    expect(formatInstant(AT)).toBe("2026-06-15T12:35:19Z");
    expect(formatInstant(AT + 250)).toBe("2026-06-15T12:35:19.250Z");
    expect(formatInstant(AT + 0.4)).toBe("2026-06-15T12:35:19Z");
    expect(formatClock(AT)).toBe("12:35");
  });
});

test("a calendar day and its seconds", () => {
  expect(instantOf(2026, 6, 15, 12 * 3600 + 35 * 60 + 19)).toBe(AT);
  expect(secondOfDay(AT)).toBe(45_319);
  expect(midnightBefore(AT)).toBe(AT - 45_319_000);
  expect(secondOfDay(-1000)).toBe(86_399);
});

test.each([
  [2026, 2, 31],
  [2026, 13, 1],
  [2026, 0, 1],
  [2025, 2, 29],
  [2026, 6, 0],
])("%d-%d-%d does not exist", (year, month, day) => expect(instantOf(year, month, day, 0)).toBeUndefined());

test("the GPS week number rolls over every 7168 days (dates published: 1999-08-22, 2019-04-07)", () => {
  const day = (year: number, month: number, date: number) => instantOf(year, month, date, 0) ?? Number.NaN;
  expect(day(2019, 4, 7) - day(1999, 8, 22)).toBe(7168 * DAY_MS);
  expect(day(2026, 6, 15) - 7168 * DAY_MS).toBe(day(2006, 10, 30));
});
