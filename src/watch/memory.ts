/** What guidance remembers from one second to the next: plain data, saved and resumed with the watch. */
import type { Position } from "../units/position.ts";
import type { Callout } from "./callout.ts";
import type { Drift } from "./neutral.ts";
import type { SoundedPlace } from "./shoals.ts";
import type { KeepOff } from "./state.ts";
import type { Journal, StaySummary } from "./stay-summary.ts";
import type { TrackPoint } from "./track.ts";

/** A pull astern that is being watched, or the last one that was. */
export interface SternPull {
  beganMs: number;
  /** Range from the roller to the anchor when it began. */
  rangeM: number;
  /** Heard from the shaft, not read off her way. */
  byEngine: boolean;
  /** How far the range has grown when it ended; undefined: not over. */
  creptM: number | undefined;
  endedMs: number | undefined;
}

export interface Memory {
  /** The last two minutes, a point each second. */
  track: TrackPoint[];
  /** Where she has been sounding, and which of that is too shallow by low water. */
  sounded: SoundedPlace[];
  shoals: readonly KeepOff[];
  /** The last course that she was clearly making ahead. */
  lastCourse: { deg: number; atMs: number } | undefined;
  /** Out of gear and drifting: since when, and the last second of it. */
  neutral: { sinceMs: number; lastMs: number } | undefined;
  /** The drift as last read, and when. */
  drift: { atMs: number; read: Drift | undefined } | undefined;
  /** Sum of the offsets from where the antenna was at let go, from one minute after it. */
  fallBack: { north: number; east: number; count: number } | undefined;
  contradictedSinceMs: number | undefined;
  /** A proposal stands since. */
  proposedSinceMs: number | undefined;
  /** The range grows with the rode taut: since when, and when it last had for long. */
  driving: { sinceMs: number | undefined; droveMs: number | undefined } | undefined;
  /** Since the last veering the range has grown when it had had the time to settle. */
  grewLate: boolean;
  sternPull: SternPull | undefined;
  /** Mean wind when she was brought up, from which a shift is reckoned. */
  setWindFromDeg: number | undefined;
  /** Greatest gust while lying to her anchor, in this stay. */
  held: { gustMps: number; atMs: number } | undefined;
  /** Weighing: how far the straight line was beyond the length last told, and when that was told. */
  haul: { toldMs: number; beyondM: number } | undefined;
  /** Weighing, the splice has come near. */
  spliceSinceMs: number | undefined;
  upAndDown: { sinceMs: number; rodeM: number } | undefined;
  freeSinceMs: number | undefined;
  leavingSinceMs: number | undefined;
  /** The anchor came off the bottom with so much rode still hanging. */
  aweigh: { atMs: number; hangsM: number } | undefined;
  /** When each reminder was last begun. */
  reminded: Record<string, number>;
  callout: Callout | undefined;
  journal: Journal | undefined;
  closed: StaySummary | undefined;
  /** Where the rode was slipped, and since when: kept for recovery. */
  slipped: { position: Position; atMs: number } | undefined;
}

export function nothingRemembered(): Memory {
  return {
    track: [],
    sounded: [],
    shoals: [],
    lastCourse: undefined,
    neutral: undefined,
    drift: undefined,
    fallBack: undefined,
    contradictedSinceMs: undefined,
    proposedSinceMs: undefined,
    driving: undefined,
    grewLate: false,
    sternPull: undefined,
    setWindFromDeg: undefined,
    held: undefined,
    haul: undefined,
    spliceSinceMs: undefined,
    upAndDown: undefined,
    freeSinceMs: undefined,
    leavingSinceMs: undefined,
    aweigh: undefined,
    reminded: {},
    callout: undefined,
    journal: undefined,
    closed: undefined,
    slipped: undefined,
  };
}

/** A new stay begins: what belonged to the one before is forgotten. */
export function forNewStay(memory: Memory): Memory {
  const { track, sounded, lastCourse, callout } = memory;
  return { ...nothingRemembered(), track, sounded, lastCourse, callout };
}
