/** Latitude and longitude on the plan: a small cross where whole steps of both meet, one of them named. Pure. */
import { type Frame, groundOf, type Spot, spotOf } from "./frame.ts";
import { type Ink, strokes } from "./ink.ts";
import type { Label } from "./labels.ts";
import { nothing, type Piece, type PlanPlaces } from "./plan-margin.ts";
import { latitude, longitude } from "./wording.ts";

/** One minute of latitude and longitude in metres are near enough over a swing (0.3 %). */
export const M_PER_LAT_DEG = 111_320;
const MINUTES = 60;
const STEPS = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5];
const LEAST_APART_PX = 64;
const MOST = 120;
const ARM_PX = 4;

export function gridPiece(at: { lat: number; lon: number }, { frame, widthPx, heightPx }: PlanPlaces): Piece {
  const perLatMinM = M_PER_LAT_DEG / MINUTES;
  const perLonMinM = perLatMinM * Math.cos((at.lat * Math.PI) / 180);
  const step = STEPS.find((one) => one * Math.min(perLatMinM, perLonMinM) * frame.pxPerM >= LEAST_APART_PX);
  if (step === undefined) return nothing();
  const corners = [0, widthPx].flatMap((x) => [0, heightPx].map((y) => groundOf({ x, y }, frame)));
  const lats = wholeSteps(
    corners.map(({ northM }) => at.lat * MINUTES + northM / perLatMinM),
    step,
  );
  const lons = wholeSteps(
    corners.map(({ eastM }) => at.lon * MINUTES + eastM / perLonMinM),
    step,
  );
  if (lats.length * lons.length > MOST) return nothing();
  const found = lats.flatMap((latMin) =>
    lons.map((lonMin) => ({
      latMin,
      lonMin,
      spot: spotOf(
        { northM: (latMin - at.lat * MINUTES) * perLatMinM, eastM: (lonMin - at.lon * MINUTES) * perLonMinM },
        frame,
      ),
    })),
  );
  // One is named, away from where she lies.
  const fromMiddle = ({ y }: Spot) => Math.abs(y - heightPx / 2);
  const inside = found.filter(
    ({ spot: { x, y } }) => x > ARM_PX && y > ARM_PX && x < widthPx - ARM_PX && y < heightPx - ARM_PX,
  );
  return {
    ...nothing(),
    inks: [
      crosses(
        inside.map(({ spot }) => spot),
        frame,
      ),
    ],
    dots: inside.map(({ spot }) => spot),
    labels: [...inside]
      .sort((a, b) => fromMiddle(b.spot) - fromMiddle(a.spot))
      .map((one): Label => {
        const { x, y } = one.spot;
        return {
          id: "grid",
          type: "soft grid",
          importance: 1,
          texts: [`${latitude(one.latMin / MINUTES, step)} ${longitude(one.lonMin / MINUTES, step)}`],
          spots: [
            { x: x + 8, y: y + 4, align: "start" },
            { x: x - 8, y: y + 4, align: "end" },
          ],
        };
      }),
  };
}

/** Every whole step between the least and the greatest of these. */
function wholeSteps(values: readonly number[], step: number): number[] {
  const first = Math.ceil(Math.min(...values) / step);
  const last = Math.floor(Math.max(...values) / step);
  return Array.from({ length: Math.max(0, Math.min(MOST, last - first + 1)) }, (_, i) => (first + i) * step);
}

/** Their arms along the meridian and the parallel, so that they tell how the plan is turned. */
function crosses(spots: readonly Spot[], frame: Frame): Ink {
  const turn = ((frame.axisDeg - 90) * Math.PI) / 180;
  const [dx, dy] = [ARM_PX * Math.cos(turn), -ARM_PX * Math.sin(turn)];
  return strokes(
    "grid",
    spots.flatMap(({ x, y }) => [
      [
        { x: x - dx, y: y - dy },
        { x: x + dx, y: y + dy },
      ],
      [
        { x: x + dy, y: y - dx },
        { x: x - dy, y: y + dx },
      ],
    ]),
  );
}
