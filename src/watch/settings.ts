/** What the watch needs to be told; the configuration is mapped onto it. Absent is undefined. */
import type { Boat } from "../tackle/boat.ts";
import type { Rode } from "../tackle/rode.ts";
import type { ScopeStep } from "../tackle/scope.ts";
import type { DisplayUnits } from "../tackle/veer-length.ts";

export interface WatchSettings {
  boat: Boat;
  rode: Rode | undefined;
  steps: readonly ScopeStep[];
  leastScope: number;
  pullLimitDeg: number;
  stay: "night" | "attended";
  marginM: number;
  leaveAfterMs: number;
  windLimitMps: number;
  gustLimitMps: number;
  leastUnderKeelM: number;
  notBroughtUpAfterMs: number;
  forecastWindMps: number | undefined;
  /** Rise told in the configuration: expected above the level at let go. */
  tideRiseM: number | undefined;
  tideTimes: { highWaterMs: number | undefined; lowWaterMs: number | undefined };
  units: DisplayUnits;
}
