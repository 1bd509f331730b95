/**
 * Field kinds: how one or more places of a sentence become a value and back. An empty place is `undefined`,
 * never 0. Numbers are read strictly: `12abc`, `1e5` and hex are refused, not guessed.
 */
import { M_PER_FATHOM, M_PER_FT } from "../units/length.ts";
import type { Position } from "../units/position.ts";
import { MPS_PER_KMH, MPS_PER_KN, MPS_PER_MPH } from "../units/speed.ts";
import { instantOf } from "../units/time.ts";
import { type Refusal, refused } from "./frame.ts";

export type Read<T> = T | undefined | Refusal;

export interface Field<T> {
  /** How many places it takes; "rest" takes all that are left. */
  readonly width: number | "rest";
  readonly read: (places: readonly string[], at: number) => Read<T>;
  readonly write: (value: T | undefined) => string[];
}

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)$/;
const BAD_NUMBER = refused("bad-number");
const BAD_POSITION = refused("bad-position");

function place(places: readonly string[], at: number): string {
  return places[at] ?? "";
}

function numberIn(text: string): number | undefined | Refusal {
  if (text === "") return undefined;
  return NUMBER.test(text) ? Number(text) : BAD_NUMBER;
}

interface NumberRule {
  /** Digits before the point, filled with zeros. */
  pad?: number;
  min?: number;
  max?: number;
}

/** Rounds to so many decimals without `-0`. */
export function fixed(value: number, decimals: number, pad = 0): string {
  const text = Math.abs(value).toFixed(decimals);
  const sign = value < 0 && Number(text) !== 0 ? "-" : "";
  const missing = pad - (decimals === 0 ? text.length : text.length - decimals - 1);
  return sign + "0".repeat(Math.max(0, missing)) + text;
}

