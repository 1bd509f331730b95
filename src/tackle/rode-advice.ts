/**
 * All that can be said of a rode for one depth and one wind, from plain data: what to veer, whether it is aboard,
 * how the anchor is pulled, how wide she swings. What rests on something not given is undefined.
 */
import { fromKn, toKn } from "../units/speed.ts";
import type { Boat } from "./boat.ts";
import { solveCatenary } from "./catenary.ts";
import { greatestDepthM, type RequiredRode, requiredRode } from "./required-rode.ts";
import { lineAboard, type Rode, veered } from "./rode.ts";
import { heightAtRollerM, type ScopeStep, targetScope } from "./scope.ts";
import { swingRadiusM } from "./swing.ts";
import { asAboard, type DisplayUnits, toVeer } from "./veer-length.ts";
import { GUST_FACTOR, type LoadFactors, windLoadN } from "./wind-load.ts";

/** Wind whose target is taken when no wind is known. */
const UNKNOWN_WIND_MPS = fromKn(20);

export interface AdviceInput {
  /** From the surface. */
  depthM: number;
  /** Rise of tide still to come; unknown counts as none, and stays unknown in the answer. */
  riseM: number | undefined;
  boat: Boat;
  rode: Rode | undefined;
  /** Mean wind (equivalent wind, where a stream runs). */
  windMps: number | undefined;
  /** Gust; the mean × 1.4 where it is not given. */
  gustMps: number | undefined;
  steps: readonly ScopeStep[];
  pullLimitDeg: number;
  displayUnits: DisplayUnits;
  /** `DEFAULT_LOAD_FACTORS` unless set otherwise. */
  factors: LoadFactors;
}

export interface RodeAdvice {
  depthM: number;
  rollerHeightM: number | undefined;
  riseM: number | undefined;
  /** Depth + roller + rise. */
  heightM: number | undefined;
  windKn: number | undefined;
  /** For the wind; where none is known, for 20 kn. */
  targetScope: number | undefined;
  requiredM: number | undefined;
  byRuleM: number | undefined;
  byMechanicsM: number | undefined;
  aboardM: number | undefined;
  shortfallM: number | undefined;
  greatestDepthM: number | undefined;
  /** Horizontal, at the gust, lower estimate. */
  loadN: number | undefined;
  /** These four at the gust, with the smaller of required and aboard out; undefined when that hangs short. */
  pullDeg: number | undefined;
  groundedM: number | undefined;
  reachM: number | undefined;
  swingRadiusM: number | undefined;
  /** Required, rounded up to what is veered; all there is (rounded down) when that is less. */
  veerDisplay: string | undefined;
}

/** Never refuses: the answer is as full as the data given. */
export function adviseRode(input: AdviceInput): RodeAdvice {
  const { depthM, riseM, boat, rode, windMps, pullLimitDeg } = input;
  const { rollerHeightM } = boat;
  const gustMps = input.gustMps ?? (windMps === undefined ? undefined : windMps * GUST_FACTOR);
  const loadN = gustMps === undefined ? undefined : windLoadN(boat, gustMps, input.factors);
  const target = targetScope(input.steps, windMps ?? UNKNOWN_WIND_MPS);
  const demand = { rode, targetScope: target, loadN, pullLimitDeg };
  const heightM = rollerHeightM === undefined ? undefined : heightAtRollerM(depthM, rollerHeightM, riseM);
  const required =
    heightM === undefined || !(heightM > 0) ? UNKNOWN_REQUIREMENT : requiredRode(heightM, demand);
  return {
    depthM,
    rollerHeightM,
    riseM,
    heightM,
    windKn: windMps === undefined ? undefined : toKn(windMps),
    targetScope: target,
    ...required,
    aboardM: rode && rode.chainM + rode.ropeM,
    greatestDepthM: rollerHeightM === undefined ? undefined : greatestDepthM(demand, rollerHeightM, riseM),
    loadN,
    ...riding(input, required, heightM, loadN),
    veerDisplay: veerText(required, input.displayUnits),
  };
}

const UNKNOWN_REQUIREMENT: RequiredRode = {
  byRuleM: undefined,
  byMechanicsM: undefined,
  requiredM: undefined,
  aboardM: undefined,
  shortfallM: undefined,
};

type Riding = Pick<RodeAdvice, "pullDeg" | "groundedM" | "reachM" | "swingRadiusM">;

/** How she rides with the advised length out. */
function riding(
  { boat, rode }: AdviceInput,
  { requiredM, aboardM }: RequiredRode,
  heightM: number | undefined,
  loadN: number | undefined,
): Riding {
  const line = rode && lineAboard(rode);
  const unknown = { pullDeg: undefined, groundedM: undefined, reachM: undefined, swingRadiusM: undefined };
  if (line === undefined || requiredM === undefined || aboardM === undefined) return unknown;
  if (heightM === undefined || loadN === undefined) return unknown;
  const catenary = solveCatenary(heightM, veered(line, Math.min(requiredM, aboardM)), loadN);
  if (!catenary.ok) return unknown;
  const { pullDeg, groundedM, reachM } = catenary;
  const { rollerToAntennaM } = boat;
  const swing = rollerToAntennaM === undefined ? undefined : swingRadiusM(reachM, rollerToAntennaM);
  return { pullDeg, groundedM, reachM, swingRadiusM: swing };
}

/** What to veer, in words: also the cell of a table. */
export function veerText({ requiredM, aboardM }: RequiredRode, units: DisplayUnits): string | undefined {
  if (requiredM === undefined) return undefined;
  if (aboardM !== undefined && aboardM < requiredM) return asAboard(aboardM, units).text;
  return toVeer(requiredM, units).text;
}
