/**
 * The conditions watched for, each with its persistence and hysteresis. In: state, picture and the figures
 * reckoned from them; out: findings, and the latches to keep.
 */
import type { Picture } from "../instruments/picture.ts";
import { aboardM } from "../tackle/rode.ts";
import { toVeer } from "../tackle/veer-length.ts";
import { distanceM } from "../units/position.ts";
import { fromKn, toKn } from "../units/speed.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import type { Circle } from "./circle.ts";
import { doubtful } from "./doubt.ts";
import type { Figures } from "./figures.ts";
import type { Finding, Priority } from "./finding.ts";
import { isHeld, OFF } from "./latch.ts";
import { isCramped, NO_ROOM, type Room } from "./room.ts";
import type { ScopeNow } from "./scope.ts";
import type { WatchSettings } from "./settings.ts";
import { isDown, type WatchState } from "./state.ts";
import { supplyLow } from "./supply.ts";

/** All findings of one second that rest on persistence. `state.latches` is brought up to date in place. */
export function conditionFindings(
  state: WatchState,
  picture: Picture,
  figures: Figures,
  settings: WatchSettings,
): Finding[] {
  const findings: (Finding | undefined)[] = [
    shoal(state, picture, settings),
    doubtful(state, picture),
    supplyLow(state, picture, settings),
  ];
  if (isDown(state.stay.phase)) {
    findings.push(outside(state, picture, figures.circle, settings), windOver(state, picture, settings));
    state.still = undefined;
    // Weighing, the rode is meant to get short.
    if (state.stay.phase === "weighing") state.latches["scope-short"] = state.latches["scope-least"] = OFF;
    else findings.push(scopeShort(state, picture, figures, settings));
  } else {
    findings.push(notWatching(state, picture, figures, settings));
    for (const key of ["outside-circle", "outside-far", "scope-short", "scope-least", "wind-over"] as const)
      state.latches[key] = OFF;
  }
  return findings.filter((finding) => finding !== undefined);
}

const FAR_MS = 10 * SECOND_MS;
const BACK_MS = 30 * SECOND_MS;

function outside(
  state: WatchState,
  picture: Picture,
  circle: Circle | undefined,
  settings: WatchSettings,
): Finding | undefined {
  const overM = circle?.rangeM === undefined ? undefined : circle.rangeM - circle.radiusM;
  const far = circle === undefined ? Number.POSITIVE_INFINITY : 2 * circle.marginM;
  const { latches } = state;
  // Asked this way round a figure that is no number counts as outside.
  const isOut = overM === undefined ? undefined : !(overM <= 0);
  const isFar = overM === undefined ? undefined : !(overM <= far);
  const near = isHeld(
    latches,
    "outside-circle",
    isOut,
    { onMs: settings.leaveAfterMs, offMs: BACK_MS },
    picture.atMs,
  );
  const farOut = isHeld(latches, "outside-far", isFar, { onMs: FAR_MS, offMs: BACK_MS }, picture.atMs);
  if (!near && !farOut) return undefined;
  const text = overM === undefined ? "Last seen outside, no fix now" : outsideText(overM);
  return { key: "outside-circle", priority: "alarm", text, amount: overM };
}

function outsideText(overM: number): string {
  if (Number.isNaN(overM)) return "Circle not known: check position by eye";
  if (overM <= 0) return "Back inside just now. Check position";
  return `${Math.round(overM)} m outside. Check position, engine on`;
}

const SCOPE_ON_MS = 5 * SECOND_MS;
const SCOPE_OFF_MS = 30 * SECOND_MS;
/** A sounder's noise must not flap a scope that is just enough. */
const SCOPE_HYSTERESIS = 0.03;

