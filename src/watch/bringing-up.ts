/**
 * Does she hold? Watched from the last veering on: the bow lined up with the rode, the range no longer growing
 * under load, no creep over the settle time. In: the stay, the track, loads; out: a proposal, or how far it creeps.
 */
import type { Picture } from "../instruments/picture.ts";
import { solveCatenary } from "../tackle/catenary.ts";
import { lineAboard, veered } from "../tackle/rode.ts";
import { reachBoundM } from "../tackle/swing.ts";
import { windLoadN } from "../tackle/wind-load.ts";
import { bearingDeg } from "../units/position.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import type { Heights } from "./ground.ts";
import type { Memory } from "./memory.ts";
import type { RodeKnown } from "./rode-known.ts";
import type { WatchSettings } from "./settings.ts";
import type { Anchor, Stay } from "./state.ts";
import { bowOffDeg, outwardMps, rollerOf, rollerRanges, trendOf } from "./track.ts";

export interface BringingUp {
  /** She looks brought up: a person, or the setting, accepts. */
  proposed: boolean;
  /** Nothing pulls: she lies quiet, and nothing has been tested. */
  quiet: boolean;
  /** Bow off the line to the anchor, mean of the settle time; undefined without heading. */
  bowOffDeg: number | undefined;
  /** How fast the range grows, m/s, over the settle time. */
  growingMps: number | undefined;
  /** Further off than this rode can reach: the anchor has come so far. Undefined: not, or rode unknown. */
  creptM: number | undefined;
  /** The range grows under load with the rode at its reach. */
  notHolding: boolean;
  /** Longer than the time limit since the last veering. */
  late: boolean;
}

export const SETTLE_MS = 75 * SECOND_MS;
/** With nothing pulling it takes longer to be sure that nothing moves. */
const QUIET_MS = 3 * MINUTE_MS;
const HOLDS_MPS = 0.014;
const GROWS_MPS = 0.025;
const LINED_UP_DEG = 35;
/** Less pull than this loads nothing (detection study §4). */
const LOADED_N = 40;
/** Share of the reach under this load from which the rode counts as drawn out. */
const DRAWN_SHARE = 0.85;
const FALL_BACK_MPS = 0.2;
const STRETCH = 0.05;

/** Undefined unless let go and not yet brought up. `memory.proposedSinceMs` is kept. */
export function bringingUpNow(
  stay: Stay,
  memory: Memory,
  picture: Picture,
  rode: RodeKnown,
  heights: Heights,
  settings: WatchSettings,
): BringingUp | undefined {
  const { anchor } = stay;
  if (stay.phase !== "let-go" || anchor === undefined) {
    memory.proposedSinceMs = undefined;
    return undefined;
  }
  const { atMs } = picture;
  const settledMs = atMs - Math.max(anchor.sinceMs, stay.rode?.atMs ?? 0);
  const loadN = loadNow(picture, settings);
  const quiet = loadN !== undefined && loadN < LOADED_N;
  const growingMps = growth(anchor, memory, picture, settings);
  const bowOff = bowOffNow(anchor, memory, picture, settings);
  const drawn = drawnOf(rode, heights, loadN, anchor, settings);
  const waitMs = quiet ? QUIET_MS : SETTLE_MS;
  const steady = growingMps !== undefined && growingMps < HOLDS_MPS && settledMs >= waitMs;
  const hasDriven = isDriving(memory, anchor, picture, { drawn, settledMs }, settings);
  const linedUp = quiet || bowOff === undefined || Math.abs(bowOff) <= LINED_UP_DEG;
  const rests =
    !hasGrownLate(memory, growingMps, settledMs, quiet) || isAtRest(anchor, memory, picture, settings);
  const proposed = steady && rests && linedUp && !hasDriven && (quiet || drawn !== "slack");
  memory.proposedSinceMs = proposed ? (memory.proposedSinceMs ?? atMs) : undefined;
  const creptM = beyondReachM(rode, heights, anchor);
  const grows = growingMps !== undefined && growingMps > GROWS_MPS && settledMs >= SETTLE_MS;
  return {
    proposed,
    quiet,
    bowOffDeg: bowOff,
    growingMps,
    creptM,
    notHolding: grows && !quiet && creptM !== undefined,
    late: !proposed && settledMs > limitMs(stay, settings),
  };
}

function limitMs(stay: Stay, { notBroughtUpAfterMs }: WatchSettings): number {
  return Math.max(notBroughtUpAfterMs, ((stay.rode?.lengthM ?? 0) / FALL_BACK_MPS) * SECOND_MS);
}

/** Lower estimate at the mean wind; undefined without wind. A stream is not counted: it would only add. */
function loadNow(picture: Picture, settings: WatchSettings): number | undefined {
  const windMps = picture.wind === undefined ? undefined : picture.windMean?.speedMps;
  const currentMps = picture.current?.value.driftMps ?? 0;
  if (windMps === undefined || currentMps > 0.3) return undefined;
  return windLoadN(settings.boat, windMps);
}

