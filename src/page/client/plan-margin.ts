/** What stands in the plan's margin: wind, current, north, scale. Each arrow by its bearing and the frame alone. */
import type { DrawnPlan, PlanPoint } from "../boat-state.ts";
import { type Frame, type Spot, screenDeg, spotOf } from "./frame.ts";
import { arrow, type Ink, line } from "./ink.ts";
import type { Box, Label } from "./labels.ts";
import { PAD_PX } from "./side-view.ts";
import { metresPer, type Speak, unitName } from "./wording.ts";
import { drawn } from "./words.ts";

export interface PlanPlaces {
  frame: Frame;
  widthPx: number;
  heightPx: number;
  /** The track on the ground, oldest first. */
  track: readonly PlanPoint[];
  /** Latitude and longitude are drawn. */
  grid: boolean;
  /** Where buttons lie over it. */
  taken: readonly Box[];
}

/** A part of the plan: its lines, what they are in the way of, and its labels. */
export interface Piece {
  inks: Ink[];
  lines: Spot[][];
  boxes: Box[];
  dots: Spot[];
  labels: Label[];
}

export const nothing = (): Piece => ({ inks: [], lines: [], boxes: [], dots: [], labels: [] });

const ARROW_PX = 40;

function arrowPiece(id: string, deg: number, top: number, texts: readonly string[], look: string): Piece {
  const centre = { x: PAD_PX + ARROW_PX / 2, y: top + ARROW_PX / 2 };
  const { shaft, head } = arrow(centre, ARROW_PX, deg);
  const x = PAD_PX + ARROW_PX + 8;
  return {
    ...nothing(),
    inks: [line(look, shaft), line(`${look} head`, head)],
    lines: [shaft, head],
    labels: [
      {
        id,
        type: "lab",
        importance: 9,
        texts,
        spots: [
          ...[centre.y + 5, top + 12, top + ARROW_PX].map((y) => ({ x, y, align: "start" as const })),
          ...[top + 58, top + 76].map((y) => ({ x: PAD_PX, y, align: "start" as const })),
        ],
      },
    ],
  };
}

/** Blows to: that is the way the boat is pushed. */
export function windPiece({ wind }: DrawnPlan, { frame }: PlanPlaces, speak: Speak): Piece {
  if (wind === null) {
    const spots = [{ x: PAD_PX, y: 26, align: "start" as const }];
    return {
      ...nothing(),
      labels: [{ id: "wind", type: "lab absent", importance: 9, texts: drawn.noWind(), spots }],
    };
  }
  const deg = screenDeg(wind.fromDeg + 180, frame.axisDeg);
  return arrowPiece("wind", deg, 10, drawn.wind(wind.meanKn, wind.fromDeg, speak), "wind");
}

/** Less is not felt. */
const FELT_KN = 0.15;

export function currentPiece({ current }: DrawnPlan, { frame }: PlanPlaces, speak: Speak): Piece {
  if (current === null || current.driftKn < FELT_KN) return nothing();
  const deg = screenDeg(current.setDeg, frame.axisDeg);
  return arrowPiece("current", deg, 56, drawn.current(current.driftKn, current.setDeg, speak), "current");
}

/** Off the circle, where there is such a place down the edge. */
export function northPiece({ circleM }: DrawnPlan, { frame, widthPx, heightPx, track }: PlanPlaces): Piece {
  const dots = track.map((point) => spotOf(point, frame));
  const isClear = ({ x, y }: Spot) => {
    const fromAnchorPx = Math.hypot(x - frame.originX, y - frame.originY);
    const fromEdgePx = circleM === null ? NORTH_ROOM_PX : Math.abs(fromAnchorPx - circleM * frame.pxPerM);
    const near = dots.filter((dot) => Math.hypot(dot.x - x, dot.y - y) < NORTH_ROOM_PX);
    return fromEdgePx >= NORTH_ROOM_PX && near.length <= FEW_DOTS;
  };
  const lowest = Math.max(NORTH_Y_PX, heightPx - 130);
  const right = widthPx - PAD_PX - 30;
  const places = [right, right - 80]
    .flatMap((x) => [0, 40, 80, 120].map((down) => ({ x, y: NORTH_Y_PX + down })))
    .filter(({ y }) => y <= lowest);
  const centre = places.find(isClear) ?? { x: right, y: NORTH_Y_PX };
  const deg = screenDeg(0, frame.axisDeg);
  const { shaft, head } = arrow(centre, 34, deg);
  const tip = pointAtScreen(centre, 32, deg);
  return {
    ...nothing(),
    inks: [line("north", shaft), line("north", head)],
    lines: [shaft, head],
    labels: [
      {
        id: "north",
        type: "soft",
        importance: 11,
        texts: drawn.north(),
        spots: [
          { x: tip.x, y: tip.y + 4, align: "middle" },
          { x: tip.x - 6, y: tip.y + 8, align: "end" },
          { x: tip.x + 6, y: tip.y + 8, align: "start" },
        ],
      },
    ],
  };
}

const NORTH_ROOM_PX = 36;
const FEW_DOTS = 3;
const NORTH_Y_PX = 52;

function pointAtScreen({ x, y }: Spot, off: number, deg: number): Spot {
  const rad = (deg * Math.PI) / 180;
  return { x: x + off * Math.cos(rad), y: y + off * Math.sin(rad) };
}

const LONGEST_BAR_PX = 110;
const BARS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];

export function scalePiece({ frame, heightPx }: PlanPlaces, speak: Speak): Piece {
  const unitPx = metresPer(speak.lengths) * frame.pxPerM;
  const units = BARS.filter((count) => count * unitPx <= LONGEST_BAR_PX).at(-1) ?? 1;
  const y = heightPx - 14;
  const end = PAD_PX + units * unitPx;
  const bar = [
    { x: PAD_PX, y: y - 4 },
    { x: PAD_PX, y },
    { x: end, y },
    { x: end, y: y - 4 },
  ];
  return {
    ...nothing(),
    inks: [line("scale", bar)],
    lines: [bar],
    labels: [
      {
        id: "scale",
        type: "soft",
        importance: 16,
        texts: [`${units} ${unitName(speak.lengths)}`],
        spots: [{ x: end + 7, y: y + 2, align: "start" }],
      },
    ],
  };
}
