import { instantOf } from "../../units/time.ts";
import { comingUp, settingOf } from "../anchorage.ts";
import type { Chance } from "../chance.ts";
import type { Scene } from "../scene.ts";
import { arrival } from "../script.ts";
import { STILL_WATER } from "../water.ts";
import { STEADY } from "../weather.ts";

/** Light airs that go round: she lies anyhow, and nothing should sound. */
export function quiet(chance: Chance): Scene {
  const fromDeg = chance.between(0, 360);
  return {
    ...settingOf(chance),
    name: "quiet",
    about: "two hours of light airs; nothing happens",
    startMs: instantOf(2026, 6, 15, 21 * 3600) ?? 0,
    lengthS: 7200,
    begin: comingUp(fromDeg, 150, 3),
    wind: {
      ...STEADY,
      slowShare: 0.13,
      wanderDeg: 25,
      speedKn: [
        [0, 6],
        [900, 5],
        [2400, 2.5],
        [5400, 1.5],
        [7200, 3],
      ],
      fromDeg: [
        [0, fromDeg],
        [1200, fromDeg],
        [7200, fromDeg + 70],
      ],
    },
    water: { ...STILL_WATER, streamKn: [[0, 0.05]] },
    script: arrival({ letGoS: 240, rodeM: 40, riseM: undefined, expectKn: undefined, miscountM: undefined }),
  };
}
