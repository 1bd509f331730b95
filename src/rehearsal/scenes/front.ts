import { instantOf } from "../../units/time.ts";
import { comingUp, settingOf } from "../anchorage.ts";
import type { Chance } from "../chance.ts";
import type { Scene } from "../scene.ts";
import { arrival } from "../script.ts";
import { STILL_WATER } from "../water.ts";
import { STEADY } from "../weather.ts";

/** A lull, then the wind from the other side within minutes: she runs through her circle. */
export function front(chance: Chance): Scene {
  const fromDeg = chance.between(0, 360);
  const turnDeg = chance.between(150, 200) * (chance.uniform() < 0.5 ? -1 : 1);
  const overS = chance.between(120, 600);
  return {
    ...settingOf(chance),
    name: "front",
    about: "a lull, then the wind from the other side and harder (2 h)",
    startMs: instantOf(2026, 6, 18, 16 * 3600) ?? 0,
    lengthS: 7200,
    begin: comingUp(fromDeg, 150, 3),
    wind: {
      ...STEADY,
      speedKn: [
        [0, 12],
        [3000, 9],
        [3600, 3],
        [4000, 3],
        [4000 + overS, 15],
        [5400, 17],
        [7200, 15],
      ],
      fromDeg: [
        [0, fromDeg],
        [4000, fromDeg],
        [4000 + overS, fromDeg + turnDeg],
      ],
    },
    water: STILL_WATER,
    script: arrival({ letGoS: 240, rodeM: 44, riseM: undefined, expectKn: 18, miscountM: undefined }),
  };
}
