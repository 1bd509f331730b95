/** A position as four places: latitude, N or S, longitude, E or W. */
import type { Position } from "../units/position.ts";
import { decimalsOf, type Field, fixed, place } from "./field.ts";
import { refused } from "./frame.ts";

const BAD_POSITION = refused("bad-position");

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
  const [positive, negative] = letters;
  if (match === null || (hemisphere !== positive && hemisphere !== negative)) return undefined;
  const deg = Number(match[1]) + Number(match[2]) / 60;
  const limit = letters === "NS" ? 90 : 180;
  if (deg > limit) return undefined;
  return hemisphere === negative ? 0 - deg : deg;
}

function coordinatePlaces(
  deg: number,
  degreeDigits: number,
  decimals: number,
  letters: "NS" | "EW",
): string[] {
  const scale = 60 * 10 ** decimals;
  const units = Math.round(Math.abs(deg) * scale);
  const whole = Math.floor(units / scale);
  const minutes = fixed((units - whole * scale) / 10 ** decimals, decimals, 2);
  // What rounds to nothing has no side: otherwise 0 W would be read and written back as 0 E.
  const hemisphere = deg < 0 && units > 0 ? letters.charAt(1) : letters.charAt(0);
  return [String(whole).padStart(degreeDigits, "0") + minutes, hemisphere];
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
          ...coordinatePlaces(value.latDeg, 2, value.decimals, "NS"),
          ...coordinatePlaces(value.lonDeg, 3, value.decimals, "EW"),
        ],
};
