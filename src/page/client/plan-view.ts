/** The plan: anchor, boat, circle, track, wind and current. In: the drawing and a frame; out: lines and labels. */
import type { BoatState, Drawing, DrawnPlan, PlanPoint } from "../boat-state.ts";
import { bearingOf, plus, pointAt, type Spot, spotOf } from "./frame.ts";
import { deckOf, lengthOrUsualM } from "./hull.ts";
import { circle, dots, type Ink, line } from "./ink.ts";
import type { Box, Label } from "./labels.ts";
import { gridPiece } from "./plan-grid.ts";
import {
  currentPiece,
  northPiece,
  nothing,
  type Piece,
  type PlanPlaces,
  scalePiece,
  windPiece,
} from "./plan-margin.ts";
import { PAD_PX, type View } from "./side-view.ts";
import type { Speak } from "./wording.ts";
import { drawn, none } from "./words.ts";

export function planView(state: BoatState, places: PlanPlaces, speak: Speak): View {
  const { drawing } = state;
  const plan = drawing?.plan;
  const bounds = { left: 4, top: 4, right: places.widthPx - 4, bottom: places.heightPx - 4 };
  const pieces =
    drawing == null || plan == null
      ? [absent(state, places)]
      : [
          ...(mayHaveGrid(plan, places) ? [gridPiece(plan, places)] : []),
          circlePiece(plan, state, places, speak),
          trackPiece(places),
          keepOffPiece(plan, places, speak),
          anchorPiece(plan, state, places, speak),
          boatPiece(plan, drawing, places),
          windPiece(plan, places, speak),
          currentPiece(plan, places, speak),
          northPiece(plan, places),
          scalePiece(places, speak),
        ];
  if (plan != null && plan.antenna === null) pieces.push(absent(state, places));
  const all = <K extends keyof Piece>(key: K) => pieces.flatMap((piece) => piece[key] as Piece[K][number][]);
  return {
    inks: all("inks") as Ink[],
    labels: all("labels") as Label[],
    inTheWay: {
      lines: all("lines") as Spot[][],
      boxes: [...(all("boxes") as Box[]), ...places.taken],
      dots: all("dots") as Spot[],
    },
    bounds,
  };
}

/** Where there is room for it, and nothing more urgent to see. */
function mayHaveGrid({ moved }: DrawnPlan, { grid, heightPx }: PlanPlaces): boolean {
  return grid && moved === null && heightPx > LEAST_FOR_GRID_PX;
}

const LEAST_FOR_GRID_PX = 200;

function absent({ position, at }: BoatState, { widthPx, heightPx }: PlanPlaces): Piece {
  const spot = (y: number) => ({ x: widthPx / 2, y, align: "middle" as const });
  const texts = drawn.noPosition(none("position", position.ageS, Date.parse(at)));
  const spots = [0.5, 0.4, 0.6, 0.3, 0.7].map((share) => spot(heightPx * share));
  return { ...nothing(), labels: [{ id: "position", type: "big absent", texts, spots, importance: 20 }] };
}

function ring(centre: Spot, radius: number): Spot[] {
  return Array.from({ length: 73 }, (_, i) => {
    const turn = (i * Math.PI) / 36;
    return { x: centre.x + radius * Math.cos(turn), y: centre.y + radius * Math.sin(turn) };
  });
}

