/**
 * Which nights make up a run: of every twenty, twelve in all weathers, three with a fault, five with a drag. In a
 * row of nights the receiver stays the same, and what one has taught of it goes to the next.
 */
import {
  DRAGS,
  FAULTS,
  type Night,
  type NightKind,
  nightOf,
  type VelocityKind,
  WEATHERS,
} from "../../src/rehearsal/nights/night.ts";
import type { ReceiverGrade } from "../../src/rehearsal/receiver.ts";

export const GRADES = ["good", "mid", "poor"] as const satisfies readonly ReceiverGrade[];
export type RunClass = ReceiverGrade | "mixed";
export type Part = "weather" | "fault" | "drag";

export interface Planned {
  seed: number;
  kind: NightKind;
}

/** The night of a seed: the same in every run. */
export function plannedNight(runClass: RunClass, velocity: VelocityKind, seed: number): Planned {
  const mixed = GRADES[(seed * 7) % GRADES.length] ?? "mid";
  const grade = runClass === "mixed" ? mixed : runClass;
  return { seed, kind: { grade, velocity, event: eventOf(seed) } };
}

/** Of a row of so many nights: the one seed's place in it, from 0, and the row. */
export function inRow(seed: number, row: number): { nth: number; row: number } {
  return { nth: (seed - 1) % row, row: Math.floor((seed - 1) / row) };
}

/** A night of a row: all places in the row meet all events, by and by. */
export function plannedInRow(
  runClass: RunClass,
  velocity: VelocityKind,
  seed: number,
  rowOf: number,
): Planned {
  const { row } = inRow(seed, rowOf);
  const { kind } = plannedNight(runClass, velocity, row + 1);
  return { seed, kind: { ...kind, event: eventOf(seed + SHIFT * row) } };
}

/** Prime to the twenty events, together with a row of ten. */
const SHIFT = 3;

/** The same receiver as on the first night of the row, with what befalls it on this one. */
export function withRowsReceiver(night: Night, kind: NightKind, row: number): Night {
  const { receiver } = nightOf({ ...kind, event: { weather: "breeze" } }, ROW_SEEDS + row).scene;
  const { faults } = night.scene.receiver;
  return { ...night, scene: { ...night.scene, receiver: { ...receiver, faults } } };
}

const ROW_SEEDS = 1_000_000;

export function partOf({ kind }: Planned): Part {
  if ("weather" in kind.event) return "weather";
  return "fault" in kind.event ? "fault" : "drag";
}

function eventOf(seed: number): NightKind["event"] {
  const at = (seed - 1) % 20;
  const weather = WEATHERS[at % WEATHERS.length];
  if (at < 12 && weather !== undefined) return { weather };
  const fault = FAULTS[at - 12];
  if (fault !== undefined) return { fault };
  return { drag: DRAGS[at - 15] ?? "drag" };
}
