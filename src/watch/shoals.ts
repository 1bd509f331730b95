/**
 * The shoal line, as far as she has sounded it: places she has come over, on the way in or swinging, that have too
 * little water at the next low water. In: fixes and soundings; out: marks to be kept off, like those a person tells.
 */
import type { Picture } from "../instruments/picture.ts";
import { distanceM, type Position } from "../units/position.ts";
import { SECOND_MS } from "../units/time.ts";
import type { Memory } from "./memory.ts";
import type { WatchSettings } from "./settings.ts";
import type { KeepOff, WatchState } from "./state.ts";
import { aboveLow } from "./tide-now.ts";

export interface SoundedPlace {
  position: Position;
  underKeelM: number;
  atMs: number;
}

/** So far apart are the places kept, and so many of them. */
const APART_M = 8;
const MOST = 150;
/** Looked at anew so often. */
const EVERY_MS = 10 * SECOND_MS;
/** A fix, and half the way between two places kept, one sigma. */
const UNCERTAINTY_M = 5;
/** The nearest of them: a line of marks is no closer for having a hundred. */
const NEAREST = 12;

/** Where there is too little water by low water; empty without a tide that is told. `memory` is kept. */
export function shoalsNow(state: WatchState, picture: Picture, settings: WatchSettings): readonly KeepOff[] {
  const { memory, stay } = state;
  keepPlace(memory, picture);
  if (picture.atMs % EVERY_MS !== 0) return memory.shoals;
  const from = stay.anchor?.position ?? picture.lastFix?.position;
  const aboveLowM = aboveLow(stay, picture, settings);
  const found =
    aboveLowM === undefined ? [] : memory.sounded.filter((one) => isShoal(one, aboveLowM, settings));
  memory.shoals = nearest(found, from).map(({ position }) => ({
    name: "shoal",
    position,
    uncertaintyM: UNCERTAINTY_M,
  }));
  return memory.shoals;
}

/** A depth of this second, where she has come far enough from the last one kept. */
function keepPlace(memory: Memory, { atMs, position, depth }: Picture): void {
  const underKeelM = depth?.value.underKeelM;
  if (position === undefined || underKeelM === undefined || depth?.atMs !== atMs) return;
  const last = memory.sounded.at(-1);
  if (last !== undefined && distanceM(last.position, position.value) < APART_M) return;
  const { latDeg, lonDeg } = position.value;
  memory.sounded.push({ position: { latDeg, lonDeg }, underKeelM, atMs });
  if (memory.sounded.length > MOST) memory.sounded.shift();
}

function isShoal(
  { underKeelM, atMs }: SoundedPlace,
  aboveLowM: (atMs: number) => number | undefined,
  settings: WatchSettings,
): boolean {
  const overM = aboveLowM(atMs);
  return overM !== undefined && underKeelM - overM < settings.leastUnderKeelM;
}

function nearest(places: readonly SoundedPlace[], from: Position | undefined): SoundedPlace[] {
  if (from === undefined) return [];
  const away = places.map((place) => ({ place, m: distanceM(from, place.position) }));
  return away
    .sort((a, b) => a.m - b.m)
    .slice(0, NEAREST)
    .map(({ place }) => place);
}