function circlePiece(
  plan: DrawnPlan,
  { circle: is, anchor, phase }: BoatState,
  places: PlanPlaces,
  speak: Speak,
): Piece {
  const { frame, heightPx, widthPx } = places;
  if (plan.circleM === null || plan.anchor === null) return nothing();
  const centre = { x: frame.originX, y: frame.originY };
  const radius = plan.circleM * frame.pxPerM;
  const spots = [{ x: PAD_PX, y: heightPx - 34, align: "start" as const }];
  const piece = { ...nothing(), inks: [circle("edge", centre, radius)], lines: [ring(centre, radius)] };
  if (anchor.rangeM === null || phase === "weighing") return piece;
  const spareM = plan.circleM - anchor.rangeM;
  const isOut = is.outside === true || spareM < 0;
  piece.labels.push({
    id: "spare",
    type: isOut ? "figure alarm" : "lab",
    importance: 9,
    texts: isOut ? drawn.outside(Math.abs(spareM), speak) : drawn.spare(spareM, speak),
    spots: [
      ...spots,
      { x: PAD_PX, y: heightPx - 52, align: "start" },
      { x: widthPx - PAD_PX, y: heightPx - 12, align: "end" },
      { x: widthPx - PAD_PX, y: heightPx - 34, align: "end" },
      { x: widthPx / 2, y: heightPx - 12, align: "middle" },
      { x: widthPx / 2, y: 20, align: "middle" },
    ],
  });
  return piece;
}

/** Older dots are fainter: four ages. */
const AGES = 4;

function trackPiece({ frame, track, widthPx, heightPx }: PlanPlaces): Piece {
  const spots = track.map((point) => spotOf(point, frame));
  const share = Math.max(1, Math.ceil(spots.length / AGES));
  const seen = spots.filter(({ x, y }) => x > -5 && y > -5 && x < widthPx + 5 && y < heightPx + 5);
  return {
    ...nothing(),
    dots: seen,
    inks: Array.from({ length: AGES }, (_, age) =>
      dots(`track age-${age}`, spots.slice(age * share, (age + 1) * share)),
    ),
  };
}

function keepOffPiece(plan: DrawnPlan, { frame }: PlanPlaces, speak: Speak): Piece {
  const piece = nothing();
  for (const mark of plan.keepOffs) {
    const spot = spotOf(mark, frame);
    const radius = Math.max(6, mark.uncertaintyM * frame.pxPerM);
    piece.inks.push(circle("keep-off", spot, radius));
    for (const [dx, dy] of [
      [1, 1],
      [1, -1],
    ] as const)
      piece.inks.push(
        line("keep-off", [
          { x: spot.x - 4 * dx, y: spot.y - 4 * dy },
          { x: spot.x + 4 * dx, y: spot.y + 4 * dy },
        ]),
      );
    piece.lines.push(ring(spot, radius));
    piece.labels.push({
      id: `keep-off-${mark.name}`,
      type: "lab",
      importance: 7,
      texts: drawn.keepOff(mark.name, plan.antenna === null ? undefined : between(plan.antenna, mark), speak),
      spots: around(spot, radius + 6),
    });
  }
  return piece;
}

function between(a: PlanPoint, b: PlanPoint): number {
  return Math.hypot(a.northM - b.northM, a.eastM - b.eastM);
}

function around({ x, y }: Spot, off: number): Label["spots"] {
  return [
    { x: x + off, y: y + 4, align: "start" },
    { x: x - off, y: y + 4, align: "end" },
    { x, y: y - off, align: "middle" },
    { x, y: y + off + 12, align: "middle" },
    { x: x + off, y: y - off, align: "start" },
    { x: x - off, y: y - off, align: "end" },
    { x: x + off, y: y + off + 10, align: "start" },
    { x: x - off, y: y + off + 10, align: "end" },
  ];
}

const HERE: PlanPoint = { northM: 0, eastM: 0 };

