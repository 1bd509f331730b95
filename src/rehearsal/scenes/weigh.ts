import { instantOf } from "../../units/time.ts";
import { comingUp, settingOf } from "../anchorage.ts";
import type { Chance } from "../chance.ts";
import type { Scene } from "../scene.ts";
import { arrival, event, weighing } from "../script.ts";
import { STILL_WATER } from "../water.ts";
import { STEADY } from "../weather.ts";

/** A short stay and the weighing: up the rode to the anchor, up and down, aweigh, away. */
export function weigh(chance: Chance): Scene {
  const fromDeg = chance.between(0, 360);
  const up = weighing(1500, 42);
  return {
    ...settingOf(chance),
    name: "weigh",
    about: "a short stay, then up the rode to the anchor and away (half an hour)",
    startMs: instantOf(2026, 6, 20, 8 * 3600) ?? 0,
    lengthS: 2040,
    begin: comingUp(fromDeg, 150, 3),
    wind: { ...STEADY, speedKn: [[0, 13]], fromDeg: [[0, fromDeg]] },
    water: STILL_WATER,
    script: [
      ...arrival({ letGoS: 240, rodeM: 42, riseM: undefined, expectKn: undefined, miscountM: undefined }),
      ...up.events,
      event(up.aweighS + 40, { do: "steam", courseDeg: fromDeg + 180, speedKn: 5 }, undefined, "under way"),
    ],
  };
}
