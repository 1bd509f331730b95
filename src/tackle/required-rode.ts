/** Rode to have out: by the rule of thumb, by the mechanics, and against what is aboard. */
import { heightAtPullLimitM, leastRodeM } from "./least-rode.ts";
import { aboardM, lineAboard, type Rode } from "./rode.ts";

/** Less than this missing is rounding. */
const DUST_M = 1e-6;

export interface Demand {
  rode: Rode | undefined;
  targetScope: number | undefined;
  /** Horizontal, at the gust. */
  loadN: number | undefined;
  pullLimitDeg: number;
}

export interface RequiredRode {
  /** Target scope × height. */
  byRuleM: number | undefined;
  /** Length at which the pull at the anchor stays within the limit at the gust load. */
  byMechanicsM: number | undefined;
  /** The larger of those that are known. */
  requiredM: number | undefined;
  aboardM: number | undefined;
  /** What is missing aboard; 0 when there is enough. */
  shortfallM: number | undefined;
}

/** For one height of the roller above the seabed (rise to come included). Level bottom. */
export function requiredRode(heightM: number, demand: Demand): RequiredRode {
  const { rode, targetScope, loadN, pullLimitDeg } = demand;
  const line = rode && lineAboard(rode);
  const byRuleM = targetScope === undefined ? undefined : targetScope * heightM;
  const byMechanicsM =
    line === undefined || loadN === undefined ? undefined : leastRodeM(line, heightM, loadN, pullLimitDeg);
  const requiredM =
    byRuleM === undefined || byMechanicsM === undefined
      ? (byRuleM ?? byMechanicsM)
      : Math.max(byRuleM, byMechanicsM);
  const haveM = rode && aboardM(rode);
  const missingM = haveM === undefined || requiredM === undefined ? undefined : requiredM - haveM;
  const shortfallM = missingM !== undefined && missingM <= DUST_M ? 0 : missingM;
  return { byRuleM, byMechanicsM, requiredM, aboardM: haveM, shortfallM };
}

/**
 * Greatest height of the roller above the seabed that the rode aboard serves: where `requiredRode` first asks
 * for all of it. Undefined without a rode or without either rule to go by.
 */
export function greatestHeightM({ rode, targetScope, loadN, pullLimitDeg }: Demand): number | undefined {
  if (rode === undefined) return undefined;
  const line = lineAboard(rode);
  const heights: number[] = [];
  if (targetScope !== undefined) heights.push(aboardM(rode) / targetScope);
  if (line !== undefined && loadN !== undefined) {
    heights.push(Math.min(aboardM(rode), heightAtPullLimitM(line, loadN, pullLimitDeg)));
  }
  return heights.length === 0 ? undefined : Math.min(...heights);
}

/** The same as a depth of water; never below 0, which means nowhere. */
export function greatestDepthM(
  demand: Demand,
  rollerHeightM: number,
  riseM: number | undefined,
): number | undefined {
  const heightM = greatestHeightM(demand);
  return heightM === undefined ? undefined : Math.max(0, heightM - rollerHeightM - (riseM ?? 0));
}