function anchorPiece(plan: DrawnPlan, state: BoatState, { frame }: PlanPlaces, speak: Speak): Piece {
  const piece = nothing();
  const now = plan.moved ?? plan.letGo ?? HERE;
  const at = spotOf(now, frame);
  const planned = plan.anchor === null ? " planned" : "";
  const boat = plan.anchor === null ? plan.liesAt : (plan.roller ?? plan.antenna);
  if (plan.anchor === null && plan.liesAt === null) return piece;
  const spreadM = plan.moved?.sdM ?? plan.anchor?.uncertaintyM ?? 0;
  if (plan.moved !== null) {
    const was = spotOf(HERE, frame);
    const bar = [was, at];
    piece.inks.push(line("moved", bar), circle("was", was, 4.5));
    piece.lines.push(bar);
    const middle = { x: (was.x + at.x) / 2, y: (was.y + at.y) / 2 };
    piece.labels.push({
      id: "moved",
      type: "big alarm",
      importance: 15,
      texts: drawn.moved(plan.moved.metresM, plan.moved.sdM, speak),
      spots: [12, 24, 38, 54].flatMap((away) => {
        const [right, left, above, below, ...corners] = around(middle, away);
        return [above, below, ...corners, right, left].filter((spot) => spot !== undefined);
      }),
    });
  }
  piece.inks.push(circle("spread", at, Math.max(2, spreadM * frame.pxPerM)));
  piece.labels.push(...steeringLabel(state, at, speak));
  if (boat !== null) {
    const rode = [at, spotOf(boat, frame)];
    piece.inks.push(line(`rode thin${planned}`, rode));
    piece.lines.push(rode);
  }
  piece.inks.push(
    line(`cross${planned}`, [
      { x: at.x - 7, y: at.y },
      { x: at.x + 7, y: at.y },
    ]),
    line(`cross${planned}`, [
      { x: at.x, y: at.y - 7 },
      { x: at.x, y: at.y + 7 },
    ]),
  );
  piece.boxes.push({ left: at.x - 9, right: at.x + 9, top: at.y - 9, bottom: at.y + 9 });
  return piece;
}

/** Weighing: how far, and on which bow. */
function steeringLabel({ guidance, phase }: BoatState, at: Spot, speak: Speak): Label[] {
  const weigh = guidance?.weigh;
  if (phase !== "weighing" || weigh == null || weigh.distanceM === null) return [];
  const texts = drawn.toAnchor(weigh.distanceM, weigh.steerDeg, speak);
  return [{ id: "steer", type: "big", importance: 14, texts, spots: around(at, 14) }];
}

function boatPiece(plan: DrawnPlan, { boat }: Drawing, { frame }: PlanPlaces): Piece {
  const piece = nothing();
  const draw = (bow: PlanPoint, headingDeg: number, look: string) => {
    const outline = deckOf(boat.lengthM, boat.beamM).map(({ aftM, starboardM }) =>
      spotOf(plus(plus(bow, pointAt(headingDeg + 180, aftM)), pointAt(headingDeg + 90, starboardM)), frame),
    );
    piece.inks.push(line(look, outline, true));
    piece.lines.push([...outline, ...outline.slice(0, 1)]);
    piece.boxes.push(boxRound(outline));
    return outline;
  };
  const { roller, antenna, headingDeg, liesAt, towardDeg, lie } = plan;
  if (roller !== null && headingDeg !== null) draw(roller, headingDeg, "deck");
  else if (antenna !== null) {
    // No heading: where the antenna is, and no guess at how she lies.
    const spot = spotOf(antenna, frame);
    piece.inks.push(circle("deck", spot, 5));
    piece.lines.push(ring(spot, 5));
  }
  if (liesAt !== null && towardDeg !== null) {
    draw(liesAt, towardDeg + 180, "deck planned");
    const stern = spotOf(plus(liesAt, pointAt(towardDeg, lengthOrUsualM(boat.lengthM) / 2)), frame);
    piece.labels.push({
      id: "lies",
      type: "lab",
      importance: 6,
      texts: drawn.wouldLie(),
      spots: around(stern, 24),
    });
  }
  if (lie !== null) {
    const spot = spotOf(lie, frame);
    piece.inks.push(circle("wished", spot, 6));
    piece.labels.push({
      id: "wished",
      type: "lab",
      importance: 5,
      texts: drawn.wished(),
      spots: around(spot, 10),
    });
  }
  return piece;
}

function boxRound(spots: readonly Spot[]): Box {
  const xs = spots.map(({ x }) => x);
  const ys = spots.map(({ y }) => y);
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
}

/** Where she lies from her anchor, for those who cannot see it. */
export function lyingDeg(plan: DrawnPlan): number | undefined {
  const boat = plan.roller ?? plan.antenna;
  if (plan.anchor === null || boat === null) return undefined;
  return bearingOf(boat);
}
