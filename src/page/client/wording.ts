/** Figures into words for a person. Absent is said in words, never shown as 0. */
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

const POINTS = "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW".split(" ");

/** The nearest of the sixteen points. */
export function compassPoint(deg: number): string {
  return POINTS[Math.round(deg / 22.5) % POINTS.length] ?? bearing(deg);
}

/** An angle clockwise from the bow → `30° to port`. */
export function offBow(deg: number): string {
  const turn = Math.round(deg > 180 ? deg - 360 : deg);
  if (turn === 0) return "from ahead";
  if (Math.abs(turn) === 180) return "from astern";
  return `from ${Math.abs(turn)}° to ${turn < 0 ? "port" : "starboard"}`;
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

/** `no depth since 02:10`, or `no depth` where none was ever heard. */
export function none(what: string, ageS: number | null, atMs: number): string {
  return ageS === null ? `no ${what}` : `no ${what} since ${clock(atMs - ageS * 1000)}`;
}

/** An alert's text, whose plus and minus had to pass a display of plain letters. */
export function plainText(text: string): string {
  return text.replaceAll(/ ?\+-\s?/g, " ± ");
}

/** `outside-circle` → `Outside circle`, for a key that has no words here. */
function plainWords(key: string): string {
  return key.charAt(0).toUpperCase() + key.slice(1).replaceAll("-", " ");
}

const ALERTS = new Map([
  ["dragging", "Dragging"],
  ["outside-circle", "Out of the circle"],
  ["scope-short", "Scope short"],
  ["rode-short", "Rode short"],
  ["rode-spent", "Rode spent"],
  ["shoal", "Shoal here"],
  ["shoal-coming", "Shoal by low water"],
  ["wind-over", "Wind over the limit"],
  ["wind-shift", "Wind has shifted"],
  ["position-lost", "No position"],
  ["position-doubtful", "Position in doubt"],
  ["depth-lost", "No depth"],
  ["wind-lost", "No wind"],
  ["heading-lost", "No heading"],
  ["not-brought-up", "Not biting"],
  ["log-failing", "Log failing"],
  ["port-down", "A port is down"],
  ["clock-stepped", "The clock stepped"],
  ["supply-low", "Supply low"],
  ["not-watching", "Not on watch"],
  ["unheard", "No one would hear"],
]);

export function alertWords(key: string): string {
  return ALERTS.get(key) ?? plainWords(key);
}
