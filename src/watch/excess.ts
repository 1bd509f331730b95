/**
 * The excess: how far the antenna lies beyond what the rode explains under the present load. In: fix, wind,
 * depth; out: excess, direction, and the way outward by velocity, for one second.
 */
import type { Picture } from "../instruments/picture.ts";
import { windLoadN } from "../tackle/wind-load.ts";
import { type Vector, vectorOf } from "../units/angle.ts";
import { offsetM, type Position } from "../units/position.ts";
import { fromKn } from "../units/speed.ts";
import type { DragState } from "./drag-state.ts";
import type { LieSum } from "./lie-history.ts";
import { reachAt, reachTable, stretchAt } from "./reach-table.ts";
import type { WatchSettings } from "./settings.ts";

export interface Excess {
  /** The antenna from where the anchor was placed, m. */
  at: Vector;
  velocity: Vector;
  /** Speed and course both said, or standing still said. */
  hasVelocity: boolean;
  /** Reckoned for the present load, m. */
  reachM: number;
  sum: LieSum;
}

const LOAD_OVER_S = 12;
const STEADY_OVER_S = 180;
const DEPTH_OVER_S = 120;

/** Depth and load, smoothed: once a second, fix or not. In place. */
export function smoothLoad(state: DragState, picture: Picture, settings: WatchSettings): void {
  const depthM = picture.depth?.value.surfaceM;
  if (depthM !== undefined) state.depthM = smoothed(state.depthM, depthM, DEPTH_OVER_S);
  const windMps = picture.wind?.value.speedMps;
  const loadN = windMps === undefined ? undefined : windLoadN(settings.boat, windMps);
  state.loadN = smoothed(state.loadN, loadN, LOAD_OVER_S);
  // From no less than a 10-knot wind's load: a breeze after a calm is no gust.
  const steadyN = loadN === undefined ? undefined : Math.max(loadN, streamLikeN(settings.boat));
  state.steadyN = smoothed(state.steadyN, steadyN, STEADY_OVER_S);
}

function smoothed(before: number | undefined, now: number | undefined, overS: number): number | undefined {
  return before === undefined || now === undefined ? now : before + (now - before) / overS;
}

/**
 * An unknown stream may pull as hard as this wind without the wind showing it: below it the reach is taken as at
 * this, so that a boat lying to the tide is not taken for one that has dragged.
 */
const STREAM_LIKE_MPS = fromKn(10);
const LOADED_SHARE = 0.7;

function streamLikeN(boat: WatchSettings["boat"]): number {
  return windLoadN(boat, STREAM_LIKE_MPS) ?? 0;
}

/** So near the bound, something pulls, whatever the wind. */
const NEAR_BOUND_M = -2;
const CLAMP_M = 3;
/** Over her anchor the direction means nothing; and where rode and height leave no reach, right at it neither. */
const OVER_ANCHOR = 0.3;
const AT_ANCHOR_M = 0.01;

/** For a fresh fix. `forS`: the seconds that it stands for. */
export function excessNow(
  state: DragState,
  from: { anchor: Position; depthM: number | undefined; rodeM: number },
  picture: Picture,
  settings: WatchSettings,
  wanderSdM: number,
  forS: number,
): Excess | undefined {
  const fix = picture.position;
  if (fix === undefined) return undefined;
  const { boat } = settings;
  const heightM = (state.depthM ?? from.depthM ?? 0) + (boat.rollerHeightM ?? 0);
  state.reach = reachTable(state.reach, settings.rode, from.rodeM, Math.min(heightM, from.rodeM));
  const least = streamLikeN(boat);
  const { loadN } = state;
  const pullN = loadN === undefined ? undefined : Math.max(loadN, least);
  const reachM = reachAt(state.reach, pullN);
  const radiusM = reachM + (boat.rollerToAntennaM ?? 0);
  const at = offsetM(from.anchor, fix.value);
  const rangeM = Math.hypot(at.north, at.east);
  const { velocity, hasVelocity } = velocityOf(picture);
  const over = rangeM < Math.max(AT_ANCHOR_M, OVER_ANCHOR * radiusM);
  const u = over ? { north: 0, east: 0 } : { north: at.north / rangeM, east: at.east / rangeM };
  const rawM = rangeM - radiusM;
  const excessM = Math.max(rawM, -CLAMP_M - wanderSdM);
  // Chain lies as it was laid until the pull is more than its friction: till then her range says nothing of it.
  const straightN = Math.max(LOADED_SHARE * least, state.reach.straightN);
  const loaded = !over && (rawM > NEAR_BOUND_M || (loadN !== undefined && loadN > straightN));
  const wayM = velocity.north * u.north + velocity.east * u.east;
  return {
    at,
    velocity,
    hasVelocity,
    reachM,
    sum: {
      seconds: forS,
      excess: excessM * forS,
      north: u.north * forS,
      east: u.east * forS,
      stretch: stretchAt(state.reach, pullN) * forS,
      way: wayM * forS,
      loaded: loaded ? forS : 0,
    },
  };
}

function velocityOf(picture: Picture): { velocity: Vector; hasVelocity: boolean } {
  const motion = picture.motion?.value;
  if (motion === undefined) return { velocity: { north: 0, east: 0 }, hasVelocity: false };
  if (motion.sogMps === 0) return { velocity: { north: 0, east: 0 }, hasVelocity: true };
  if (motion.cogDeg === undefined) return { velocity: { north: 0, east: 0 }, hasVelocity: false };
  return { velocity: vectorOf(motion.sogMps, motion.cogDeg), hasVelocity: true };
}
