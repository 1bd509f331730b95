import { instantOf } from "../../units/time.ts";
import { comingUp, settingOf } from "../anchorage.ts";
import type { Chance } from "../chance.ts";
import { drawDrag } from "../ground.ts";
import type { Scene } from "../scene.ts";
import { arrival, event } from "../script.ts";
import { STILL_WATER } from "../water.ts";
import { STEADY } from "../weather.ts";

/** A drag of 2 to 10 metres a minute with nobody up: nothing is acknowledged, nothing is done. */
export function drag(chance: Chance): Scene {
  const fromDeg = chance.between(0, 360);
  return {
    ...settingOf(chance),
    name: "drag",
    about: "the anchor drags in a fresh wind and nobody answers (1 h 15 min)",
    startMs: instantOf(2026, 6, 19, 1 * 3600) ?? 0,
    lengthS: 4500,
    begin: comingUp(fromDeg, 150, 3),
    wind: {
      ...STEADY,
      speedKn: [
        [0, 12],
        [900, 14],
        [1500, 18.5],
      ],
      fromDeg: [[0, fromDeg]],
    },
    water: STILL_WATER,
    script: [
      ...arrival({ letGoS: 240, rodeM: 58, riseM: undefined, expectKn: 24, miscountM: undefined }),
      event(2700, { do: "drag", drag: drawDrag("drag", chance) }),
    ],
  };
}
