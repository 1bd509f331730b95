/**
 * The drag watch, second by second. In: state, stay, picture, settings; out: figures for page and alerts, and the
 * finding. The test itself is in `drag-test.ts`, what it rests on in `anchor-fit.ts` and `spread.ts`, the tiers
 * in `dragging.ts`. The state given is changed.
 */
import type { Picture } from "../instruments/picture.ts";
import { aboardM } from "../tackle/rode.ts";
import { directionOf } from "../units/angle.ts";
import { distanceM, moved, type Position } from "../units/position.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { placeSdM } from "./anchor-fit.ts";
import { type DragState, emptyLie, freshWindows, type Hold } from "./drag-state.ts";
import { COARSE_S, FINE_S, testDrag } from "./drag-test.ts";
import { judgeTier } from "./dragging.ts";
import { excessNow, smoothLoad } from "./excess.ts";
import { keepHold, placedByKnown } from "./hold.ts";
import { type LieSum, NO_LIE, pushBin } from "./lie-history.ts";
import { BEND_EVERY_BINS, learnFromPast, learnLiveliness } from "./lie-learning.ts";
import { fixSdM, type ReceiverNow, type ReceiverProfile, receiverFor, receiverNow } from "./receiver.ts";
import type { WatchSettings } from "./settings.ts";
import { isLearnt, wanderSdM } from "./spread.ts";
import type { Stay } from "./state.ts";
import { suspect } from "./suspicion.ts";
import { astraySdM, heldStepM, noteVelocity, velocityWorth } from "./velocity-worth.ts";

export interface DragNow {
  /** How far the anchor seems to have moved, and since when; undefined: no telling yet. */
  movedM: number | undefined;
  movedSdM: number | undefined;
  movedTowardDeg: number | undefined;
  sinceMs: number | undefined;
  /** The statistic against the alarm's threshold, 1 = alarm; for plots. */
  towardAlarm: number;
  /** Where the anchor is now thought to lie, one sigma. */
  anchor: Position | undefined;
  anchorSdM: number | undefined;
  receiver: ReceiverNow | undefined;
  /** Wander that the circle allows for, m; undefined: not learnt. */
  circleWanderM: number | undefined;
}

const LEAST_LOAD_N = 10;
const GAP_MS = 20 * SECOND_MS;
const LONGEST_FIX_S = 5;

export function watchDrag(state: DragState, stay: Stay, picture: Picture, settings: WatchSettings): void {
  smoothLoad(state, picture, settings);
  keepHold(state, stay, picture, settings);
  const { hold } = state;
  if (hold === undefined) return;
  const profile = receiverNowUsed(state, hold, picture, settings);
  minding(state, hold, picture);
  const sum = profile === undefined ? NO_LIE : takeFix(state, hold, profile, stay, picture, settings);
  hold.fineSum = added(hold.fineSum, sum);
  hold.coarseSum = added(hold.coarseSum, sum);
  hold.fineS++;
  hold.coarseS++;
  if (hold.fineS < FINE_S) return;
  pushBin(hold.lie.fine, hold.fineSum);
  hold.fineSum = NO_LIE;
  hold.fineS = 0;
  const coarse = hold.coarseS >= COARSE_S;
  if (coarse) {
    pushBin(hold.lie.coarse, hold.coarseSum);
    hold.coarseSum = NO_LIE;
    hold.coarseS = 0;
  }
  if (hold.ridingMs === undefined || profile === undefined || picture.atMs < hold.graceUntilMs) return;
  const { spread } = profile;
  if (hold.lie.fine.count % BEND_EVERY_BINS === 0) learnLiveliness(hold, spread);
  if (coarse) {
    learnFromPast(hold, profile, picture.atMs);
    const sdM = fixSdM(profile);
    if (sdM !== undefined && !hold.suspicious.on) placedByKnown(hold, sdM);
  }
  judge(hold, profile, picture, gustNow(state, hold));
}

function judge(hold: Hold, profile: ReceiverProfile, picture: Picture, gustM: number): void {
  const fresh = picture.position?.atMs;
  if (fresh === undefined || picture.atMs - fresh > GAP_MS) return;
  const levelM = levelNow(hold, profile, picture);
  if (levelM === undefined) return;
  const alive = velocityWorth(profile.velocity) === "alive";
  hold.result = testDrag({
    lie: hold.lie,
    fit: hold.fit,
    spread: profile.spread,
    alive,
    astraySdM: toldAstraySdM(profile),
    hardened: hardened(hold),
    wayS: hold.wayS,
    levelM,
    stepM: heldStepM(profile.velocity) ?? 0,
    reachGapM: hold.taughtReachM === undefined ? 0 : hold.reachM - hold.taughtReachM,
    gustM,
  });
  suspect(hold, profile.spread, picture.atMs);
  hold.tier = judgeTier(hold, levelM, picture.atMs);
}

