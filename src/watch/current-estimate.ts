/**
 * The stream, as far as it can be read while she drifts: told (VDR), by the log (VBW, VHW), or the drift less what
 * the wind drives her at. In: picture, drift, wind, boat; out: the likely stream and how well it is known along her
 * keel and across it, which differ: the water holds her side, and hardly her ends.
 */
import type { Picture } from "../instruments/picture.ts";
import { directionOf, lengthOf, toRad, type Vector, vectorOf } from "../units/angle.ts";
import { fromKn } from "../units/speed.ts";
import { type Leeway, leewayOf } from "./leeway.ts";
import type { Drift } from "./neutral.ts";
import type { WatchSettings } from "./settings.ts";

export interface Stream {
  /** Towards, over the ground, m/s. */
  vector: Vector;
  /** One sigma along this axis and across it. */
  axisDeg: number;
  alongSdMps: number;
  acrossSdMps: number;
  /** How likely it is, 0 to 1, that there is none to speak of. */
  slackShare: number;
  from: "told" | "log" | "drift";
}

/** A log and compass that tell set and drift: one sigma, a judgement. */
const TOLD_SD_MPS = 0.1;
/** A log of her own, at a walk: sticky paddles, a judgement. */
const LOG_SD_MPS = 0.08;
/** A paddle that shows less may stand still, or go astern. */
const LEAST_LOG_MPS = 0.2;
/** Before anything is read: so often no stream to speak of, and else one sigma of each component; judgements. */
const SLACK_SHARE = 0.3;
const USUAL_MPS = fromKn(1.5);

/** Undefined while nothing is read, or too little is known of the boat. */
export function streamOf(
  picture: Picture,
  drift: Drift | undefined,
  wind: { speedMps: number; fromDeg: number },
  settings: WatchSettings,
): Stream | undefined {
  const { current, headingDeg, depth } = picture;
  if (current !== undefined) {
    const { driftMps, setDeg } = current.value;
    const sd = { axisDeg: 0, alongSdMps: TOLD_SD_MPS, acrossSdMps: TOLD_SD_MPS };
    return { vector: vectorOf(driftMps, setDeg), ...sd, slackShare: 0, from: "told" };
  }
  if (drift === undefined) return undefined;
  const { gathering, gatheringSdMps2 } = drift;
  const leeway = leewayOf(settings.boat, wind, {
    velocity: drift.velocity,
    headingDeg: headingDeg?.value,
    depthM: depth?.value.surfaceM,
    gathering,
    gatheringSdMps2,
    massKg: settings.massKg,
  });
  const through = throughWater(picture, leeway);
  if (through === undefined) return undefined;
  const { axisDeg } = through;
  const rad = toRad(axisDeg);
  const [north, east] = [drift.velocity.north, drift.velocity.east];
  const along = likely(north * Math.cos(rad) + east * Math.sin(rad) - through.alongMps, [
    through.alongSdMps,
    drift.sdMps,
  ]);
  const across = likely(east * Math.cos(rad) - north * Math.sin(rad) - through.acrossMps, [
    through.acrossSdMps,
    drift.sdMps,
  ]);
  const slack = SLACK_SHARE * along.asSlack * across.asSlack;
  return {
    vector: joined(along.mps, across.mps, axisDeg),
    axisDeg,
    alongSdMps: along.sdMps,
    acrossSdMps: across.sdMps,
    slackShare: slack / (slack + (1 - SLACK_SHARE) * along.asStream * across.asStream),
    from: through.from,
  };
}

type ThroughWater = Leeway & { from: "log" | "drift" };

/** What a log measures is taken from it; the rest from what the wind does. */
function throughWater(
  { waterSpeedMps, waterStarboardMps, headingDeg }: Picture,
  leeway: Leeway | undefined,
): ThroughWater | undefined {
  if (waterSpeedMps === undefined || waterSpeedMps < LEAST_LOG_MPS || headingDeg === undefined)
    return leeway === undefined ? undefined : { ...leeway, from: "drift" };
  const along = { axisDeg: headingDeg.value, alongMps: waterSpeedMps, alongSdMps: LOG_SD_MPS };
  if (waterStarboardMps !== undefined)
    return { ...along, acrossMps: waterStarboardMps, acrossSdMps: LOG_SD_MPS, from: "log" };
  return leeway === undefined ? undefined : { ...leeway, ...along, from: "log" };
}

interface Likely {
  mps: number;
  sdMps: number;
  /** How well the reading goes with no stream, and with one (normal densities). */
  asSlack: number;
  asStream: number;
}

/** A reading, and what is usual, each by how well it is known (two normal laws made one; textbook). */
function likely(readMps: number, sds: readonly number[]): Likely {
  const variance = sds.reduce((sum, sd) => sum + sd * sd, 0);
  const share = USUAL_MPS ** 2 / (USUAL_MPS ** 2 + variance);
  const density = (of: number) => Math.exp(-(readMps ** 2) / (2 * of)) / Math.sqrt(of);
  return {
    mps: share * readMps,
    sdMps: Math.sqrt(share * variance),
    asSlack: density(variance),
    asStream: density(variance + USUAL_MPS ** 2),
  };
}

function joined(alongMps: number, acrossMps: number, axisDeg: number): Vector {
  const [ahead, aside] = [vectorOf(alongMps, axisDeg), vectorOf(acrossMps, axisDeg + 90)];
  return { north: ahead.north + aside.north, east: ahead.east + aside.east };
}

export interface WeightedStream {
  stream: Vector;
  weight: number;
}

/** Streams that stand for all the likely ones: none, and each axis by its spread, either way. Weights add up to 1. */
export function likelyStreams(found: Stream): WeightedStream[] {
  const { vector, axisDeg, alongSdMps, acrossSdMps, slackShare } = found;
  const steps = [
    [alongSdMps, 0],
    [-alongSdMps, 0],
    [0, acrossSdMps],
    [0, -acrossSdMps],
  ] as const;
  const weight = (1 - slackShare) / steps.length;
  const around = steps.map(([along, across]) => {
    const step = joined(Math.SQRT2 * along, Math.SQRT2 * across, axisDeg);
    return { stream: { north: vector.north + step.north, east: vector.east + step.east }, weight };
  });
  return [{ stream: { north: 0, east: 0 }, weight: slackShare }, ...around];
}

export function setAndDrift(velocity: Vector): { setDeg: number | undefined; driftMps: number } {
  return { setDeg: directionOf(velocity), driftMps: lengthOf(velocity) };
}
