import { instantOf } from "../../units/time.ts";
import { comingUp, settingOf } from "../anchorage.ts";
import type { Chance } from "../chance.ts";
import type { Scene } from "../scene.ts";
import { acknowledge, arrival, event, type ScriptEvent, weighing } from "../script.ts";
import { STILL_WATER } from "../water.ts";
import { STEADY } from "../weather.ts";

const LET_GO_S = 410;
const RISES_S = 3600;
const STRONG_S = 4800;
const VEERS_S = 5640;
const DRAGS_S = 8400;
const WEIGHS_S = 9390;
const ENDS_S = 10320;

const RODE_M = 42;
const MORE_RODE_M = 60;

/** The whole of it: approach, let go, a quiet spell, wind, more rode, a drag, and away. */
export function stay(chance: Chance): Scene {
  const fromDeg = chance.between(200, 260);
  const weigh = weighing(WEIGHS_S, MORE_RODE_M);
  return {
    ...settingOf(chance),
    name: "stay",
    about: "approach to aweigh: a quiet spell, rising wind, more rode, a drag (2 h 52 min)",
    startMs: instantOf(2026, 6, 14, 19 * 3600 + 20 * 60) ?? 0,
    lengthS: ENDS_S,
    begin: comingUp(fromDeg, 700, 5),
    wind: {
      ...STEADY,
      slowShare: 0.03,
      minuteShare: 0.04,
      puffEveryS: 300,
      speedKn: [
        [0, 10],
        [RISES_S, 9.5],
        [STRONG_S, 23],
        [7000, 24.5],
        [ENDS_S, 24],
      ],
      fromDeg: [
        [0, fromDeg],
        [RISES_S, fromDeg],
        [STRONG_S, fromDeg + 20],
      ],
    },
    water: {
      ...STILL_WATER,
      depthM: 6.4,
      slope: 0.002,
      deeperDeg: fromDeg + 150,
      tideM: [
        [0, -0.05],
        [9000, 0.45],
        [ENDS_S, 0.5],
      ],
      streamKn: [
        [0, 0.2],
        [ENDS_S, 0.1],
      ],
    },
    script: [
      ...arrival({ letGoS: LET_GO_S, rodeM: RODE_M, riseM: 0.5, expectKn: 16, miscountM: 10 }),
      ...windAndDrag(),
      ...weigh.events,
      event(
        weigh.aweighS + 40,
        { do: "steam", courseDeg: fromDeg + 180, speedKn: 5 },
        undefined,
        "under way",
      ),
    ],
  };
}

function windAndDrag(): ScriptEvent[] {
  return [
    acknowledge(VEERS_S - 150, 10808, "the operator acknowledges: wind"),
    acknowledge(VEERS_S - 140, 10803, "the operator acknowledges: scope"),
    event(VEERS_S, { do: "veer", toM: MORE_RODE_M, rateMps: 0.3 }, undefined, "more rode"),
    event(DRAGS_S, {
      do: "drag",
      drag: { kind: "drag", speedMps: 4 / 60, resetsAfterM: undefined },
    }),
    acknowledge(DRAGS_S + 360, 10801, "the operator is up and acknowledges: dragging"),
    acknowledge(DRAGS_S + 600, 10801),
    acknowledge(DRAGS_S + 602, 10802, "the operator acknowledges: circle"),
  ];
}
