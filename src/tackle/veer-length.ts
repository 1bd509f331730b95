/** Lengths of rode as a person veers them: whole metres, five feet, whole fathoms. */
import { M_PER_FATHOM, M_PER_FT } from "../units/length.ts";

export type DisplayUnits = "metric" | "feet" | "fathoms";

export interface VeerLength {
  value: number;
  unit: "m" | "ft" | "fathoms";
  text: string;
}

const STEPS = {
  metric: { unit: "m", perUnitM: 1, step: 1 },
  feet: { unit: "ft", perUnitM: M_PER_FT, step: 5 },
  fathoms: { unit: "fathoms", perUnitM: M_PER_FATHOM, step: 1 },
} as const;

/** Rounding dust that must not cost a whole step. */
const DUST = 1e-9;

/** Rounded up: what must be out. */
export function toVeer(lengthM: number, units: DisplayUnits): VeerLength {
  return inSteps(lengthM, units, (steps) => Math.ceil(steps - DUST));
}

/** Rounded down: what there is. */
export function asAboard(lengthM: number, units: DisplayUnits): VeerLength {
  return inSteps(lengthM, units, (steps) => Math.floor(steps + DUST));
}

function inSteps(lengthM: number, units: DisplayUnits, round: (steps: number) => number): VeerLength {
  const { unit, perUnitM, step } = STEPS[units];
  const value = round(lengthM / perUnitM / step) * step;
  return { value, unit, text: `${value} ${unit}` };
}
