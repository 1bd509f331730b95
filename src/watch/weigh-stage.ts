/**
 * How far weighing has come. In: rode out, height, distance, speed; out: the stage. What must outlast the second
 * is kept in memory.
 */
import type { Picture } from "../instruments/picture.ts";
import { SECOND_MS } from "../units/time.ts";
import type { Memory } from "./memory.ts";

export type WeighStage = "come-up" | "short-stay" | "splice-near" | "up-and-down" | "foul" | "aweigh";

/** Rode out ÷ height: short stay, and up and down (practice; the height is not known better). */
const SHORT_STAY = 1.5;
const UP_AND_DOWN = 1.12;
const SPLICE_SAID_MS = 8 * SECOND_MS;
const FOUL_MS = 60 * SECOND_MS;
/** Off what the rode allows, beyond both uncertainties, for so long: the anchor is off the bottom. */
const FREE_MS = 5 * SECOND_MS;
/** Chain to slow down for, above the splice at the roller. */
export const SPLICE_ALLOWANCE_M = 5;

export interface Haul {
  memory: Memory;
  picture: Picture;
  heightM: number | undefined;
  rodeOutM: number | undefined;
  distance: number | undefined;
  uncertaintyM: number;
  chainM: number;
  closing: number | undefined;
}

/** Moving off as fast as this she is not held. */
const MOVES_OFF_MPS = 0.12;

/** The stage; `memory` is kept up to date. */
export function stageOf(haul: Haul): WeighStage | undefined {
  const { memory, picture, heightM, rodeOutM } = haul;
  if (heightM === undefined || rodeOutM === undefined) return undefined;
  if (isSpliceNear(haul, heightM, rodeOutM)) return "splice-near";
  if (isUpAndDown(haul, heightM, rodeOutM)) memory.upAndDown ??= { sinceMs: picture.atMs, rodeM: rodeOutM };
  if (memory.upAndDown !== undefined) {
    if (isFree(haul, heightM)) return "aweigh";
    const isHeld = picture.atMs - memory.upAndDown.sinceMs >= FOUL_MS;
    return isHeld && (haul.closing ?? 0) > -MOVES_OFF_MPS ? "foul" : "up-and-down";
  }
  return rodeOutM <= SHORT_STAY * heightM ? "short-stay" : "come-up";
}

/** Shallower than the chain is long, the splice comes in before she is up and down: never passed over. */
function isSpliceNear({ memory, picture, chainM }: Haul, heightM: number, rodeOutM: number): boolean {
  if (chainM <= heightM || rodeOutM > chainM + SPLICE_ALLOWANCE_M) return false;
  memory.spliceSinceMs ??= picture.atMs;
  return rodeOutM > SHORT_STAY * heightM || picture.atMs - memory.spliceSinceMs < SPLICE_SAID_MS;
}

/** Little rode out, and the anchor not far off either: a length told may run ahead of the boat. */
function isUpAndDown(haul: Haul, heightM: number, rodeOutM: number): boolean {
  const { distance, uncertaintyM } = haul;
  const near = distance === undefined || distance <= allowedM(heightM) + uncertaintyM / 2;
  return near && rodeOutM <= UP_AND_DOWN * heightM;
}

/** Rode that may still be slack when the line looks up and down. */
const SLACK_M = 2;

function allowedM(heightM: number): number {
  return Math.sqrt((UP_AND_DOWN * heightM + SLACK_M) ** 2 - heightM ** 2);
}

/** She has moved off beyond what the rode at up and down allows. */
function isFree({ memory, picture, distance, uncertaintyM }: Haul, heightM: number): boolean {
  if (distance === undefined) return false;
  if (distance <= allowedM(heightM) + uncertaintyM) {
    memory.freeSinceMs = undefined;
    return false;
  }
  memory.freeSinceMs ??= picture.atMs;
  return picture.atMs - memory.freeSinceMs >= FREE_MS;
}
