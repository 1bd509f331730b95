/**
 * Horizontal reach of the rode out by load, solved once for a height and a length and looked up every second:
 * gusts change the load each second, the height and the rode hardly ever.
 */
import { solveCatenary } from "../tackle/catenary.ts";
import { lineAboard, type Part, type Rode, veered } from "../tackle/rode.ts";
import { reachBoundM } from "../tackle/swing.ts";

export interface ReachTable {
  heightM: number;
  rodeM: number;
  /** Reach at each of LOADS; a single one where the line is not known well enough to hang it. */
  reachM: number[];
  /** What the line gives for each newton, m. */
  stretchMPerN: number;
  /** The pull that draws its chain straight over the bottom, N. */
  straightN: number;
}

const LEAST_N = 40;
const GREATEST_N = 40_000;
const STEPS = 24;
const STEP = (GREATEST_N / LEAST_N) ** (1 / STEPS);
const HEIGHT_M = 0.05;

/** A straight rode less the metre by which it always hangs a little (position-only practice of the study). */
const NEVER_STRAIGHT_M = 1;
/** Of chain on sand or mud, its pull sideways as a share of its weight in water (mooring handbooks, from memory). */
const CHAIN_FRICTION = 1;
/** EA of a rope that nobody has described: 14 mm nylon, as the tackle reckons. */
const USUAL_EA_N = 62e3;

/** The table for this rode and height: the one before while both are (nearly) the same. */
export function reachTable(
  before: ReachTable | undefined,
  rode: Rode | undefined,
  rodeM: number,
  heightM: number,
): ReachTable {
  if (before?.rodeM === rodeM && Math.abs(before.heightM - heightM) <= HEIGHT_M) return before;
  const aboard = rode === undefined ? undefined : lineAboard(rode);
  const boundM = reachBoundM(rodeM, 0, heightM) - NEVER_STRAIGHT_M;
  const usual = {
    heightM,
    rodeM,
    reachM: [boundM],
    stretchMPerN: ropeOutM(rode, rodeM) / USUAL_EA_N,
    straightN: 0,
  };
  if (aboard === undefined) return usual;
  const out = veered(aboard, rodeM);
  const reachM: number[] = [];
  for (let i = 0; i <= STEPS; i++) {
    const solved = solveCatenary(heightM, out, LEAST_N * STEP ** i);
    if (!solved.ok) return usual;
    reachM.push(Math.round(solved.reachM * 1000) / 1000);
  }
  return {
    ...usual,
    reachM,
    stretchMPerN: giveOf(out.chain) + giveOf(out.rope),
    straightN: CHAIN_FRICTION * out.chain.lengthM * out.chain.weightNPerM,
  };
}

function giveOf({ lengthM, stiffnessN }: Part): number {
  return lengthM / stiffnessN;
}

/** Chain gives next to nothing; where the rode is not known at all it may all be rope. */
function ropeOutM(rode: Rode | undefined, rodeM: number): number {
  return Math.max(0, rodeM - (rode?.chainM ?? 0));
}

/** Reach at a load, interpolated; without a load, the straight rode's. */
export function reachAt(table: ReachTable, loadN: number | undefined): number {
  const first = table.reachM[0] ?? 0;
  if (table.reachM.length === 1) return first + stretchAt(table, loadN);
  if (loadN === undefined) return reachBoundM(table.rodeM, 0, table.heightM) - NEVER_STRAIGHT_M;
  const at = Math.min(STEPS, Math.max(0, Math.log(loadN / LEAST_N) / Math.log(STEP)));
  const low = Math.min(STEPS - 1, Math.floor(at));
  const a = table.reachM[low] ?? first;
  const b = table.reachM[low + 1] ?? a;
  return a + (b - a) * (at - low);
}

/** The part of that reach that is stretch, m; 0 without a load. */
export function stretchAt({ stretchMPerN }: ReachTable, loadN: number | undefined): number {
  return (loadN ?? 0) * stretchMPerN;
}
