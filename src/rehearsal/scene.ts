/**
 * A scene: a boat, an anchorage, its weather, a receiver and a script. Plain data; `rehearsal.ts` plays it.
 * Times are seconds into the scene, places metres north and east of where the anchor is meant to go.
 */
import type { Vector } from "../units/angle.ts";
import type { Position } from "../units/position.ts";
import type { GroundForm } from "./ground.ts";
import type { HullForm } from "./hull.ts";
import type { ReceiverForm } from "./receiver.ts";
import type { RodeForm } from "./rode-law.ts";
import type { ScriptEvent } from "./script.ts";
import type { SensorForm } from "./sensors.ts";
import type { WaterForm } from "./water.ts";
import type { WindForm } from "./weather.ts";

export interface Scene {
  name: string;
  /** One line for a list of scenes. */
  about: string;
  startMs: number;
  lengthS: number;
  /** Where the anchor is meant to go. */
  place: Position;
  /** Where she is at the beginning, and how she moves. */
  begin: { at: Vector; headingDeg: number; speedMps: number };
  hull: HullForm;
  rode: RodeForm;
  /** True length over told length: the marks on the rode are a little off. */
  rodeTruth: number;
  ground: GroundForm;
  wind: WindForm;
  water: WaterForm;
  receiver: ReceiverForm;
  sensors: SensorForm;
  script: readonly ScriptEvent[];
}
