/** What is still to veer, to the target, and in the marks on the rode. In: rode known, scope; out: a countdown. */
import type { ScopeNow } from "./scope.ts";

export interface InMarks {
  /** Marks still to pass the roller. */
  count: number;
  /** The last of them; undefined: none is left before the target. */
  lastMarkM: number | undefined;
  /** And so much beyond it. */
  beyondM: number;
}

export interface Veering {
  /** What should be out: the requirement, or all that is aboard where that is less. */
  toM: number;
  /** Undefined while the rode out is not known. */
  remainingM: number | undefined;
  inMarks: InMarks | undefined;
  /** The requirement is more than is aboard. */
  tooShort: boolean;
}

/** Undefined without a requirement (no depth, no roller height). */
export function veeringOf(
  scope: ScopeNow,
  rodeM: number | undefined,
  marksM: readonly number[],
): Veering | undefined {
  const { requiredM, aboardM } = scope;
  if (requiredM === undefined) return undefined;
  const toM = aboardM === undefined ? requiredM : Math.min(requiredM, aboardM);
  const remainingM = rodeM === undefined ? undefined : Math.max(0, toM - rodeM);
  return {
    toM,
    remainingM,
    inMarks: marksM.length === 0 || rodeM === undefined ? undefined : inMarks(rodeM, toM, marksM),
    tooShort: aboardM !== undefined && requiredM > aboardM,
  };
}

/** @param marksM ascending, metres from the anchor */
export function inMarks(rodeM: number, toM: number, marksM: readonly number[]): InMarks {
  const toPass = marksM.filter((markM) => markM > rodeM && markM <= toM);
  const lastMarkM = toPass[toPass.length - 1];
  return { count: toPass.length, lastMarkM, beyondM: Math.max(0, toM - (lastMarkM ?? rodeM)) };
}