/** A plain number. Outside its limits it is refused: the talker is broken or this is another sentence. */
export function decimal(decimals: number, rule: NumberRule = {}): Field<number> {
  const { pad = 0, min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = rule;
  return {
    width: 1,
    read: (places, at) => {
      const value = numberIn(place(places, at));
      return typeof value === "number" && (value < min || value > max) ? BAD_NUMBER : value;
    },
    write: (value) => [value === undefined ? "" : fixed(value, decimals, pad)],
  };
}

export function integer(rule: NumberRule = {}): Field<number> {
  const field = decimal(0, rule);
  return {
    ...field,
    read: (places, at) => {
      const value = field.read(places, at);
      return typeof value === "number" && !Number.isInteger(value) ? BAD_NUMBER : value;
    },
  };
}

/** A direction or angle clockwise, 0 to 360. */
export const direction: Field<number> = decimal(1, { pad: 3, min: 0, max: 360 });

/** One letter out of a list. A letter that is not in it says nothing: undefined. */
export function code<const T extends string>(letters: Readonly<Record<string, T>>): Field<T> {
  const back = new Map(Object.entries(letters).map(([letter, value]) => [value as string, letter]));
  const forth = new Map(Object.entries(letters));
  return {
    width: 1,
    read: (places, at) => forth.get(place(places, at)),
    write: (value) => [value === undefined ? "" : (back.get(value) ?? "")],
  };
}

/** A constant letter (`T`, `M`): written, and on reading only checked by those who ask. */
export function letter(text: string): Field<string> {
  return { width: 1, read: (places, at) => place(places, at) || undefined, write: () => [text] };
}

const STATUS_LETTERS = { A: "valid", V: "void" } as const;
export const status: Field<"valid" | "void"> = code(STATUS_LETTERS);

const MODES = {
  A: "autonomous",
  D: "differential",
  E: "estimated",
  F: "float",
  M: "manual",
  N: "none",
  P: "precise",
  R: "fixed",
  S: "simulated",
  C: "caution",
  U: "unsafe",
} as const;
export type Mode = (typeof MODES)[keyof typeof MODES];

/** Positioning system mode indicator (NMEA 2.3 and later). */
export const mode: Field<Mode> = code(MODES);

const GOOD_MODES: ReadonlySet<Mode> = new Set<Mode>([
  "autonomous",
  "differential",
  "float",
  "precise",
  "fixed",
]);

/** Modes under which a position may be believed; the mode rules over the status letter. */
export function modeIsGood(value: Mode | undefined): boolean {
  return value === undefined || GOOD_MODES.has(value);
}

const SPEED_UNITS: Readonly<Record<string, number>> = { N: MPS_PER_KN, M: 1, K: MPS_PER_KMH, S: MPS_PER_MPH };

/** Number and unit letter (MWV): an unknown unit makes the number unusable, it is never taken for knots. */
export const speedWithUnit: Field<number> = {
  width: 2,
  read: (places, at) => {
    const value = numberIn(place(places, at));
    if (typeof value !== "number") return value;
    if (value < 0) return BAD_NUMBER;
    const factor = SPEED_UNITS[place(places, at + 1)];
    return factor === undefined ? undefined : value * factor;
  },
  write: (value) => (value === undefined ? ["", "N"] : [fixed(value / MPS_PER_KN, 1), "N"]),
};

const LENGTH_UNITS: Readonly<Record<string, number>> = { M: 1, f: M_PER_FT, F: M_PER_FATHOM };

/** Number and unit letter M, f (feet) or F (fathoms). A missing unit is refused: it is never guessed. */
export const lengthWithUnit: Field<number> = {
  width: 2,
  read: (places, at) => {
    const value = numberIn(place(places, at));
    if (typeof value !== "number") return value;
    const factor = LENGTH_UNITS[place(places, at + 1)];
    return factor === undefined ? BAD_NUMBER : value * factor;
  },
  write: (value) => (value === undefined ? ["", "M"] : [fixed(value, 1), "M"]),
};

/** A fix as sent, with the decimals of its minutes: 3 decimals are steps of nearly 2 m. */
export interface SentPosition extends Position {
  decimals: number;
}

const LAT = /^(\d{2})([0-5]\d(?:\.\d*)?)$/;
const LON = /^(\d{3})([0-5]\d(?:\.\d*)?)$/;

function coordinate(
  text: string,
  shape: RegExp,
  hemisphere: string,
  letters: "NS" | "EW",
): number | undefined {
  const match = shape.exec(text);
  const sign = hemisphere === "" ? -1 : letters.indexOf(hemisphere);
  if (match === null || sign < 0) return undefined;
  const deg = Number(match[1]) + Number(match[2]) / 60;
  const limit = letters === "NS" ? 90 : 180;
  if (deg > limit) return undefined;
  return sign === 1 ? -deg : deg;
}

function decimalsOf(text: string): number {
  const dot = text.indexOf(".");
  return dot < 0 ? 0 : text.length - dot - 1;
}

function coordinateText(deg: number, degreeDigits: number, decimals: number): string {
  const scale = 60 * 10 ** decimals;
  const units = Math.round(Math.abs(deg) * scale);
  const whole = Math.floor(units / scale);
  return (
    String(whole).padStart(degreeDigits, "0") + fixed((units - whole * scale) / 10 ** decimals, decimals, 2)
  );
}

/** Latitude, N/S, longitude, E/W. Half a position is a bad one. */
export const position: Field<SentPosition> = {
  width: 4,
  read: (places, at) => {
    const lat = place(places, at);
    const lon = place(places, at + 2);
    if (lat === "" && lon === "") return undefined;
    const latDeg = coordinate(lat, LAT, place(places, at + 1), "NS");
    const lonDeg = coordinate(lon, LON, place(places, at + 3), "EW");
    if (latDeg === undefined || lonDeg === undefined) return BAD_POSITION;
    return { latDeg, lonDeg, decimals: decimalsOf(lat) };
  },
  write: (value) =>
    value === undefined
      ? ["", "", "", ""]
      : [
          coordinateText(value.latDeg, 2, value.decimals),
          value.latDeg < 0 ? "S" : "N",
          coordinateText(value.lonDeg, 3, value.decimals),
          value.lonDeg < 0 ? "W" : "E",
        ],
};

const TIME = /^([01]\d|2[0-3])([0-5]\d)([0-5]\d|60)(\.\d*)?$/;

/** `hhmmss.ss` → seconds of the UTC day (60 in a leap second). */
export const timeOfDay: Field<number> = {
  width: 1,
  read: (places, at) => {
    const text = place(places, at);
    if (text === "") return undefined;
    const match = TIME.exec(text);
    if (match === null) return BAD_NUMBER;
    return Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3]) + Number(match[4] ?? 0);
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

/** A number with E (positive) or W in the next place: variation, deviation. Without its letter it is missing. */
export const eastward: Field<number> = {
  width: 2,
  read: (places, at) => {
    const value = numberIn(place(places, at));
    if (typeof value !== "number") return value;
    if (value < 0 || value > 180) return BAD_NUMBER;
    const side = place(places, at + 1);
    if (side === "E") return value;
    return side === "W" ? -value : undefined;
  },
  write: (value) => (value === undefined ? ["", ""] : [fixed(Math.abs(value), 1), value < 0 ? "W" : "E"]),
};

/** An angle from the bow, 0–180 and L or R → clockwise from the bow, 0 to 360 (VWR, VWT). */
export const angleBySide: Field<number> = {
  width: 2,
  read: (places, at) => {
    const value = numberIn(place(places, at));
    if (typeof value !== "number") return value;
    if (value < 0 || value > 180) return BAD_NUMBER;
    const side = place(places, at + 1);
    if (side === "R") return value;
    return side === "L" ? (360 - value) % 360 : undefined;
  },
  write: (value) => {
    if (value === undefined) return ["", ""];
    return value > 180 ? [fixed(360 - value, 1), "L"] : [fixed(value, 1), "R"];
  },
};

const RESERVED = /[\r\n$*,!\\^~]|[^\x20-\x7e]/g;

/** Free text; reserved and non-ASCII (latin1) characters are escaped as `^hh`. */
export const text: Field<string> = {
  width: 1,
  read: (places, at) => {
    const raw = place(places, at);
    if (raw === "") return undefined;
    return raw.replace(/\^([0-9A-Fa-f]{2})/g, (_, hex: string) =>
      String.fromCharCode(Number.parseInt(hex, 16)),
    );
  },
  write: (value) => [
    (value ?? "").replace(RESERVED, (char) => {
      const point = char.charCodeAt(0);
      return point > 0xff ? "?" : `^${point.toString(16).toUpperCase().padStart(2, "0")}`;
    }),
  ],
};
