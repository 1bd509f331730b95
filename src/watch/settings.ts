/** What the watch needs to be told; the configuration is mapped onto it. Absent is undefined. */
import type { Boat } from "../tackle/boat.ts";
import type { Rode } from "../tackle/rode.ts";
import type { ScopeStep } from "../tackle/scope.ts";
import type { TideTurn } from "../tackle/tide.ts";
import type { DisplayUnits } from "../tackle/veer-length.ts";
import type { ReceiverProfile } from "./receiver.ts";

export interface WatchSettings {
  boat: Boat;
  rode: Rode | undefined;
  steps: readonly ScopeStep[];
  leastScope: number;
  pullLimitDeg: number;
  /** On the wind's load, for waves; 1: left out. */
  surge: number;
  stay: "night" | "attended";
  marginM: number;
  leaveAfterMs: number;
  windLimitMps: number;
  gustLimitMps: number;
  leastUnderKeelM: number;
  /** Below this the supply is low, where it is told. */
  supplyLimitV: number;
  notBroughtUpAfterMs: number;
  /** A proposal "brought up" is taken without a person's word. */
  autoBroughtUp: boolean;
  /** Mean wind turned by more than this from where the anchor was set. */
  shiftLimitDeg: number;
  /** Loaded, crew aboard. */
  massKg: number | undefined;
  /** Continuous working pull and speed of the windlass. */
  windlassPullN: number | undefined;
  windlassMps: number | undefined;
  /** Marks on the rode, metres from the anchor. */
  marksM: readonly number[];
  forecastWindMps: number | undefined;
  /** Rise told in the configuration: expected above the level at let go. */
  tideRiseM: number | undefined;
  tideTimes: { highWaterMs: number | undefined; lowWaterMs: number | undefined };
  /** High and low waters with their heights, in order of time; empty: none told. */
  tideTurns: readonly TideTurn[];
  /** What earlier nights learnt of the position receiver. */
  receiverProfile: ReceiverProfile | undefined;
  units: DisplayUnits;
}
