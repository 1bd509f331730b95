/** What receivers do wrong outright: a jump, no fix, or the same fix over and over. */
import { vectorOf } from "../units/angle.ts";
import { plus } from "./plane.ts";
import type { Fix } from "./receiver.ts";

export type Fault =
  | { kind: "jump"; fromS: number; forS: number; byM: number; towardDeg: number }
  | { kind: "void"; fromS: number; forS: number }
  /** The last fix repeated; `clockToo`: the receiver hangs and its time stands still as well. */
  | { kind: "frozen"; fromS: number; forS: number; clockToo: boolean };

/** 147 m is a jump that was once recorded of a receiver at rest; how long each lasts is our choice. */
export const USUAL_FAULTS = {
  jump: (fromS: number, towardDeg: number): Fault => ({ kind: "jump", fromS, forS: 40, byM: 147, towardDeg }),
  void: (fromS: number): Fault => ({ kind: "void", fromS, forS: 300 }),
  frozen: (fromS: number, clockToo: boolean): Fault => ({ kind: "frozen", fromS, forS: 1200, clockToo }),
} as const;

/** The fix as a receiver with these faults gives it; `last` is what it gave a second ago. */
export function faultyFix(faults: readonly Fault[], fix: Fix, last: Fix | undefined): Fix {
  const fault = faults.find(({ fromS, forS }) => fix.timeS >= fromS && fix.timeS < fromS + forS);
  switch (fault?.kind) {
    case undefined:
      return fix;
    case "jump":
      return { ...fix, at: plus(fix.at, vectorOf(fault.byM, fault.towardDeg)) };
    case "void":
      return { ...fix, valid: false };
    case "frozen":
      return last === undefined ? fix : { ...last, timeS: fault.clockToo ? last.timeS : fix.timeS };
  }
}