/**
 * A boat that a gust takes runs out farther than the same wind would hold her: some metres, more on a long rode
 * and in a great rise of the load (a judgement; 1 to 3 m in gusts and up to 8 m in a gale were simulated).
 */
const GUST_SHARE = 0.06;
const MOST_RISE = 1.3;

/** How far that may be now, m. */
function gustNow({ loadN, steadyN }: DragState, { rodeM, reachM }: Hold): number {
  if (loadN === undefined || steadyN === undefined || steadyN <= 0) return 0;
  const rise = Math.min(MOST_RISE, Math.max(0, loadN / steadyN - 1));
  return GUST_SHARE * (rodeM ?? reachM) * rise;
}

/** At three times the load the fit was taught under, what it learnt of slack lying is no guide any more. */
const HARDENED_LOG = Math.log(3);

/** How far the load now is beyond what the fit knows, 0 to 1. */
function hardened({ loadN, taughtLoadN }: Hold): number {
  if (loadN === undefined || taughtLoadN === undefined) return 0;
  return Math.min(1, Math.max(0, Math.log(loadN / taughtLoadN) / HARDENED_LOG));
}

const LEVEL_MS = 60 * SECOND_MS;

/** Where the velocity tells it, or may. */
function toldAstraySdM({ velocity }: ReceiverProfile): number | undefined {
  const worth = velocityWorth(velocity);
  return worth === "alive" || worth === "unknown" ? astraySdM(velocity) : undefined;
}

/** The step of a receiver's new level, measured over its first minute; undefined while it is being measured. */
function levelNow(hold: Hold, profile: ReceiverProfile, picture: Picture): number | undefined {
  const { level } = hold;
  if (level === undefined) return 0;
  if (level.m !== undefined) return level.m;
  if (picture.atMs - level.sinceMs < LEVEL_MS) return undefined;
  const still = testDrag({
    lie: hold.lie,
    fit: hold.fit,
    spread: profile.spread,
    alive: false,
    astraySdM: undefined,
    hardened: 0,
    wayS: 0,
    levelM: 0,
    stepM: 0,
    reachGapM: 0,
    gustM: 0,
  });
  level.m = Math.max(0, still.movedM);
  return level.m;
}

/** Gaps in time, and a receiver's new level: the windows start anew, what was found stands. In place. */
function minding(state: DragState, hold: Hold, picture: Picture): void {
  const { newLevelMs, atMs } = picture;
  const jumped = newLevelMs !== undefined && newLevelMs !== state.newLevelMs && newLevelMs > hold.placedMs;
  state.newLevelMs = newLevelMs;
  if (!jumped) return;
  const { tier, result } = hold;
  Object.assign(hold, freshWindows(), { tier, result, level: { sinceMs: atMs, m: undefined } });
}

/** Two fixes of one receiver, or of two that agree, m: beside what she may have gone since. */
const AGREE_M = 2.5;
const GOES_MPS = 0.3;

/** One receiver has several talkers as it finds satellites of several makes, and two may take turns. */
function agrees({ lastFixAt, lastFixMs }: DragState, { position }: Picture): boolean {
  if (lastFixAt === undefined || lastFixMs === undefined || position === undefined) return false;
  const goneS = Math.min(GAP_MS, position.atMs - lastFixMs) / SECOND_MS;
  return distanceM(lastFixAt, position.value) <= AGREE_M + GOES_MPS * goneS;
}

/**
 * The receiver whose fix is used. Another one's errors are others, so the windows start anew, unless the two agree:
 * receivers that take turns must not leave the watch without any window.
 */
function receiverNowUsed(
  state: DragState,
  hold: Hold,
  picture: Picture,
  settings: WatchSettings,
): ReceiverProfile | undefined {
  const source = picture.position?.source ?? state.source;
  if (source === undefined) return undefined;
  if (state.source !== undefined && state.source !== source && !agrees(state, picture)) {
    const { tier, result } = hold;
    Object.assign(hold, freshWindows(), { tier, result });
  }
  state.source = source;
  return receiverFor(state.receivers, source, settings.receiverProfile);
}

