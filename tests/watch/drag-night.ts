/** A watch fed with pictures of a simple boat: yaws on a taut rode, and drags when told to. No text in between. */

import { readConfig } from "../../src/config/read.ts";
import { coreSettings } from "../../src/config/settings.ts";
import type { Picture } from "../../src/instruments/picture.ts";
import { noInstruments, observe } from "../../src/instruments/picture.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { chanceOf, wander } from "../../src/rehearsal/chance.ts";
import { vectorOf } from "../../src/units/angle.ts";
import { moved, type Position } from "../../src/units/position.ts";
import type { WatchSettings } from "../../src/watch/settings.ts";
import { beginWatch, UNDER_WAY, type WatchState } from "../../src/watch/state.ts";
import { step, type Watched } from "../../src/watch/step.ts";

export const START_MS = Date.UTC(2026, 5, 15, 20);
export const ANCHOR: Position = { latDeg: 50.4, lonDeg: -0.2 };

const config = readConfig(rehearsalConfig({ sentencePort: 1, displayPort: 2, pagePort: 3 }));
if (!config.ok) throw new Error(config.problems.join("; "));
const core = coreSettings(config.config, { utc: "given", ignoreOperator: false });
export const SETTINGS: WatchSettings = core.watch;

const EMPTY = observe(noInstruments(), [], core.instruments, START_MS).picture;

export interface Course {
  /** Where the wind is from: she lies down wind of the anchor. */
  windFromDeg: number;
  /** Metres the anchor has moved by a second. */
  draggedM: (atS: number) => number;
  /** -1: mirrored at the meridian. */
  mirror: 1 | -1;
  change: (picture: Picture, atS: number) => Picture;
}

export const STILL: Course = { windFromDeg: 220, draggedM: () => 0, mirror: 1, change: (picture) => picture };

const RODE_M = 40;
const REACH_M = 38.3;
const ABAFT_M = 6;

/** The pictures, second by second; a receiver of 1 m, forgetting itself in 100 s. */
export function* pictures(course: Course, seconds: number, seed = 7): Generator<Picture> {
  const chance = chanceOf(seed);
  let north = 0;
  let east = 0;
  for (let s = 1; s <= seconds; s++) {
    north = wander(north, 1, 100, 1, chance);
    east = wander(east, 1, 100, 1, chance);
    const yaw = Math.sin((2 * Math.PI * s) / 90);
    const downDeg = course.windFromDeg + 180 + course.mirror * 8 * yaw;
    const dragged = vectorOf(course.draggedM(s), course.windFromDeg + 180);
    const lies = vectorOf(REACH_M + ABAFT_M, downDeg);
    // The error turns with the night, so that a turned night is the same night turned.
    const along = vectorOf(north, course.windFromDeg);
    const across = vectorOf(course.mirror * east, course.windFromDeg + 90);
    const off = {
      north: dragged.north + lies.north + along.north + across.north,
      east: dragged.east + lies.east + along.east + across.east,
    };
    const atMs = START_MS + s * 1000;
    const known = <T>(value: T) => ({ value, source: "bus/GP", atMs });
    const position = moved(ANCHOR, off);
    yield course.change(
      {
        ...EMPTY,
        atMs,
        position: known(position),
        lastFix: { position, source: "bus/GP", atMs },
        depth: known({ surfaceM: 6, underKeelM: 5.2, referenceKnown: true }),
        wind: known({ speedMps: 8, fromDeg: course.windFromDeg }),
        headingDeg: known(course.windFromDeg),
      },
      s,
    );
  }
}

/** Let go, brought up, and lying to 40 m of rode. */
export function riding(): WatchState {
  const state = beginWatch(START_MS);
  const anchor = {
    position: ANCHOR,
    uncertaintyM: 2.5,
    byFix: true,
    sinceMs: START_MS - 600_000,
    depthM: 6,
    onBottom: true,
    antennaAtLetGo: undefined,
  };
  const rode = { lengthM: RODE_M, source: "told" as const, atMs: START_MS, countedM: undefined };
  return { ...state, stay: { ...UNDER_WAY, phase: "riding", phaseSinceMs: START_MS, anchor, rode } };
}

export interface Watch {
  state: WatchState;
  last: Watched;
  /** When `dragging` first was found at each priority, seconds. */
  firstS: { warning: number | undefined; alarm: number | undefined };
}

export function watch(course: Course, seconds: number, from = riding(), settings = SETTINGS): Watch {
  let state = from;
  let last: Watched | undefined;
  const firstS: Watch["firstS"] = { warning: undefined, alarm: undefined };
  let second = 0;
  for (const picture of pictures(course, seconds)) {
    second++;
    last = step(state, picture, settings);
    state = last.state;
    const found = last.findings.find(({ key }) => key === "dragging");
    if (found?.priority === "warning") firstS.warning ??= second;
    if (found?.priority === "alarm") firstS.alarm ??= second;
  }
  if (last === undefined) throw new Error("no seconds");
  return { state, last, firstS };
}
