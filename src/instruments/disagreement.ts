/**
 * Two position sources against each other. In: the newest fix of each source; out: how far the one in use lies
 * from the one that is farthest off, when that is more than both can wander. Whether it lasts is the watch's affair.
 */
import { distanceM } from "../units/position.ts";
import type { Channel, Known } from "./channel.ts";
import type { Fix } from "./fixes.ts";

export interface Disagreement {
  distanceM: number;
  /** The source in use, and the one that says otherwise (`port/talker`). */
  sources: readonly [string, string];
}

/** What two sound receivers aboard may differ by: antennas at both ends of the boat, and then some. */
const APART_M = 30;
/** Three times the wander assumed of a receiver that nobody knows yet, 2.5 m (as for fixes). */
const WANDER_M = 7.5;

/** @param sogMps widens it by what she runs between two fixes that are not of one instant */
export function disagreementOf(
  channel: Channel<Fix>,
  using: Known<Fix> | undefined,
  staleMs: number,
  sogMps: number,
  atMs: number,
): Disagreement | undefined {
  if (using === undefined) return undefined;
  let worst: Disagreement | undefined;
  for (const other of Object.values(channel.readings)) {
    if (other.source === using.source || atMs - other.atMs > staleMs) continue;
    const betweenS = Math.abs(using.atMs - other.atMs) / 1000 + 1;
    const apartM = distanceM(using.value, other.value);
    if (apartM <= APART_M + 2 * WANDER_M + sogMps * betweenS) continue;
    if (worst === undefined || apartM > worst.distanceM)
      worst = { distanceM: apartM, sources: [using.source, other.source] };
  }
  return worst;
}
