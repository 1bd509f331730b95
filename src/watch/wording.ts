/** Figures in words, in the unit the boat is used to. */
import type { DisplayUnits } from "../tackle/veer-length.ts";
import { wrap360 } from "../units/angle.ts";
import { M_PER_FATHOM, M_PER_FT } from "../units/length.ts";

const UNIT = {
  metric: { name: "m", perM: 1 },
  feet: { name: "ft", perM: 1 / M_PER_FT },
  fathoms: { name: "fathoms", perM: 1 / M_PER_FATHOM },
} as const;

/** Rounded to whole units: `18 m`, `60 ft`. */
export function lengthText(lengthM: number, units: DisplayUnits): string {
  const { name, perM } = UNIT[units];
  return `${Math.round(lengthM * perM)} ${name}`;
}

/** A direction in three figures: `007`. */
export function directionText(deg: number): string {
  return String(Math.round(wrap360(deg)) % 360).padStart(3, "0");
}
