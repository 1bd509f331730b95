/** A riding boat with a drawing, whose parts a test may replace. */
import type { BoatState, DrawnPlan, DrawnSide } from "../../src/page/boat-state.ts";
import { ridingState } from "./stage.ts";

export function drawnState({
  side = {},
  plan = {},
  state = {},
}: {
  side?: Partial<DrawnSide>;
  plan?: Partial<DrawnPlan>;
  state?: Partial<BoatState>;
}): BoatState {
  return {
    ...ridingState(),
    ...state,
    drawing: {
      side: {
        rode: "out",
        surfaceM: 6.9,
        riseM: 0.6,
        rollerM: 1.1,
        chain: [
          [0, 0],
          [4.2, 0],
          [6, 0.1],
          [8, 0.4],
        ],
        rope: [
          [8, 0.4],
          [25, 3.5],
          [46, 8],
        ],
        reachM: 46,
        outM: 47,
        requiredM: 40,
        aboardM: 68,
        meanLoadN: 400,
        ...side,
      },
      plan: {
        lat: 54.46803,
        lon: 10.38161,
        anchor: { uncertaintyM: 1.8 },
        roller: { northM: 30, eastM: 34 },
        antenna: { northM: 34, eastM: 38 },
        headingDeg: 228,
        circleM: 66,
        wind: { fromDeg: 226, meanKn: 13 },
        current: null,
        towardDeg: 46,
        letGo: null,
        liesAt: null,
        keepOffs: [],
        lie: null,
        moved: null,
        ...plan,
      },
      boat: { lengthM: 9.2, beamM: 3.1, rollerToAntennaM: 6 },
    },
  };
}
