/** Which nights make up a run: of every twenty, twelve in all weathers, three with a fault, five with a drag. */
import {
  DRAGS,
  FAULTS,
  type NightKind,
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
