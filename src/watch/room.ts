/**
 * Room to swing and to drag. In: the anchor, the KEEPOFF marks, the boat; out: the most rode whose stern circle
 * stays clear of every mark, and how far and how long it is to the nearest one to leeward.
 */

import type { Picture } from "../instruments/picture.ts";
import { sternRadiusM } from "../tackle/swing.ts";
import { toRad, turnDeg } from "../units/angle.ts";
import { bearingDeg, distanceM } from "../units/position.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { FIX_M } from "./anchor-position.ts";
import type { Heights } from "./ground.ts";
import type { WatchSettings } from "./settings.ts";
import type { Anchor, KeepOff, Stay } from "./state.ts";
import { rollerRanges, type TrackPoint, trendOf } from "./track.ts";

export interface Room {
  /** Most rode out with the stern clear of every mark, in any wind; undefined: no mark limits it. */
  mostRodeM: number | undefined;
  limitedBy: string | undefined;
  /** The nearest mark to leeward, from the stern. */
  leeward: Leeward | undefined;
}

export interface Leeward {
  name: string;
  distanceM: number;
  uncertaintyM: number;
  /** Minutes at the speed of the last minute; undefined while she is not going there. */
  minutes: { likely: number; soonest: number; latest: number | undefined } | undefined;
}

/** For a boat of unknown length: longer than most that carry this (a judgement). */
const UNKNOWN_LENGTH_M = 12;
/** Stretch and straightening of the rode in a gale, a judgement. */
const STRETCH = 0.05;

export function roomNow(
  stay: Stay,
  track: readonly TrackPoint[],
  picture: Picture,
  heights: Heights,
  settings: WatchSettings,
): Room | undefined {
  const { anchor, keepOffs } = stay;
  if (anchor === undefined || keepOffs.length === 0) return undefined;
  const lengthM = settings.boat.lengthM ?? UNKNOWN_LENGTH_M;
  let tightest: { mostRodeM: number; name: string } | undefined;
  for (const mark of keepOffs) {
    const mostRodeM = mostRodeClearOf(mark, anchor, lengthM, heights.forCircleM);
    if (tightest === undefined || mostRodeM < tightest.mostRodeM) tightest = { mostRodeM, name: mark.name };
  }
  return {
    mostRodeM: tightest?.mostRodeM,
    limitedBy: tightest?.name,
    leeward: leewardOf(stay, anchor, track, picture, lengthM, settings),
  };
}

/** Both places unsure: two sigma of the two together are kept clear. 0 when she lies too near already. */
function mostRodeClearOf(mark: KeepOff, anchor: Anchor, boatLengthM: number, heightM: number): number {
  const clearM = 2 * Math.hypot(mark.uncertaintyM, anchor.uncertaintyM);
  const reachM = distanceM(anchor.position, mark.position) - clearM - sternRadiusM(0, boatLengthM);
  return reachM <= 0 ? 0 : Math.hypot(reachM, heightM) / (1 + STRETCH);
}

/** What is said instead of any advice to veer. */
export const NO_ROOM = "No room to veer: re-anchor";

/** Is there no room for so much rode out? */
export function isCramped(room: Room | undefined, rodeM: number): boolean {
  return room?.mostRodeM !== undefined && rodeM > room.mostRodeM;
}

const LEEWARD_DEG = 45;

/** Leeward is where she lies from her anchor, and where she would go on to if it let go. */
function leewardOf(
  { keepOffs }: Stay,
  anchor: Anchor,
  track: readonly TrackPoint[],
  picture: Picture,
  boatLengthM: number,
  { boat }: WatchSettings,
): Leeward | undefined {
  const fix = picture.position?.value;
  const downDeg = fix === undefined ? undefined : bearingDeg(anchor.position, fix);
  if (fix === undefined || downDeg === undefined) return undefined;
  const sternM = boatLengthM - (boat.rollerToAntennaM ?? 0);
  let nearest: Leeward | undefined;
  for (const mark of keepOffs) {
    const offDeg = Math.abs(turnDeg(downDeg, bearingDeg(fix, mark.position) ?? downDeg));
    const distance = Math.max(
      0,
      distanceM(fix, mark.position) * Math.cos(toRad(Math.min(offDeg, 90))) - sternM,
    );
    if (offDeg > LEEWARD_DEG || (nearest !== undefined && distance >= nearest.distanceM)) continue;
    const uncertaintyM = Math.hypot(mark.uncertaintyM, FIX_M);
    const minutes = minutesTo(distance, uncertaintyM, speedAway(anchor, track, picture, boat));
    nearest = { name: mark.name, distanceM: distance, uncertaintyM, minutes };
  }
  return nearest;
}

const SPEED_OVER_MS = 60 * SECOND_MS;
/** A line through a minute of a good receiver's fixes, one sigma. */
const SPEED_SD_MPS = 0.02;

function speedAway(
  anchor: Anchor,
  track: readonly TrackPoint[],
  picture: Picture,
  boat: WatchSettings["boat"],
): number | undefined {
  return trendOf(rollerRanges(track, anchor.position, boat, picture.atMs - SPEED_OVER_MS))?.perS;
}

function minutesTo(
  distance: number,
  uncertaintyM: number,
  speedMps: number | undefined,
): Leeward["minutes"] | undefined {
  if (speedMps === undefined || speedMps < 2 * SPEED_SD_MPS) return undefined;
  const minutes = (metres: number, mps: number) => (metres / mps / MINUTE_MS) * SECOND_MS;
  const slowMps = speedMps - SPEED_SD_MPS;
  return {
    likely: minutes(distance, speedMps),
    soonest: minutes(Math.max(0, distance - uncertaintyM), speedMps + SPEED_SD_MPS),
    latest: slowMps > 0 ? minutes(distance + uncertaintyM, slowMps) : undefined,
  };
}
