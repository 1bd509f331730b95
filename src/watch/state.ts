/** The watch's state: plain data that can be saved, restored and replayed. */
import { NO_TARGET_YET, type TargetState } from "../tackle/scope.ts";
import type { Sounding, TideFit } from "../tackle/tide-fit.ts";
import type { Position } from "../units/position.ts";
import type { AlertKey } from "./finding.ts";
import type { Latch } from "./latch.ts";

export type Phase = "underway" | "let-go" | "riding" | "weighing";

export interface Anchor {
  position: Position;
  /** One sigma of where it lies. */
  uncertaintyM: number;
  sinceMs: number;
  /** Depth from the surface when it was let go; undefined: not known. */
  depthM: number | undefined;
}

export interface RodeOut {
  lengthM: number;
  source: "told" | "counted" | "splice";
  atMs: number;
}

export interface TimedWind {
  speedMps: number;
  fromDeg: number | undefined;
  atMs: number;
}

/** Everything an act changes: what UNDO puts back. */
export interface Stay {
  phase: Phase;
  phaseSinceMs: number;
  anchor: Anchor | undefined;
  /** Where a slipped rode lies, kept for recovery. */
  slipped: Position | undefined;
  rode: RodeOut | undefined;
  /** Rise told, with the depth at that time. */
  rise: { riseM: number; depthM: number | undefined; atMs: number } | undefined;
  expectMps: number | undefined;
  /** Weighing has begun with a ball: overrunning the anchor is meant. */
  ball: boolean;
}

export interface WatchState {
  stay: Stay;
  undo: { stay: Stay; atMs: number } | undefined;
  windTold: TimedWind | undefined;
  /** The last 10-minute mean and when it was last known. */
  lastMean: TimedWind | undefined;
  target: TargetState;
  greatestGustMps: number | undefined;
  latches: Partial<Record<AlertKey | "outside-far", Latch>>;
  /** When each was last there; undefined: never. */
  seenMs: { depth: number | undefined; wind: number | undefined; heading: number | undefined };
  startedMs: number;
  /** All but still, with no anchor let go: since when and where. */
  still: { position: Position; sinceMs: number } | undefined;
  /** Least range while weighing, and when it last became less. */
  closing: { leastM: number; atMs: number } | undefined;
  /** A sounding every 5 minutes, and the tide they suggest. */
  soundings: readonly Sounding[];
  tideFit: TideFit | undefined;
  facts: Record<string, { text: string; sinceMs: number }>;
}

export const UNDER_WAY: Stay = {
  phase: "underway",
  phaseSinceMs: 0,
  anchor: undefined,
  slipped: undefined,
  rode: undefined,
  rise: undefined,
  expectMps: undefined,
  ball: false,
};

export function beginWatch(atMs: number): WatchState {
  return {
    stay: { ...UNDER_WAY, phaseSinceMs: atMs },
    undo: undefined,
    windTold: undefined,
    lastMean: undefined,
    target: NO_TARGET_YET,
    greatestGustMps: undefined,
    latches: {},
    seenMs: { depth: undefined, wind: undefined, heading: undefined },
    startedMs: atMs,
    still: undefined,
    closing: undefined,
    soundings: [],
    tideFit: undefined,
    facts: {},
  };
}

/** Anchor down: from let go until aweigh. */
export function isDown(phase: Phase): boolean {
  return phase !== "underway";
}