/** By position and, where the receiver gives it, by its own velocity: half each. */
function growth(
  anchor: Anchor,
  { track }: Memory,
  { atMs }: Picture,
  { boat }: WatchSettings,
  overMs: number = SETTLE_MS,
): number | undefined {
  const fromMs = atMs - overMs;
  const trend = trendOf(rollerRanges(track, anchor.position, boat, fromMs));
  if (trend === undefined || trend.overS * SECOND_MS < overMs * 0.8) return undefined;
  const byVelocity = outwardMps(track, anchor.position, fromMs);
  return byVelocity === undefined ? trend.perS : (trend.perS + byVelocity) / 2;
}

function bowOffNow(
  anchor: Anchor,
  { track }: Memory,
  { atMs, position, headingDeg }: Picture,
  { boat }: WatchSettings,
): number | undefined {
  if (position === undefined || headingDeg === undefined) return undefined;
  const towards = bearingDeg(rollerOf(position.value, headingDeg.value, boat), anchor.position);
  return towards === undefined ? undefined : bowOffDeg(track, towards, atMs - SETTLE_MS);
}

/** Fallen back and settled by now, a rode has no more to give: what grows still is the anchor coming. */
const SETTLED_MS = 90 * SECOND_MS;
/** Then she must lie stiller, and for longer, before she is believed to hold (tuned on 400 simulated stays). */
const AT_REST_MPS = 0.004;
const AT_REST_LONG_MPS = 0.006;
const LONG_MS = 119 * SECOND_MS;

/** Has the range still grown, once settled, since the last veering? `memory.grewLate` is kept. */
function hasGrownLate(
  memory: Memory,
  growingMps: number | undefined,
  settledMs: number,
  quiet: boolean,
): boolean {
  if (settledMs < SETTLED_MS) memory.grewLate = false;
  else if (growingMps !== undefined && growingMps >= HOLDS_MPS && !quiet) memory.grewLate = true;
  return memory.grewLate && !quiet;
}

function isAtRest(anchor: Anchor, memory: Memory, picture: Picture, settings: WatchSettings): boolean {
  const short = growth(anchor, memory, picture, settings);
  const long = growth(anchor, memory, picture, settings, LONG_MS);
  return (short ?? 0) < AT_REST_MPS && (long ?? 0) < AT_REST_LONG_MPS;
}

type Drawn = "slack" | "drawn" | "taut";

/** Undefined where the rode, the load or the range is not known. */
function drawnOf(
  rode: RodeKnown,
  heights: Heights,
  loadN: number | undefined,
  anchor: Anchor,
  settings: WatchSettings,
): Drawn | undefined {
  const { lengthM, rollerRangeM } = rode;
  const aboard = settings.rode === undefined ? undefined : lineAboard(settings.rode);
  if (lengthM === undefined || rollerRangeM === undefined || heights.forScopeM === undefined)
    return undefined;
  const reach =
    aboard === undefined || loadN === undefined
      ? undefined
      : solveCatenary(heights.forScopeM, veered(aboard, lengthM), loadN);
  const reachM = reach?.ok === true ? reach.reachM : reachBoundM(lengthM, 0, heights.forScopeM);
  if (rollerRangeM >= TAUT_SHARE * reachM) return "taut";
  return rollerRangeM >= DRAWN_SHARE * reachM - anchor.uncertaintyM ? "drawn" : "slack";
}

const TAUT_SHARE = 0.97;
/** Growing on for so long with the rode taut is the anchor coming, not she falling back. */
const DRIVING_OVER_MS = 30 * SECOND_MS;
const DRIVING_MPS = 0.025;
const DRIVING_MS = 40 * SECOND_MS;
/** An anchor that came along comes in fits and starts, most of all in light air: it must rest for longer. */
const RESTS_MS = 3 * MINUTE_MS;

/** Has the anchor come along within the last three minutes? `memory.driving` is kept. */
function isDriving(
  memory: Memory,
  anchor: Anchor,
  picture: Picture,
  { drawn, settledMs }: { drawn: Drawn | undefined; settledMs: number },
  settings: WatchSettings,
): boolean {
  const { atMs } = picture;
  if (settledMs < DRIVING_OVER_MS) {
    // Rode still running out: what grows now is no sign.
    memory.driving = undefined;
    return false;
  }
  const mps = drawn === "taut" ? growth(anchor, memory, picture, settings, DRIVING_OVER_MS) : undefined;
  const { driving } = memory;
  if (mps !== undefined && mps > DRIVING_MPS) {
    const sinceMs = driving?.sinceMs ?? atMs;
    const droveMs = atMs - sinceMs >= DRIVING_MS ? atMs : driving?.droveMs;
    memory.driving = { sinceMs, droveMs };
  } else if (driving !== undefined) memory.driving = { sinceMs: undefined, droveMs: driving.droveMs };
  const droveMs = memory.driving?.droveMs;
  return droveMs !== undefined && atMs - droveMs < RESTS_MS;
}

/** Beyond the reach of the stretched rode and both uncertainties. */
function beyondReachM(rode: RodeKnown, heights: Heights, anchor: Anchor): number | undefined {
  const { lengthM, uncertaintyM, rollerRangeM } = rode;
  if (lengthM === undefined || rollerRangeM === undefined || heights.forCircleM <= 0) return undefined;
  const overM = rollerRangeM - reachBoundM(lengthM, 0, heights.forCircleM);
  const sureM = rollerRangeM - reachBoundM(lengthM, STRETCH, heights.forCircleM);
  return sureM > Math.hypot(uncertaintyM ?? 0, anchor.uncertaintyM) ? overM : undefined;
}