function takeFix(
  state: DragState,
  hold: Hold,
  profile: ReceiverProfile,
  stay: Stay,
  picture: Picture,
  settings: WatchSettings,
): LieSum {
  const { atMs, position } = picture;
  if (position === undefined || position.atMs !== atMs) return NO_LIE;
  const sinceS = state.lastFixMs === undefined ? 1 : (atMs - state.lastFixMs) / SECOND_MS;
  if (sinceS * SECOND_MS > GAP_MS) Object.assign(hold, { lie: emptied(hold, sinceS), wayS: 0 });
  state.lastFixMs = atMs;
  state.lastFixAt = position.value;
  const forS = Math.min(LONGEST_FIX_S, Math.max(1, sinceS));
  const rodeM = hold.rodeM ?? (settings.rode === undefined ? 0 : aboardM(settings.rode));
  if (rodeM <= 0) return NO_LIE;
  const from = { anchor: hold.anchor, depthM: stay.anchor?.depthM, rodeM };
  const sdM = wanderSdM(profile.spread, true);
  const now = excessNow(state, from, picture, settings, sdM, forS);
  if (now === undefined) return NO_LIE;
  hold.reachM = now.reachM;
  hold.loadN = state.loadN === undefined ? undefined : Math.max(LEAST_LOAD_N, state.loadN);
  const motion = picture.motion?.value;
  noteVelocity(profile.velocity, now.at, {
    sogMps: motion?.sogMps,
    cogDeg: motion?.cogDeg,
    velocity: now.velocity,
  });
  hold.wayS = now.hasVelocity && sinceS <= LONGEST_FIX_S ? hold.wayS + forS : 0;
  return now.sum;
}

/** Switched off for long: the windows would join what does not belong together. A mere gap leaves them. */
function emptied(hold: Hold, sinceS: number): Hold["lie"] {
  return sinceS > LONG_GAP_S ? emptyLie() : hold.lie;
}

const LONG_GAP_S = 1800;

function added(a: LieSum, b: LieSum): LieSum {
  if (b.seconds === 0) return a;
  return {
    seconds: a.seconds + b.seconds,
    excess: a.excess + b.excess,
    north: a.north + b.north,
    east: a.east + b.east,
    stretch: a.stretch + b.stretch,
    way: a.way + b.way,
    loaded: a.loaded + b.loaded,
  };
}

const CIRCLE_SD = 8;
const EARLY_MS = 15 * MINUTE_MS;

/** What page, sentences and circle show of it. */
export function dragNow(state: DragState, atMs: number, unlearntM: number, hardM: number): DragNow {
  const { hold, source } = state;
  const profile = state.receivers.find((one) => one.source === source);
  const receiver = profile === undefined ? undefined : receiverNow(profile);
  const known = hold?.ridingMs !== undefined && hold.result.sdM > 0 ? hold.result : undefined;
  const [, north, east] = hold?.fit.state ?? [0, 0, 0];
  const told = hold?.tier.alarm ?? hold?.tier.warning;
  return {
    movedM: known && known.movedM + (hold?.level?.m ?? 0),
    movedSdM: known?.sdM,
    movedTowardDeg: known === undefined ? undefined : directionOf(known.u),
    sinceMs: told?.fromMs,
    towardAlarm: hold === undefined ? 0 : hold.tier.strength,
    anchor: hold === undefined ? undefined : moved(hold.anchor, { north, east }),
    anchorSdM: hold === undefined ? undefined : placeSdM(hold.fit),
    receiver,
    circleWanderM: profile && circleWander(profile, hold, atMs, unlearntM, hardM),
  };
}

/** Beyond what it has been seen to stray by, too. */
const CIRCLE_STRAY = 1.25;

/**
 * Eight sigma once learnt, by how she lies or how far the velocity shows the receiver to go astray; before that the
 * usual allowance, or more where the first minutes ask for it.
 */
function circleWander(
  profile: ReceiverProfile,
  hold: Hold | undefined,
  atMs: number,
  unlearntM: number,
  hardM: number,
): number | undefined {
  const { spread } = profile;
  const strayM = Math.max(CIRCLE_STRAY * spread.strayM, CIRCLE_SD * (toldAstraySdM(profile) ?? 0));
  const nowM = CIRCLE_SD * wanderSdM(spread, true);
  const learntM = isLearnt(spread) ? CIRCLE_SD * wanderSdM(spread, false) : undefined;
  if (learntM !== undefined) return bounded(Math.max(learntM, nowM, strayM), hardM);
  const early = hold?.ridingMs === undefined || atMs - hold.ridingMs < EARLY_MS;
  if (early && strayM <= unlearntM) return undefined;
  return bounded(Math.max(unlearntM, early ? 0 : nowM, strayM), hardM);
}

/** What is no number is taken for the bound: the circle must stand whatever has been learnt. */
function bounded(wanderM: number, hardM: number): number {
  return Number.isNaN(wanderM) ? hardM : Math.min(hardM, wanderM);
}
