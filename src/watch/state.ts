/** The watch's state: plain data that can be saved, restored and replayed. */
import { NO_TARGET_YET, type TargetState } from "../tackle/scope.ts";
import type { Sounding, TideFit } from "../tackle/tide-fit.ts";
import type { Position } from "../units/position.ts";
import { beginDrag, type DragState } from "./drag-state.ts";
import type { AlertKey } from "./finding.ts";
import type { Latch } from "./latch.ts";
import { type Memory, nothingRemembered } from "./memory.ts";
import type { Journal } from "./stay-summary.ts";

export type Phase = "underway" | "let-go" | "riding" | "weighing";

export interface Anchor {
  position: Position;
  /** One sigma of where it lies. */
  uncertaintyM: number;
  /** See `Placed`. */
  byFix: boolean;
  sinceMs: number;
  /** Depth from the surface when it was let go; undefined: not known. */
  depthM: number | undefined;
  /** Known to lie on the bottom, or its place told; until then it may have drifted while sinking. */
  onBottom: boolean;
  /** The antenna at let go, where no heading said on which side the roller was: the fall back will tell. */
  antennaAtLetGo: Position | undefined;
}

/** A boat, rock or shoal that nothing advised may swing her into. */
export interface KeepOff {
  name: string;
  position: Position;
  /** One sigma, as a person judges a distance over the water. */
  uncertaintyM: number;
}

export interface RodeOut {
  lengthM: number;
  source: "told" | "counted" | "splice";
  atMs: number;
  /** What the counter stood at then: one that was not zeroed counts on from there. Undefined: there was none. */
  countedM: number | undefined;
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
  keepOffs: readonly KeepOff[];
  /** Where the stern is wished to lie. */
  lie: Position | undefined;
  /** The operator has said that she drifts with engines out of gear. */
  neutralMs: number | undefined;
}

export interface WatchState {
  stay: Stay;
  undo: Undo | undefined;
  windTold: TimedWind | undefined;
  /** The last 10-minute mean and when it was last known. */
  lastMean: TimedWind | undefined;
  target: TargetState;
  greatestGustMps: number | undefined;
  latches: Partial<
    Record<AlertKey | "outside-far" | "scope-least" | "sources-disagree" | "fix-hangs", Latch>
  >;
  /** A bit for each of the last seconds: too little under the keel; and heard to be so. */
  shallows: { seconds: number; heard: number };
  /** When each was last there; undefined: never. */
  seenMs: { depth: number | undefined; wind: number | undefined; heading: number | undefined };
  startedMs: number;
  /** All but still, with no anchor let go: since when and where. */
  still: { position: Position; sinceMs: number } | undefined;
  /** Least range while weighing, and when it last became less. */
  closing: { leastM: number; atMs: number } | undefined;
  /** When weighing was last given up for want of closing. */
  gaveUpMs: number | undefined;
  /** Riding: rode out while it last stood, and a second ago. */
  stood: { lengthM: number; lastM: number } | undefined;
  /** What the counter last said, however long ago: many speak only while the windlass runs. */
  countedM: number | undefined;
  /** A sounding every 5 minutes, and the tide they suggest. */
  soundings: readonly Sounding[];
  tideFit: TideFit | undefined;
  facts: Record<string, { text: string; sinceMs: number }>;
  /** What guidance has to remember from one second to the next. */
  memory: Memory;
  drag: DragState;
}

/** What an act took the place of. */
export interface Undo {
  stay: Stay;
  windTold: TimedWind | undefined;
  journal: Journal | undefined;
  /** What the drag watch had found, where the act ended or began it anew: taken back, an alarm stands again. */
  drag: DragState | undefined;
  atMs: number;
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
  keepOffs: [],
  lie: undefined,
  neutralMs: undefined,
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
    shallows: { seconds: 0, heard: 0 },
    seenMs: { depth: undefined, wind: undefined, heading: undefined },
    startedMs: atMs,
    still: undefined,
    closing: undefined,
    gaveUpMs: undefined,
    stood: undefined,
    countedM: undefined,
    soundings: [],
    tideFit: undefined,
    facts: {},
    memory: nothingRemembered(),
    drag: beginDrag(),
  };
}

/** Anchor down: from let go until aweigh. */
export function isDown(phase: Phase): boolean {
  return phase !== "underway";
}