function scopeShort(
  state: WatchState,
  picture: Picture,
  { scope, guidance }: Figures,
  settings: WatchSettings,
): Finding | undefined {
  const { now, atHighWater, target } = scope;
  const ruling = now === undefined || atHighWater === undefined ? undefined : Math.min(now, atHighWater);
  const times = { onMs: SCOPE_ON_MS, offMs: SCOPE_OFF_MS };
  const isShort = isHeld(state.latches, "scope-short", isBelow(ruling, target), times, picture.atMs);
  // The step to an alarm is held like the alert itself: a false echo must not wake anybody.
  const below = isBelow(ruling, settings.leastScope);
  const isLeast = isHeld(state.latches, "scope-least", below, times, picture.atMs);
  if (!isShort) return undefined;
  const text =
    ruling === undefined
      ? "Scope was short; not known now"
      : scopeText(ruling, scope, guidance.room, settings);
  const priority = scopePriority(state, picture, isLeast, settings);
  return { key: "scope-short", priority, text, amount: scope.shortM };
}

/** Undefined where there is no telling: nothing known, or within the hysteresis. */
function isBelow(scope: number | undefined, limit: number | undefined): boolean | undefined {
  if (scope === undefined || limit === undefined) return undefined;
  if (scope < limit) return true;
  return scope >= limit * (1 + SCOPE_HYSTERESIS) ? false : undefined;
}

function scopePriority(
  state: WatchState,
  picture: Picture,
  isLeast: boolean,
  settings: WatchSettings,
): Priority {
  if (settings.stay === "attended" || isVeering(state, picture, settings)) return "caution";
  return isLeast ? "alarm" : "warning";
}

/** Rode is still going out: she cannot have her scope yet, and an alarm then would teach people to ignore it. */
function isVeering(state: WatchState, picture: Picture, settings: WatchSettings): boolean {
  const { phase, phaseSinceMs, rode } = state.stay;
  return (
    phase === "let-go" &&
    picture.atMs - Math.max(phaseSinceMs, rode?.atMs ?? 0) < settings.notBroughtUpAfterMs
  );
}

function scopeText(ruling: number, scope: ScopeNow, room: Room | undefined, settings: WatchSettings): string {
  const wanted = scope.target === undefined ? "more" : Number(scope.target.toFixed(1));
  // A wind that is only assumed is said to be.
  const assumed = scope.basis === "unknown" ? " at 20 kn" : "";
  const figures = `Scope ${ruling.toFixed(1)}, wants ${wanted}${assumed}`;
  const { requiredM, aboardM: haveM, shortM } = scope;
  if (scope.target !== undefined && ruling >= scope.target) return `Scope ${ruling.toFixed(1)}: enough again`;
  if (requiredM !== undefined && haveM !== undefined && requiredM > haveM)
    return `${figures}: rode too short`;
  if (requiredM !== undefined && isCramped(room, requiredM)) return NO_ROOM;
  return shortM === undefined ? figures : `${figures}: veer ${toVeer(shortM, settings.units).text}`;
}

/** Of the last so many seconds it must have been too shallow in so many: in a swell the troughs count, one by one. */
const SHOAL_OVER_S = 30;
const SHOAL_S = 6;
/** And heard so often: a sounding stands until the next, and one false echo must not wake anybody. */
const SHOAL_HEARD = 2;
const SHOAL_OFF_MS = 30 * SECOND_MS;
const SHOAL_HYSTERESIS_M = 0.2;

function shoal(state: WatchState, picture: Picture, settings: WatchSettings): Finding | undefined {
  const underM = picture.depth?.value.underKeelM;
  const leastM = settings.leastUnderKeelM;
  const truth = underM === undefined ? undefined : shoalTruth(state, picture, underM, leastM);
  if (!isHeld(state.latches, "shoal", truth, { onMs: 0, offMs: SHOAL_OFF_MS }, picture.atMs))
    return undefined;
  return {
    key: "shoal",
    priority: "alarm",
    text: shoalText(underM),
    amount: wantingM(state, picture, leastM),
  };
}

function shoalText(underM: number | undefined): string {
  if (underM === undefined) return "No depth now; last was shoal";
  return underM <= 0 ? "No water under the keel" : `${underM.toFixed(1)} m under the keel`;
}

