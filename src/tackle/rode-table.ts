/** Rode to veer by depth and wind, as data; who prints it marks what the rode aboard cannot do. */
import { type AdviceInput, adviseRode } from "./rode-advice.ts";
import { toVeer } from "./veer-length.ts";

export interface RodeCell {
  requiredM: number | undefined;
  /** Required, rounded up to what is veered, whether it is aboard or not. */
  veerDisplay: string | undefined;
  /** The rode aboard is too short for it; undefined when no rode is known. */
  beyondAboard: boolean | undefined;
}

export interface RodeTable {
  depthsM: readonly number[];
  windsMps: readonly number[];
  /** One row for each depth, one cell in it for each wind. */
  rows: RodeCell[][];
  /** For each wind, the greatest depth that the rode aboard serves. */
  greatestDepthsM: (number | undefined)[];
}

/** Gusts are the mean × 1.4 in each column. */
export function rodeTable(
  depthsM: readonly number[],
  windsMps: readonly number[],
  input: Omit<AdviceInput, "depthM" | "windMps" | "gustMps">,
): RodeTable {
  const advise = (depthM: number, windMps: number) =>
    adviseRode({ ...input, depthM, windMps, gustMps: undefined });
  return {
    depthsM,
    windsMps,
    rows: depthsM.map((depthM) =>
      windsMps.map((windMps) => {
        const { requiredM, shortfallM } = advise(depthM, windMps);
        return {
          requiredM,
          veerDisplay: requiredM === undefined ? undefined : toVeer(requiredM, input.displayUnits).text,
          beyondAboard: shortfallM === undefined ? undefined : shortfallM > 0,
        };
      }),
    ),
    greatestDepthsM: windsMps.map((windMps) => advise(0, windMps).greatestDepthM),
  };
}
