/**
 * What has been learnt of each position receiver, by source: how far it wanders, how far it strays, what its
 * velocity is worth. Kept between nights; in words for the page.
 */
import { handedOn, isLearnt, type Spread, unknownSpread, wanderSdM } from "./spread.ts";
import {
  heldStepM,
  noVelocity,
  steadySdM,
  type VelocityRecord,
  type VelocityWorth,
  velocityWorth,
} from "./velocity-worth.ts";

/** Plain JSON: what a night hands on to the next. */
export interface ReceiverProfile {
  /** `port/talker`. */
  source: string;
  nights: number;
  spread: Spread;
  velocity: VelocityRecord;
}

export interface ReceiverNow {
  source: string;
  /** Within this 95 % of the time, m. */
  wanderM: number;
  /** False: nobody knows this receiver yet, and the figure is what is assumed. */
  learnt: boolean;
  velocity: VelocityWorth;
  /** For a person. */
  words: string;
}

const MOST_SOURCES = 4;

export function unknownReceiver(source: string): ReceiverProfile {
  return { source, nights: 0, spread: unknownSpread(), velocity: noVelocity() };
}

/** The profile of a source among those kept; a new one takes the place of the oldest. In place. */
export function receiverFor(
  kept: ReceiverProfile[],
  source: string,
  prior: ReceiverProfile | undefined,
): ReceiverProfile {
  const known = kept.find((profile) => profile.source === source);
  if (known !== undefined) return known;
  const fresh = prior?.source === source ? aNightOn(prior) : unknownReceiver(source);
  kept.push(fresh);
  if (kept.length > MOST_SOURCES) kept.shift();
  return fresh;
}

/** The same receiver, on another night. */
export function aNightOn(profile: ReceiverProfile): ReceiverProfile {
  const velocity = { ...profile.velocity, minute: undefined, last: undefined, repeating: 0 };
  return { ...profile, nights: profile.nights + 1, spread: handedOn(profile.spread), velocity };
}

/** What shows against the velocity within two minutes is about two thirds of a receiver's wander (simulated). */
const ASTRAY_TO_FIX = 1.5;

/** One sigma of a single fix of a receiver that is known, m; undefined until it is. */
export function fixSdM({ spread, velocity }: ReceiverProfile): number | undefined {
  const lyingM = isLearnt(spread) ? wanderSdM(spread, false) : undefined;
  const astrayM = velocity.astrayS < STEADY_S ? undefined : steadySdM(velocity);
  const sdM = Math.min(lyingM ?? Infinity, astrayM === undefined ? Infinity : ASTRAY_TO_FIX * astrayM);
  return Number.isFinite(sdM) ? sdM : undefined;
}

/** So long it must have been seen. */
const STEADY_S = 1800;

/** Radius that holds 95 % of a round normal scatter, in standard deviations of one axis: √(2 ln 20). */
const R95 = 2.45;

export function receiverNow(profile: ReceiverProfile): ReceiverNow {
  const { source, spread } = profile;
  const learnt = isLearnt(spread);
  const wanderM = R95 * wanderSdM(spread, !learnt);
  const velocity = velocityWorth(profile.velocity);
  return { source, wanderM, learnt, velocity, words: wordsFor(wanderM, learnt, velocity, profile) };
}

/** About what the tests let pass: the alarm threshold times the wander's sigma, and what it may stray by. */
const HEARD_AFTER = 3;
const LEAST_HEARD_M = 8;

function wordsFor(
  wanderM: number,
  learnt: boolean,
  velocity: VelocityWorth,
  profile: ReceiverProfile,
): string {
  const heardM = Math.max(LEAST_HEARD_M, HEARD_AFTER * wanderM);
  const known = learnt
    ? `This receiver wanders ${wanderM.toFixed(0)} m: expect to hear of a drag after about ${heardM.toFixed(0)} m.`
    : "This receiver is not known yet: it is trusted less until it has been watched for some hours.";
  const stepM = heldStepM(profile.velocity);
  if (stepM !== undefined)
    return `${known} It holds its place and then steps ${stepM.toFixed(0)} m: slow drags show late, in steps.`;
  if (velocity === "pinned")
    return `${known} It says 0 speed when slow: that is no sign of holding, and not used.`;
  if (velocity === "silent") return `${known} It gives no course when slow: its speed is not used.`;
  return known;
}
