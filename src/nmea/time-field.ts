/** Time of day and date, as far as a sentence carries them. */
import { instantOf } from "../units/time.ts";
import { type Field, fixed, place } from "./field.ts";
import { refused } from "./frame.ts";

const BAD_NUMBER = refused("bad-number");

const TIME = /^([01]\d|2[0-3])([0-5]\d)([0-5]\d|60)(\.\d*)?$/;

/** `hhmmss.ss` → seconds of the UTC day (60 in a leap second). */
export const timeOfDay: Field<number> = {
  width: 1,
  read: (places, at) => {
    const text = place(places, at);
    if (text === "") return undefined;
    const match = TIME.exec(text);
    if (match === null) return BAD_NUMBER;
    return Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(`${match[3]}${match[4] ?? ""}`);
  },
  write: (value) => [value === undefined ? "" : timeText(value)],
};

function timeText(secondsOfDay: number): string {
  const hundredths = Math.round(secondsOfDay * 100) % 8640000;
  const minutes = Math.floor(hundredths / 6000);
  const two = (n: number) => String(n).padStart(2, "0");
  return two(Math.floor(minutes / 60)) + two(minutes % 60) + fixed((hundredths % 6000) / 100, 2, 2);
}

export interface CalendarDay {
  year: number;
  month: number;
  day: number;
}

/** `ddmmyy`; years 80..99 are 19xx, 00..79 are 20xx (common practice). A day that does not exist is missing. */
export const date: Field<CalendarDay> = {
  width: 1,
  read: (places, at) => {
    const text = place(places, at);
    if (text === "") return undefined;
    if (!/^\d{6}$/.test(text)) return BAD_NUMBER;
    const yy = Number(text.slice(4));
    const day = {
      year: yy >= 80 ? 1900 + yy : 2000 + yy,
      month: Number(text.slice(2, 4)),
      day: Number(text.slice(0, 2)),
    };
    return instantOf(day.year, day.month, day.day, 0) === undefined ? undefined : day;
  },
  write: (value) =>
    value === undefined
      ? [""]
      : [[value.day, value.month, value.year % 100].map((n) => String(n).padStart(2, "0")).join("")],
};
