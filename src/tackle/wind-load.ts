/**
 * What the wind pulls on the rode, newtons, for a boat lying to her anchor. Two estimates, kept apart: head-on
 * with a sheering allowance (the lower: what the watch reckons with) and the published design-load table (the
 * upper: what strong points are chosen by). Waves are in neither; a surge factor can be set. All loads go with
 * the square of the wind, so give the gust, not the mean.
 */
import { M_PER_FT } from "../units/length.ts";
import { fromKn } from "../units/speed.ts";
import type { Boat } from "./boat.ts";

/** Standard atmosphere at 15 °C, kg/m³. */
export const AIR_KG_M3 = 1.225;

/** 3-second gust over 10-minute mean: between an on-shore (1.38) and an off-shore wind (1.52), from memory. */
export const GUST_FACTOR = 1.4;

export interface LoadFactors {
  /** Cd on the frontal area; 0.8 to 1.2 for a boat head to wind (practice). */
  drag: number;
  /** For lying off the wind as she sheers. */
  sheering: number;
  /** For waves, which are otherwise left out. */
  surge: number;
}

/**
 * Sheering 1.5 is a judgement: 30° off the wind with a side area 2.5 times the frontal one, coefficients
 * 1 ahead and 0.92 abeam (UFC 4-159-03, from memory), gives √(0.87² + 1.15²) = 1.44.
 */
export const DEFAULT_LOAD_FACTORS: LoadFactors = { drag: 1, sheering: 1.5, surge: 1 };

/** ½ρCdAV², newtons. */
export function windForceN(windMps: number, areaM2: number, drag: number): number {
  return 0.5 * AIR_KG_M3 * drag * areaM2 * windMps * windMps;
}

/**
 * Frontal area: as given, else beam × (0.8 m + 0.2 × length), with a beam of 0.9 m + length ÷ 4 where that is
 * missing too. A judgement: it stands to the design-load table as 1 to 2.5, which is how that table is usually
 * read. Undefined without area and length.
 */
export function windageAreaM2({ windageAreaM2, lengthM, beamM }: Boat): number | undefined {
  if (windageAreaM2 !== undefined) return windageAreaM2;
  if (lengthM === undefined) return undefined;
  return (beamM ?? 0.9 + lengthM / 4) * (0.8 + 0.2 * lengthM);
}

/** Newtons for each (m/s)² of wind, head-on with the factors; the one place where they meet. */
function lowerPerSquare(boat: Boat, factors: LoadFactors): number | undefined {
  const areaM2 = windageAreaM2(boat);
  if (areaM2 === undefined) return undefined;
  return windForceN(1, areaM2, factors.drag) * factors.sheering * factors.surge;
}

/** The lower estimate, N. Undefined when nothing is known of the boat's size. */
export function windLoadN(
  boat: Boat,
  windMps: number,
  factors: LoadFactors = DEFAULT_LOAD_FACTORS,
): number | undefined {
  const perSquare = lowerPerSquare(boat, factors);
  return perSquare === undefined ? undefined : perSquare * windMps * windMps;
}

/** The wind that by itself makes this load (lower estimate): one number for wind and stream together. */
export function equivalentWindMps(
  boat: Boat,
  loadN: number,
  factors: LoadFactors = DEFAULT_LOAD_FACTORS,
): number | undefined {
  const perSquare = lowerPerSquare(boat, factors);
  return perSquare === undefined || perSquare <= 0 ? undefined : Math.sqrt(loadN / perSquare);
}

/**
 * Horizontal design loads at 30 kn, ABYC H-40 as copied by anchor makers and handbooks: length overall ft, beam
 * ft of a power boat of that length (beams from memory), lbf. Its rows for 15, 42 and 60 kn are these by V².
 */
const DESIGN_LOADS = [
  [20, 8, 360],
  [25, 9, 490],
  [30, 11, 700],
  [35, 13, 900],
  [40, 14, 1200],
  [50, 16, 1600],
  [60, 18, 2000],
] as const;
const N_PER_LBF = 4.4482216152605;

/**
 * The upper estimate, N: the table by length and by beam, the larger, scaled by V². Interpolated; outside the
 * table as the square of the length (or beam), that is, as area. Undefined without a length.
 */
export function designLoadN({ lengthM, beamM }: Boat, windMps: number): number | undefined {
  if (lengthM === undefined) return undefined;
  const byLength = tabled(lengthM / M_PER_FT, 0);
  const byBeam = beamM === undefined ? 0 : tabled(beamM / M_PER_FT, 1);
  return Math.max(byLength, byBeam) * N_PER_LBF * (windMps / fromKn(30)) ** 2;
}

function tabled(sizeFt: number, column: 0 | 1): number {
  let below: (typeof DESIGN_LOADS)[number] | undefined;
  for (const row of DESIGN_LOADS) {
    if (row[column] >= sizeFt) {
      if (below === undefined) return row[2] * (sizeFt / row[column]) ** 2;
      const share = (sizeFt - below[column]) / (row[column] - below[column]);
      return below[2] + share * (row[2] - below[2]);
    }
    below = row;
  }
  return below === undefined ? Number.NaN : below[2] * (sizeFt / below[column]) ** 2;
}
