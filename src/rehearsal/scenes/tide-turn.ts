import { instantOf } from "../../units/time.ts";
import { comingUp, settingOf } from "../anchorage.ts";
import type { Chance } from "../chance.ts";
import type { Scene } from "../scene.ts";
import { arrival, event } from "../script.ts";
import { STILL_WATER } from "../water.ts";
import { STEADY } from "../weather.ts";

const SLACK_S = 4800;

/** The stream turns and sets against the wind: she goes round over her own rode, and the anchor stays. */
export function tideTurn(chance: Chance): Scene {
  const fromDeg = chance.between(0, 360);
  return {
    ...settingOf(chance),
    name: "tide-turn",
    about: "the stream turns against a light wind and swings her right round (3 h)",
    startMs: instantOf(2026, 6, 17, 5 * 3600) ?? 0,
    lengthS: 10800,
    begin: comingUp(fromDeg, 150, 3),
    wind: {
      ...STEADY,
      speedKn: [[0, 7]],
      fromDeg: [[0, fromDeg]],
    },
    water: {
      ...STILL_WATER,
      // Flood away from the wind, then ebb against it.
      streamTowardDeg: fromDeg + 180,
      streamKn: [
        [0, 1.1],
        [2400, 0.8],
        [SLACK_S, 0],
        [6600, -0.8],
        [8400, -1.3],
        [10800, -1.4],
      ],
      tideM: [
        [0, 0],
        [2400, 0.25],
        [SLACK_S, 0.35],
        [7200, 0.1],
        [10800, -0.5],
      ],
    },
    script: [
      ...arrival({ letGoS: 240, rodeM: 42, riseM: 0.4, expectKn: undefined, miscountM: undefined }),
      event(SLACK_S, { do: "tell" }, undefined, "slack water: the stream turns"),
    ],
  };
}
