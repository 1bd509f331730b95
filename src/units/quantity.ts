/**
 * Quantities as people write them ("30 m", "98ft", "20 kn") into SI numbers. A bare number is refused with
 * the two likely readings: a rode of "30" feet taken for metres is how boats are lost.
 */
import { M_PER_FATHOM, M_PER_FT, M_PER_IN, M_PER_NM } from "./length.ts";
import { MPS_PER_KMH, MPS_PER_KN, MPS_PER_MPH } from "./speed.ts";

interface Kind {
  readonly name: string;
  /** The two readings offered when the unit is missing. */
  readonly likely: readonly [string, string];
  readonly factors: Readonly<Record<string, number>>;
}

const MPS_PER_M_MIN = 1 / 60;

const KINDS = {
  length: {
    name: "a length",
    likely: ["m", "ft"],
    factors: {
      m: 1,
      metre: 1,
      metres: 1,
      meter: 1,
      meters: 1,
      mm: 0.001,
      cm: 0.01,
      km: 1000,
      ft: M_PER_FT,
      foot: M_PER_FT,
      feet: M_PER_FT,
      in: M_PER_IN,
      inch: M_PER_IN,
      inches: M_PER_IN,
      fathom: M_PER_FATHOM,
      fathoms: M_PER_FATHOM,
      fm: M_PER_FATHOM,
      nm: M_PER_NM,
    },
  },
  speed: {
    name: "a speed",
    likely: ["kn", "m/s"],
    factors: {
      kn: MPS_PER_KN,
      kt: MPS_PER_KN,
      kts: MPS_PER_KN,
      knot: MPS_PER_KN,
      knots: MPS_PER_KN,
      "m/s": 1,
      "km/h": MPS_PER_KMH,
      mph: MPS_PER_MPH,
      "m/min": MPS_PER_M_MIN,
      "ft/min": M_PER_FT / 60,
    },
  },
  angle: { name: "an angle", likely: ["deg", "deg"], factors: { deg: 1, "°": 1, degree: 1, degrees: 1 } },
  duration: {
    name: "a time",
    likely: ["s", "min"],
    factors: {
      s: 1,
      sec: 1,
      second: 1,
      seconds: 1,
      min: 60,
      minute: 60,
      minutes: 60,
      h: 3600,
      hour: 3600,
      hours: 3600,
    },
  },
  force: {
    name: "a force",
    likely: ["N", "kN"],
    factors: { n: 1, kn: 1000, lbf: 4.4482216152605, dan: 10, kgf: 9.80665 },
  },
  mass: { name: "a mass", likely: ["kg", "t"], factors: { kg: 1, t: 1000, lb: 0.45359237 } },
  area: {
    name: "an area",
    likely: ["m2", "ft2"],
    factors: { m2: 1, "m²": 1, ft2: M_PER_FT ** 2, "ft²": M_PER_FT ** 2 },
  },
  voltage: { name: "a voltage", likely: ["V", "mV"], factors: { v: 1, mv: 0.001 } },
} as const satisfies Record<string, Kind>;

export type QuantityKind = keyof typeof KINDS;

/** Either the SI value or, as data, why there is none. */
export type ReadQuantity = { ok: true; value: number } | { ok: false; problem: string };

const SHAPE = /^\s*([+-]?(?:\d+\.?\d*|\.\d+))\s*([^\d\s].*?)?\s*$/;

const DECIMAL_COMMA = /^\s*[+-]?\d*,\d/;

/**
 * Reads a quantity of one kind. SI out (metres, m/s, degrees, seconds, newtons, kilograms, m², volts).
 * Units are not case sensitive, except that "M" alone is no metre in a sentence: that is the sentence's affair.
 */
export function readQuantity(text: string, kind: QuantityKind): ReadQuantity {
  const { name, likely, factors }: Kind = KINDS[kind];
  if (DECIMAL_COMMA.test(text)) {
    const pointed = text.trim().replace(",", ".");
    return { ok: false, problem: `"${text}" has a comma: write decimals with a point, "${pointed}"` };
  }
  const match = SHAPE.exec(text);
  if (!match?.[1]) return { ok: false, problem: `"${text}" is not ${name}; write it like "10 ${likely[0]}"` };
  const [, digits, unit] = match;
  if (unit === undefined) {
    const readings =
      likely[0] === likely[1]
        ? `"${digits} ${likely[0]}"`
        : `"${digits} ${likely[0]}" or "${digits} ${likely[1]}"`;
    return { ok: false, problem: `"${text}" has no unit: did you mean ${readings}?` };
  }
  // Own names only: every record also knows "constructor".
  const symbol = unit.toLowerCase();
  const factor = Object.hasOwn(factors, symbol) ? factors[symbol] : undefined;
  if (factor === undefined) {
    return { ok: false, problem: `"${text}": "${unit}" is no unit of ${name}; use ${unitsOf(factors)}` };
  }
  return { ok: true, value: Number(digits) * factor };
}

function unitsOf(factors: Readonly<Record<string, number>>): string {
  const seen = new Set<number>();
  const units = Object.entries(factors).filter(([, factor]) => !seen.has(factor) && seen.add(factor));
  return units.map(([unit]) => unit).join(", ");
}