/** `state.shallows` is brought up to date in place. */
function shoalTruth(
  state: WatchState,
  picture: Picture,
  underM: number,
  leastM: number,
): boolean | undefined {
  const isShallow = underM < leastM;
  const { seconds, heard } = state.shallows;
  state.shallows = {
    seconds: shifted(seconds, isShallow),
    heard: shifted(heard, isShallow && picture.depth?.atMs === picture.atMs),
  };
  if (bitsOf(state.shallows.seconds) >= SHOAL_S && bitsOf(state.shallows.heard) >= SHOAL_HEARD) return true;
  return state.shallows.seconds === 0 && underM >= leastM + SHOAL_HYSTERESIS_M ? false : undefined;
}

/** A second more at the low end, the oldest out at the high one. */
function shifted(bits: number, next: boolean): number {
  return ((bits << 1) | (next ? 1 : 0)) & (2 ** SHOAL_OVER_S - 1);
}

function bitsOf(bits: number): number {
  let count = 0;
  for (let rest = bits; rest !== 0; rest &= rest - 1) count++;
  return count;
}

/** Of the least that is wanted under the keel, by the depth smoothed over swell. */
function wantingM({ drag }: WatchState, { depth }: Picture, leastM: number): number | undefined {
  if (depth === undefined || drag.depthM === undefined) return undefined;
  const { surfaceM, underKeelM } = depth.value;
  if (surfaceM === undefined || underKeelM === undefined) return undefined;
  return leastM - (drag.depthM + underKeelM - surfaceM);
}

const WIND_OFF_MS = 5 * MINUTE_MS;
const WIND_HYSTERESIS_MPS = fromKn(2);

function windOver(state: WatchState, picture: Picture, settings: WatchSettings): Finding | undefined {
  const mean = picture.wind === undefined ? undefined : picture.windMean;
  const truth = mean === undefined ? undefined : windTruth(mean.speedMps, mean.gustMps, settings);
  if (!isHeld(state.latches, "wind-over", truth, { onMs: 0, offMs: WIND_OFF_MS }, picture.atMs))
    return undefined;
  const text =
    mean === undefined
      ? "Wind was over your limit; none heard now"
      : `Mean ${toKn(mean.speedMps).toFixed(0)}, gust ${toKn(mean.gustMps).toFixed(0)} kn: get up and look`;
  const amount =
    mean && Math.max(mean.speedMps - settings.windLimitMps, mean.gustMps - settings.gustLimitMps);
  return { key: "wind-over", priority: "warning", text, amount };
}

function windTruth(meanMps: number, gustMps: number, settings: WatchSettings): boolean | undefined {
  const over = (by: number) => meanMps > settings.windLimitMps + by || gustMps > settings.gustLimitMps + by;
  if (over(0)) return true;
  return over(-WIND_HYSTERESIS_MPS) ? undefined : false;
}

const STILL_M = 40;
const STILL_MS = 20 * MINUTE_MS;

/** Under way, all but still for 20 minutes in a depth this rode reaches, and no anchor let go. */
function notWatching(
  state: WatchState,
  picture: Picture,
  figures: Figures,
  settings: WatchSettings,
): Finding | undefined {
  const fix = picture.position?.value;
  if (fix === undefined) return undefined;
  if (state.still === undefined || distanceM(state.still.position, fix) > STILL_M) {
    state.still = { position: fix, sinceMs: picture.atMs };
  }
  const heightM = figures.heights.forScopeM;
  const reachable =
    settings.rode !== undefined &&
    heightM !== undefined &&
    heightM * settings.leastScope <= aboardM(settings.rode);
  if (!reachable || picture.atMs - state.still.sinceMs < STILL_MS) return undefined;
  return {
    key: "not-watching",
    priority: "caution",
    text: "Lying still, no anchor let go: no watch kept",
    amount: undefined,
  };
}
