/**
 * Weighing, told from bow to helm: where the anchor bears, how fast she closes, what rode is still out, and the
 * order of what comes. In: stay, track, figures; out: figures and the stage reached. Steering is the callout's.
 */

import type { Picture } from "../instruments/picture.ts";
import { turnDeg } from "../units/angle.ts";
import { bearingDeg } from "../units/position.ts";
import { SECOND_MS } from "../units/time.ts";
import { FIX_M } from "./anchor-position.ts";
import type { Heights } from "./ground.ts";
import type { Memory } from "./memory.ts";
import type { RodeKnown } from "./rode-known.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay } from "./state.ts";
import { rollerOf, rollerRanges, trendOf } from "./track.ts";
import { stageOf, type WeighStage } from "./weigh-stage.ts";

export interface Weigh {
  stage: WeighStage | undefined;
  /** From the roller to the anchor. */
  distanceM: number | undefined;
  bearingDeg: number | undefined;
  /** To starboard positive; undefined without heading, or over the anchor where no bearing can be trusted. */
  steerDeg: number | undefined;
  closingMps: number | undefined;
  /** By geometry, or told or counted where that is less; and its uncertainty. */
  rodeOutM: number | undefined;
  uncertaintyM: number | undefined;
  loadN: number | undefined;
  /** The load on the bow is more than the windlass may work against. */
  engineNotWindlass: boolean;
  /** She closes faster than the windlass hauls. */
  rodeSlack: boolean;
  overrunning: boolean;
  sideways: boolean;
  /** Deeper than the chain is long: aweigh comes first, and so much hangs below then. */
  hangsM: number | undefined;
}

const CLOSING_OVER_MS = 15 * SECOND_MS;

export function weighNow(
  stay: Stay,
  memory: Memory,
  picture: Picture,
  rode: RodeKnown,
  heights: Heights,
  loadN: number | undefined,
  settings: WatchSettings,
): Weigh | undefined {
  const { anchor } = stay;
  if (stay.phase !== "weighing" || anchor === undefined) {
    memory.upAndDown = undefined;
    memory.spliceSinceMs = undefined;
    memory.freeSinceMs = undefined;
    memory.haul = undefined;
    return undefined;
  }
  const heightM = heights.forScopeM;
  const distance = rode.rollerRangeM;
  const uncertaintyM = Math.hypot(anchor.uncertaintyM, FIX_M);
  const rodeOutM = rodeOut(stay, memory, rode, heightM, uncertaintyM);
  const closing = closingNow(stay, memory, picture, settings);
  const aim = aimAt(stay, picture, settings, distance, uncertaintyM);
  const isClosing = (closing ?? 0) > 0.05;
  const chainM = settings.rode?.chainM ?? 0;
  const far = distance !== undefined && heightM !== undefined && distance > heightM;
  return {
    stage: stageOf({ memory, picture, heightM, rodeOutM, distance, uncertaintyM, chainM, closing }),
    distanceM: distance,
    ...aim,
    closingMps: closing,
    rodeOutM,
    uncertaintyM: rodeOutM === undefined ? undefined : uncertaintyM,
    loadN,
    engineNotWindlass: far && !isClosing && over(loadN, settings.windlassPullN),
    rodeSlack: far && over(shorteningMps(closing, distance, rodeOutM), settings.windlassMps, 1.15),
    overrunning: !stay.ball && isOverrun(aim.offDeg, distance, uncertaintyM, closing),
    sideways: !stay.ball && isSideways(aim.offDeg, distance, heightM),
    hangsM: heightM !== undefined && heightM > chainM ? heightM : undefined,
  };
}

function over(value: number | undefined, limit: number | undefined, factor = 1): boolean {
  return value !== undefined && limit !== undefined && value > limit * factor;
}

/**
 * Kept just slack, the rode still out is the straight line; told or counted it may be less, never more. A line that
 * was longer than the length told is so by the error of anchor and fix, which changes slowly: from there on it is
 * taken off. `memory.haul` is kept.
 */
function rodeOut(
  { rode: told, phaseSinceMs }: Stay,
  memory: Memory,
  { leastM, lengthM, rollerRangeM }: RodeKnown,
  heightM: number | undefined,
  uncertaintyM: number,
): number | undefined {
  if (heightM === undefined || rollerRangeM === undefined) return lengthM ?? leastM;
  const straightM = Math.hypot(rollerRangeM, heightM);
  if (told === undefined || lengthM === undefined) return straightM;
  if (told.atMs > phaseSinceMs && memory.haul?.toldMs !== told.atMs) {
    const beyondM = Math.min(2 * uncertaintyM, Math.max(0, straightM - lengthM));
    memory.haul = { toldMs: told.atMs, beyondM };
  }
  return Math.max(Math.min(straightM - (memory.haul?.beyondM ?? 0), lengthM), Math.min(heightM, lengthM));
}

/** Metres a second towards the anchor, over 15 s. */
function closingNow({ anchor }: Stay, { track }: Memory, { atMs }: Picture, { boat }: WatchSettings) {
  if (anchor === undefined) return undefined;
  const trend = trendOf(rollerRanges(track, anchor.position, boat, atMs - CLOSING_OVER_MS));
  return trend === undefined ? undefined : -trend.perS;
}

/** How fast the straight line shortens when she closes so fast: that is what the windlass must take in. */
function shorteningMps(
  closingMps: number | undefined,
  distance: number | undefined,
  rodeOutM: number | undefined,
): number | undefined {
  if (closingMps === undefined || distance === undefined || !rodeOutM) return undefined;
  return closingMps * Math.min(1, distance / rodeOutM);
}

interface Aim {
  bearingDeg: number | undefined;
  steerDeg: number | undefined;
  offDeg: number | undefined;
}

function aimAt(
  { anchor }: Stay,
  { position, headingDeg }: Picture,
  { boat }: WatchSettings,
  distance: number | undefined,
  uncertaintyM: number,
): Aim {
  if (anchor === undefined || position === undefined)
    return { bearingDeg: undefined, steerDeg: undefined, offDeg: undefined };
  const roller = rollerOf(position.value, headingDeg?.value, boat);
  const bearing = bearingDeg(roller, anchor.position);
  const isSure = distance !== undefined && distance > 1.5 * uncertaintyM;
  const offDeg =
    headingDeg === undefined || bearing === undefined || !isSure
      ? undefined
      : turnDeg(headingDeg.value, bearing);
  return { bearingDeg: bearing, steerDeg: offDeg, offDeg };
}

const ABAFT_DEG = 110;
const ABEAM_DEG = 55;

function isOverrun(
  offDeg: number | undefined,
  distance: number | undefined,
  uncertaintyM: number,
  closing: number | undefined,
): boolean {
  if (offDeg === undefined || distance === undefined || closing === undefined) return false;
  return Math.abs(offDeg) > ABAFT_DEG && distance > uncertaintyM && closing < -0.1;
}

function isSideways(
  offDeg: number | undefined,
  distance: number | undefined,
  heightM: number | undefined,
): boolean {
  if (offDeg === undefined || distance === undefined || heightM === undefined) return false;
  const off = Math.abs(offDeg);
  return off > ABEAM_DEG && off <= ABAFT_DEG && distance < 2 * heightM;
}
