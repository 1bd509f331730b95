/**
 * Mass, weight in sea water, strength and stretch of chain and rope, by diameter and construction. Trade
 * figures scatter by 5 % (12 mm chain by 20 %): the maker's figure, where there is one, is better.
 */

export const ROPE_KINDS = [
  "nylon-three-strand",
  "nylon-braid",
  "polyester-three-strand",
  "polyester-braid",
] as const;

export type RopeKind = (typeof ROPE_KINDS)[number];

const G_MPS2 = 9.80665;
const SEA_WATER_KG_M3 = 1025;

/** What is left of the weight of a thing under water. Steel 0.869, nylon 0.101, polyester 0.257. */
function wetShare(densityKgPerM3: number): number {
  return 1 - SEA_WATER_KG_M3 / densityKgPerM3;
}

/** Diameter m, mass kg/m in air, breaking load N. Mass and strength both go as d² between and beyond rows. */
type Row = readonly [diameterM: number, massKgPerM: number, breakingN: number];

/**
 * Calibrated short-link chain, grade 30, the weaker of the two usual ones (trade table to DIN 766 / ISO 4565;
 * 10 mm is the ISO chain, the DIN one is 2 % lighter). Long-link and stud-link chain is lighter: not for this.
 */
const CHAIN: readonly Row[] = [
  [0.006, 0.8, 18e3],
  [0.007, 1.15, 25e3],
  [0.008, 1.4, 32e3],
  [0.01, 2.25, 50e3],
  [0.012, 3.25, 71e3],
  [0.013, 3.9, 80e3],
  [0.014, 4.25, 100e3],
  [0.016, 5.8, 125e3],
];
const STEEL_KG_M3 = 7850;

interface Rope {
  readonly rows: readonly Row[];
  readonly densityKgPerM3: number;
  /** EA ÷ breaking load of the dry rope. */
  readonly stiffnessRatio: number;
  /** Strength left when wet. */
  readonly wetStrength: number;
}

/** A construction known by one row: all else follows as d². */
function byRule(massPerD2: number, breakingPerD2: number): readonly Row[] {
  return [[0.01, massPerD2 * 1e-4, breakingPerD2 * 1e-4]];
}

/**
 * Nylon three-strand: industrial table (Cordage Institute 1303 type), 3/8 to 7/8 in. Its EA is a judgement,
 * 2 × the breaking load: new soft rope shows 1.0–1.3, quasi-static mooring practice 5 (NREL MoorProps), old
 * rope lies between. Nylon braid: UFC 4-159-03 table 6-8 (1 in: 149.5 kN, EA 3.54 × break), mass by NREL
 * MoorProps. Nylon loses 15 % when wet (UFC). Polyester: all from memory of trade tables, 12 mm three-strand
 * about 22 kN and 0.116 kg/m, braid 32 kN and 0.107 kg/m; stretch about half of nylon's or less.
 */
const ROPES: Readonly<Record<RopeKind, Rope>> = {
  "nylon-three-strand": {
    rows: [
      [0.009525, 0.0521, 14.86e3],
      [0.0111125, 0.0744, 20.02e3],
      [0.0127, 0.0967, 25.58e3],
      [0.0142875, 0.1213, 32.03e3],
      [0.015875, 0.1563, 41.59e3],
      [0.01905, 0.2158, 56.94e3],
      [0.022225, 0.2976, 80.07e3],
    ],
    densityKgPerM3: 1140,
    stiffnessRatio: 2,
    wetStrength: 0.85,
  },
  "nylon-braid": {
    rows: byRule(585, 231.7e6),
    densityKgPerM3: 1140,
    stiffnessRatio: 3.54,
    wetStrength: 0.85,
  },
  "polyester-three-strand": {
    rows: byRule(805, 155e6),
    densityKgPerM3: 1380,
    stiffnessRatio: 7,
    wetStrength: 1,
  },
  "polyester-braid": { rows: byRule(745, 220e6), densityKgPerM3: 1380, stiffnessRatio: 10, wetStrength: 1 },
};

export interface Strength {
  massKgPerM: number;
  /** Weight in sea water, N/m. */
  wetWeightNPerM: number;
  breakingN: number;
  /** What it may be loaded with: chain break ÷ 4; rope wet break ÷ 8 (ABYC H-40 as quoted in the trade). */
  workingN: number;
  /** EA, newtons: load per unit of stretch. */
  stiffnessN: number;
}

/** Short-link chain by the diameter of its bar. EA = 85.6e9·d² N (NREL MoorProps): all but rigid on a boat. */
export function chainStrength(diameterM: number): Strength {
  const { massKgPerM, breakingN } = atDiameter(CHAIN, diameterM);
  return {
    massKgPerM,
    wetWeightNPerM: massKgPerM * G_MPS2 * wetShare(STEEL_KG_M3),
    breakingN,
    workingN: breakingN / 4,
    stiffnessN: 85.6e9 * diameterM ** 2,
  };
}

/** Rope by construction and diameter, new and sound. `breakingN` is dry, `workingN` counts the wet. */
export function ropeStrength(kind: RopeKind, diameterM: number): Strength {
  const rope = ROPES[kind];
  const { massKgPerM, breakingN } = atDiameter(rope.rows, diameterM);
  return {
    massKgPerM,
    wetWeightNPerM: massKgPerM * G_MPS2 * wetShare(rope.densityKgPerM3),
    breakingN,
    workingN: (breakingN * rope.wetStrength) / 8,
    stiffnessN: breakingN * rope.stiffnessRatio,
  };
}

/** Interpolates what stands before d²; beyond the ends the end row's figure, so both go on as d². */
function atDiameter(rows: readonly Row[], diameterM: number): { massKgPerM: number; breakingN: number } {
  let below: Row | undefined;
  let above: Row | undefined;
  for (const row of rows) {
    if (row[0] <= diameterM) below = row;
    else above ??= row;
  }
  const from = below ?? above;
  const to = above ?? below;
  if (from === undefined || to === undefined) return { massKgPerM: Number.NaN, breakingN: Number.NaN };
  const share = from === to ? 0 : (diameterM - from[0]) / (to[0] - from[0]);
  const perD2 = (place: 1 | 2): number =>
    (from[place] / from[0] ** 2) * (1 - share) + (to[place] / to[0] ** 2) * share;
  return { massKgPerM: perD2(1) * diameterM ** 2, breakingN: perD2(2) * diameterM ** 2 };
}
