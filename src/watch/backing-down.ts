/**
 * Backed down on the anchor, as far as position can tell: after lying still with the same rode out she goes
 * astern, bow steady, without a gust that would explain it. Watched for 60 s. Where RPM tells
 * of a shaft or pitch astern, that says it outright. In: the track; out: the pull being watched, with how far it crept.
 */
import type { Picture } from "../instruments/picture.ts";
import type { Boat } from "../tackle/boat.ts";
import { circularMean } from "../units/angle.ts";
import { SECOND_MS } from "../units/time.ts";
import type { Memory, SternPull } from "./memory.ts";
import type { Stay } from "./state.ts";
import { rollerRanges, type TrackPoint } from "./track.ts";

const WATCHED_MS = 60 * SECOND_MS;
const STILL_MS = 20 * SECOND_MS;
const BEGINS_MS = 10 * SECOND_MS;
/** Going astern so far in that time, from lying still. */
const BEGINS_M = 0.8;
const STILL_M = 0.5;
const GUST_RATIO = 1.2;
const STEADY_DEG = 6;
/** Farther than this she has not held. */
export const HELD_M = 3;

/** Begins, follows or ends the watch on a stern pull. */
export function sternPullNow(
  stay: Stay,
  memory: Memory,
  picture: Picture,
  boat: Boat,
): SternPull | undefined {
  const { anchor, phase } = stay;
  const { sternPull, track } = memory;
  if (anchor === undefined || (phase !== "let-go" && phase !== "riding")) return undefined;
  if (sternPull === undefined) {
    return phase === "let-go" ? begun(stay, track, picture, boat) : undefined;
  }
  if (sternPull.endedMs !== undefined || picture.atMs - sternPull.beganMs < WATCHED_MS) return sternPull;
  const ranges = rollerRanges(track, anchor.position, boat, picture.atMs - BEGINS_MS);
  const rangeM = meanOf(ranges);
  // A bow that swings was not held by an engine astern: that was the wind. A shaft that was heard is no guess.
  const isKnown = sternPull.byEngine || isBowSteady(track, sternPull.beganMs);
  if (rangeM === undefined || !isKnown) return undefined;
  return { ...sternPull, creptM: Math.max(0, rangeM - sternPull.rangeM), endedMs: picture.atMs };
}

function begun(
  stay: Stay,
  track: readonly TrackPoint[],
  picture: Picture,
  boat: Boat,
): SternPull | undefined {
  const { anchor, rode } = stay;
  const { atMs, wind, windMean, headingDeg, astern } = picture;
  if (anchor === undefined) return undefined;
  if (astern === true) return byEngine(anchor, track, atMs, boat);
  if (headingDeg === undefined) return undefined;
  if (atMs - Math.max(anchor.sinceMs, rode?.atMs ?? 0) < STILL_MS + BEGINS_MS) return undefined;
  if (wind !== undefined && windMean !== undefined && wind.value.speedMps > GUST_RATIO * windMean.speedMps)
    return undefined;
  const ranges = rollerRanges(track, anchor.position, boat, atMs - STILL_MS - BEGINS_MS);
  const before = ranges.filter((range) => range.atMs <= atMs - BEGINS_MS);
  const last = ranges[ranges.length - 1];
  const stillM = meanOf(before);
  if (last === undefined || stillM === undefined || before.length < 10) return undefined;
  if (before.some((range) => Math.abs(range.value - stillM) > STILL_M)) return undefined;
  if (last.value - stillM < BEGINS_M) return undefined;
  return { beganMs: atMs, rangeM: stillM, byEngine: false, creptM: undefined, endedMs: undefined };
}

/** From where the rode has come tight: the range stands while the engine pulls. */
function byEngine(
  anchor: NonNullable<Stay["anchor"]>,
  track: readonly TrackPoint[],
  atMs: number,
  boat: Boat,
): SternPull | undefined {
  const ranges = rollerRanges(track, anchor.position, boat, atMs - BEGINS_MS);
  const [first, last] = [ranges[0], ranges[ranges.length - 1]];
  const rangeM = meanOf(ranges);
  if (first === undefined || last === undefined || rangeM === undefined || ranges.length < 8)
    return undefined;
  const isTight = Math.abs(last.value - first.value) < BEGINS_M;
  return isTight
    ? { beganMs: atMs, rangeM, byEngine: true, creptM: undefined, endedMs: undefined }
    : undefined;
}

function isBowSteady(track: readonly TrackPoint[], sinceMs: number): boolean {
  const headings = track.flatMap((point) =>
    point.atMs < sinceMs || point.headingDeg === undefined ? [] : [point.headingDeg],
  );
  return headings.length > 10 && circularMean(headings).spreadDeg <= STEADY_DEG;
}

function meanOf(samples: readonly { value: number }[]): number | undefined {
  return samples.length < 3 ? undefined : samples.reduce((sum, { value }) => sum + value, 0) / samples.length;
}
