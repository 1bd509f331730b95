/**
 * Field kinds: how one or more places of a sentence become a value and back. An empty place is `undefined`,
 * never 0. Numbers are read strictly: `12abc`, `1e5` and hex are refused, not guessed.
 */
import { M_PER_FATHOM, M_PER_FT } from "../units/length.ts";
import { MPS_PER_KMH, MPS_PER_KN, MPS_PER_MPH } from "../units/speed.ts";
import { type Refusal, refused } from "./frame.ts";

export type Read<T> = T | undefined | Refusal;

export interface Field<T> {
  /** How many places it takes; "rest" takes all that are left. */
  readonly width: number | "rest";
  readonly read: (places: readonly string[], at: number) => Read<T>;
  readonly write: (value: T | undefined) => string[];
  /** The letter that belongs here, when this place is the unit or reference of the number before it. */
  readonly unit?: string;
}

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)$/;
const BAD_NUMBER = refused("bad-number");

export function place(places: readonly string[], at: number): string {
  return places[at] ?? "";
}

/** No figure on a boat is larger; beyond it a number could not be written again digit by digit. */
const LARGEST = 1e15;

function numberIn(text: string): number | undefined | Refusal {
  if (text === "") return undefined;
  if (!NUMBER.test(text)) return BAD_NUMBER;
  const value = Number(text);
  return Math.abs(value) > LARGEST ? BAD_NUMBER : value;
}

/** Most decimals that are kept: a micrometre, or 2 µm of a minute. */
const MOST_DECIMALS = 9;

/** How many decimals a number was sent with. */
export function decimalsOf(text: string): number {
  const dot = text.indexOf(".");
  return dot < 0 ? 0 : Math.min(text.length - dot - 1, MOST_DECIMALS);
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

/**
 * The unit or reference of the number in front of it (`T`, `M`): always written. Read, it may be missing, but
 * another letter makes that number absent: feet are never taken for metres, magnetic for true.
 */
export function letter(text: string): Field<string> {
  return { width: 1, read: (places, at) => place(places, at) || undefined, write: () => [text], unit: text };
}

const statusLetters = code({ A: "valid", V: "void" });

/** `A` valid. Any other letter is void; an empty place says nothing. */
export const status: Field<"valid" | "void"> = {
  ...statusLetters,
  read: (places, at) => statusLetters.read(places, at) ?? (place(places, at) === "" ? undefined : "void"),
};

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
export type Mode = (typeof MODES)[keyof typeof MODES] | "unknown";

const modeLetters = code(MODES);

/** Positioning system mode indicator (NMEA 2.3 and later). A letter that is none of them is not believed. */
export const mode: Field<Mode> = {
  width: 1,
  read: (places, at) => modeLetters.read(places, at) ?? (place(places, at) === "" ? undefined : "unknown"),
  write: (value) => modeLetters.write(value === "unknown" ? undefined : value),
};

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

interface UnitRule {
  /** SI value of one of each unit. */
  factors: Readonly<Record<string, number>>;
  /** The unit it is written in. */
  written: string;
  min?: number;
  /** What becomes of a number whose unit is missing or none of these. */
  otherwise: Refusal | undefined;
}

/** A number and its unit letter in the next place → SI. */
function withUnit(rule: UnitRule): Field<number> {
  const { written, min = Number.NEGATIVE_INFINITY, otherwise } = rule;
  // A map, since a plain record would also know "constructor".
  const factors = new Map(Object.entries(rule.factors));
  const writtenFactor = factors.get(written) ?? 1;
  return {
    width: 2,
    read: (places, at) => {
      const value = numberIn(place(places, at));
      if (typeof value !== "number") return value;
      if (value < min) return BAD_NUMBER;
      const factor = factors.get(place(places, at + 1));
      return factor === undefined ? otherwise : value * factor;
    },
    write: (value) => [value === undefined ? "" : fixed(value / writtenFactor, 1), written],
  };
}

/** Speed with N, M, K or S (MWV): an unknown unit makes it absent, it is never taken for knots. */
export const speedWithUnit: Field<number> = withUnit({
  factors: { N: MPS_PER_KN, M: 1, K: MPS_PER_KMH, S: MPS_PER_MPH },
  written: "N",
  min: 0,
  otherwise: undefined,
});

/** Speed as an operator gives it: N (knots) or M (m/s), anything else is refused. */
export const speedTold: Field<number> = withUnit({
  factors: { N: MPS_PER_KN, M: 1 },
  written: "N",
  min: 0,
  otherwise: BAD_NUMBER,
});

/** Length with M, f (feet) or F (fathoms). A missing unit is refused: it is never guessed. */
export const lengthWithUnit: Field<number> = withUnit({
  factors: { M: 1, f: M_PER_FT, F: M_PER_FATHOM },
  written: "M",
  otherwise: BAD_NUMBER,
});

/** A number with E (positive) or W in the next place: variation, deviation. Without its letter it is missing. */
export const eastward: Field<number> = {
  width: 2,
  read: (places, at) => {
    const value = numberIn(place(places, at));
    if (typeof value !== "number") return value;
    if (value < 0 || value > 180) return BAD_NUMBER;
    const side = place(places, at + 1);
    if (side === "E") return value;
    return side === "W" ? 0 - value : undefined;
  },
  write: (value) => {
    if (value === undefined) return ["", ""];
    const text = fixed(value, 1);
    return text.startsWith("-") ? [text.slice(1), "W"] : [text, "E"];
  },
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
    // Rounded first: dead astern is 180 R and dead ahead 0 R, from whichever side.
    const tenths = Math.round(value * 10) % 3600;
    return tenths > 1800 ? [fixed(360 - tenths / 10, 1), "L"] : [fixed(tenths / 10, 1), "R"];
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
