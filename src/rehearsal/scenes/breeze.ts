import { instantOf } from "../../units/time.ts";
import { comingUp, settingOf } from "../anchorage.ts";
import type { Chance } from "../chance.ts";
import type { Scene } from "../scene.ts";
import { arrival } from "../script.ts";
import { STILL_WATER } from "../water.ts";
import { STEADY } from "../weather.ts";

/** A steady breeze below the first step of the scope table: she sails about and holds. */
export function breeze(chance: Chance): Scene {
  const fromDeg = chance.between(0, 360);
  return {
    ...settingOf(chance),
    name: "breeze",
    about: "three hours in 12 to 15 knots; she yaws, and holds",
    startMs: instantOf(2026, 6, 16, 13 * 3600) ?? 0,
    lengthS: 10800,
    begin: comingUp(fromDeg, 150, 3),
    wind: {
      ...STEADY,
      slowShare: 0.04,
      speedKn: [
        [0, 11],
        [1800, 13],
        [6000, 15],
        [10800, 12],
      ],
      fromDeg: [
        [0, fromDeg],
        [10800, fromDeg + 25],
      ],
    },
    water: {
      ...STILL_WATER,
      tideM: [
        [0, 0],
        [10800, 0.4],
      ],
    },
    script: arrival({ letGoS: 240, rodeM: 44, riseM: 0.4, expectKn: 16, miscountM: undefined }),
  };
}
