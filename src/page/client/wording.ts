/** Figures for a person: numbers, units, bearings, times. What is said with them stands in `words.ts`. */
import { M_PER_FATHOM, M_PER_FT } from "../../units/length.ts";
import { MPS_PER_KN } from "../../units/speed.ts";

export type Units = "metric" | "feet" | "fathoms";

const SCALE: Readonly<Record<Units, { perUnitM: number; name: string }>> = {
  metric: { perUnitM: 1, name: "m" },
  feet: { perUnitM: M_PER_FT, name: "ft" },
  fathoms: { perUnitM: M_PER_FATHOM, name: "fathoms" },
};

export type SpeedUnits = "kn" | "m/s";

/** How this viewer wants figures spoken. */
export interface Speak {
  lengths: Units;
  speeds: SpeedUnits;
}

/** A speed given in knots, as this viewer wants it. Metres a second to a tenth, since one is two knots. */
export function speedWords(kn: number, { speeds }: Speak, knotDecimals = 0): string {
  return speeds === "kn" ? `${kn.toFixed(knotDecimals)} kn` : `${(kn * MPS_PER_KN).toFixed(1)} m/s`;
}

/** How many metres one of the viewer's units is. */
export function metresPer(units: Units): number {
  return SCALE[units].perUnitM;
}

const SPOKEN = /((?:\d+(?:\.\d+)?(?: ± | to |, gust ))*\d+(?:\.\d+)?)( ?)(m\/s|m|ft|fathoms|kn)\b(?!\/)/g;

/** Lengths and speeds within rodeward's own words, in the viewer's units. */
export function inUnits(text: string, speak: Speak): string {
  return text.replace(SPOKEN, (whole, figures: string, gap: string, unit: string) => {
    const length = Object.entries(SCALE).find(([, { name }]) => name === unit);
    const [from, to, name] =
      length === undefined
        ? [unit === "kn" ? MPS_PER_KN : 1, speak.speeds === "kn" ? MPS_PER_KN : 1, speak.speeds]
        : [length[1].perUnitM, SCALE[speak.lengths].perUnitM, SCALE[speak.lengths].name];
    if (name === unit) return whole;
    const told = figures.replace(/\d+(?:\.\d+)?/g, (figure) => {
      const value = (Number(figure) * from) / to;
      // As fine as it was told, but metres a second and fathoms to a tenth.
      const isFine = figure.includes(".") || name === "m/s" || name === "fathoms";
      return value.toFixed(isFine ? 1 : 0);
    });
    return `${told}${gap}${name}`;
  });
}

/** Depths: to a tenth. */
export function fineLength(lengthM: number, units: Units): string {
  const { perUnitM, name } = SCALE[units];
  return `${(lengthM / perUnitM).toFixed(1)} ${name}`;
}

type Rounding = "round" | "ceil" | "floor";

/** Rode, distances, circles: to whole units, fathoms to a tenth. Rounded so that no comfort is added. */
export function coarseLength(lengthM: number, units: Units, rounding: Rounding = "round"): string {
  return `${coarseNumber(lengthM, units, rounding)} ${SCALE[units].name}`;
}

/** The number of a coarse length alone, for "47 ± 3 m". */
export function coarseNumber(lengthM: number, units: Units, rounding: Rounding = "round"): string {
  const decimals = units === "fathoms" ? 1 : 0;
  const steps = (lengthM / SCALE[units].perUnitM) * 10 ** decimals;
  // 40.000000001 m is 40 m, whichever way it is rounded.
  const whole = Math[rounding](Number(steps.toFixed(6)));
  return (whole / 10 ** decimals).toFixed(decimals);
}

export function unitName(units: Units): string {
  return SCALE[units].name;
}

/** Scope, to a tenth and never up: 4.96 is not 5. */
export function ratio(value: number): string {
  return (Math.floor(Number((value * 10).toFixed(6))) / 10).toFixed(1).replace(/\.0$/, "");
}

/** 7 → `007°`. */
export function bearing(deg: number): string {
  return `${String(Math.round(deg) % 360).padStart(3, "0")}°`;
}

/** `54°28.10′N`, to the decimals of a step of so many minutes. */
export function latitude(deg: number, stepMin: number): string {
  return `${degMin(Math.abs(deg), 2, stepMin)}${deg < 0 ? "S" : "N"}`;
}

export function longitude(deg: number, stepMin: number): string {
  return `${degMin(Math.abs(deg), 3, stepMin)}${deg < 0 ? "W" : "E"}`;
}

function degMin(deg: number, places: number, stepMin: number): string {
  const decimals = Math.max(0, Math.ceil(-Math.log10(stepMin) - 1e-9));
  const steps = Math.round(deg * 60 * 10 ** decimals);
  const whole = Math.floor(steps / (60 * 10 ** decimals));
  const minutes = (steps / 10 ** decimals - whole * 60).toFixed(decimals);
  const width = decimals === 0 ? 2 : decimals + 3;
  return `${String(whole).padStart(places, "0")}°${minutes.padStart(width, "0")}′`;
}

const POINTS = "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW".split(" ");

/** The nearest of the sixteen points. */
export function compassPoint(deg: number): string {
  return POINTS[Math.round(deg / 22.5) % POINTS.length] ?? bearing(deg);
}

/** hh:mm by this device's clock and zone. */
export function clock(atMs: number): string {
  const at = new Date(atMs);
  return `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
}

export function age(ageS: number): string {
  if (ageS < 120) return `${Math.round(ageS)} s`;
  if (ageS < 7200) return `${Math.round(ageS / 60)} min`;
  return `${Math.round(ageS / 3600)} h`;
}

/** An alert's text, whose plus and minus had to pass a display of plain letters. */
export function plainText(text: string): string {
  return text.replaceAll(/ ?\+-\s?/g, " ± ");
}
