/**
 * Rode out by what is known of it: told, counted, the splice, and always the lower bound from geometry. In: the
 * stay, range, heights; out: value, source, uncertainty, the bound, and whether they contradict each other.
 */

import type { Picture } from "../instruments/picture.ts";
import { distanceM } from "../units/position.ts";
import { SECOND_MS } from "../units/time.ts";
import { FIX_M } from "./anchor-position.ts";
import type { Heights } from "./ground.ts";
import type { Memory } from "./memory.ts";
import type { WatchSettings } from "./settings.ts";
import type { RodeOut, Stay } from "./state.ts";
import { rollerOf } from "./track.ts";

export interface RodeKnown {
  lengthM: number | undefined;
  source: RodeOut["source"] | undefined;
  uncertaintyM: number | undefined;
  /** Roller to anchor, horizontally; with no heading the antenna's range less the offset. */
  rollerRangeM: number | undefined;
  /** What must be out for her to lie as far off as she does, and the uncertainty of that. */
  leastM: number | undefined;
  leastUncertaintyM: number | undefined;
  /** What was told is less than the distance needs, beyond both uncertainties, for 15 s. */
  contradicted: boolean;
}

/** Marks wear and slip: 5 % (detection study's operator). A counter: 3 %, a judgement. */
const SHARE = { told: 0.05, counted: 0.03, splice: 0.02 } as const;
const LEAST_UNCERTAINTY_M = 1;
const CONTRADICTED_MS = 15 * SECOND_MS;
/** Stretch allowed before a length is called too short. */
const STRETCH = 0.03;

export function rodeKnown(
  stay: Stay,
  memory: Memory,
  picture: Picture,
  heights: Heights,
  settings: WatchSettings,
): RodeKnown {
  const { rode, anchor } = stay;
  const uncertaintyM =
    rode === undefined ? undefined : Math.max(LEAST_UNCERTAINTY_M, SHARE[rode.source] * rode.lengthM);
  const rollerRangeM = rollerRange(stay, picture, settings);
  const leastM =
    rollerRangeM === undefined || heights.forCircleM <= 0
      ? undefined
      : leastRodeForM(rollerRangeM, heights.forCircleM);
  const leastUncertaintyM =
    leastM === undefined || anchor === undefined || rollerRangeM === undefined
      ? undefined
      : (Math.hypot(anchor.uncertaintyM, FIX_M) * rollerRangeM) / Math.max(leastM, 1);
  const isShort =
    rode !== undefined &&
    leastM !== undefined &&
    leastM - (leastUncertaintyM ?? 0) >
      rode.lengthM * (1 + STRETCH) + (uncertaintyM ?? 0) + runningOutM(rode, picture, settings);
  memory.contradictedSinceMs = isShort ? (memory.contradictedSinceMs ?? picture.atMs) : undefined;
  return {
    lengthM: rode?.lengthM,
    source: rode?.source,
    uncertaintyM,
    rollerRangeM,
    leastM,
    leastUncertaintyM,
    contradicted: isShort && picture.atMs - (memory.contradictedSinceMs ?? picture.atMs) >= CONTRADICTED_MS,
  };
}

const RUNS_MS = 60 * SECOND_MS;
const USUAL_MARKS_M = 10;

/** Told at a mark and still running out: up to the next one is no contradiction, for a minute. */
function runningOutM(rode: RodeOut, { atMs }: Picture, { marksM }: WatchSettings): number {
  if (rode.source !== "told" || atMs - rode.atMs > RUNS_MS) return 0;
  const next = marksM.find((markM) => markM > rode.lengthM + LEAST_UNCERTAINTY_M);
  return next === undefined ? USUAL_MARKS_M : next - rode.lengthM;
}

/** A straight line from the anchor to the roller: no rode is shorter. */
export function leastRodeForM(rollerRangeM: number, heightM: number): number {
  return Math.hypot(rollerRangeM, heightM);
}

function rollerRange({ anchor }: Stay, picture: Picture, { boat }: WatchSettings): number | undefined {
  if (anchor === undefined || picture.position === undefined) return undefined;
  const headingDeg = picture.headingDeg?.value;
  const antenna = picture.position.value;
  if (headingDeg !== undefined) return distanceM(anchor.position, rollerOf(antenna, headingDeg, boat));
  return Math.max(0, distanceM(anchor.position, antenna) - (boat.rollerToAntennaM ?? 0));
}
