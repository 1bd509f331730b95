/** The side elevation: surface, tide to come, seabed, anchor, rode, bow. In: the drawing; out: lines and labels. */
import type { BoatState, DrawnSide, SidePoint } from "../boat-state.ts";
import type { Spot } from "./frame.ts";
import { heightM, lengthOrUsualM, profileOf } from "./hull.ts";
import { circle, type Ink, line, rect } from "./ink.ts";
import type { Box, InTheWay, Label } from "./labels.ts";
import type { Speak } from "./wording.ts";
import { drawn, none } from "./words.ts";

export interface View {
  inks: Ink[];
  labels: Label[];
  inTheWay: InTheWay;
  bounds: Box;
}

export interface SideFrame {
  widthPx: number;
  pxPerM: number;
  /** Where the anchor stands. */
  originX: number;
}

/** Room below the seabed for the figures. */
const BELOW_PX = 64;
const ABOVE_PX = 24;
/** What stands for a depth that is not known: a dashed line, at no scale. */
const UNKNOWN_DEPTH_M = 5;
const UNKNOWN_ROLLER_M = 1;
export const PAD_PX = 18;

export interface Levels {
  surfaceY: number;
  bedY: number;
  heightPx: number;
}

export function levelsOf({ side, boat }: NonNullable<BoatState["drawing"]>, pxPerM: number): Levels {
  const aboveM = Math.max(heightM(boat.lengthM, side.rollerM ?? UNKNOWN_ROLLER_M), side.riseM);
  const surfaceY = Math.round(ABOVE_PX + aboveM * pxPerM);
  const bedY = Math.round(surfaceY + (side.surfaceM ?? UNKNOWN_DEPTH_M) * pxPerM);
  return { surfaceY, bedY, heightPx: bedY + BELOW_PX };
}

export function sideView(state: BoatState, frame: SideFrame, speak: Speak): View {
  const { drawing } = state;
  if (drawing === null) return { inks: [], labels: [], inTheWay: NOTHING, bounds: boundsOf(frame, 0) };
  const levels = levelsOf(drawing, frame.pxPerM);
  const at = ([xM, zM]: SidePoint): Spot => ({
    x: frame.originX + xM * frame.pxPerM,
    y: levels.bedY - zM * frame.pxPerM,
  });
  const { side } = drawing;
  const chain = side.chain.map(at);
  const rope = side.rope.map(at);
  const bowM = side.reachM ?? 0;
  const hull = profileOf(drawing.boat.lengthM, side.rollerM ?? UNKNOWN_ROLLER_M).map(({ aftM, upM }) => ({
    x: frame.originX + (bowM + aftM) * frame.pxPerM,
    y: levels.surfaceY - upM * frame.pxPerM,
  }));
  const depthX =
    hull[0] === undefined ? 0 : hull[0].x + 0.4 * lengthOrUsualM(drawing.boat.lengthM) * frame.pxPerM;
  const right = frame.widthPx;
  const water = [
    { x: 0, y: levels.surfaceY },
    { x: right, y: levels.surfaceY },
  ];
  const bed = [
    { x: 0, y: levels.bedY },
    { x: right, y: levels.bedY },
  ];
  const riseY = levels.surfaceY - side.riseM * frame.pxPerM;
  const rise = [
    { x: 0, y: riseY },
    { x: right, y: riseY },
  ];
  const hasRise = side.riseM >= 0.1;
  const depthLine = [
    { x: depthX, y: levels.surfaceY },
    { x: depthX, y: levels.bedY },
  ];
  const measured = dimension(side, state.phase, frame, levels);
  const isKnown = state.depth.surfaceM !== null;
  const planned = side.rode === "planned" ? " planned" : "";
  const inks = [
    rect("water", 0, levels.surfaceY, right, levels.bedY - levels.surfaceY),
    rect("bed", 0, levels.bedY, right, levels.heightPx - levels.bedY),
    line("surface", water),
    ...(hasRise ? [line("rise", rise)] : []),
    line(isKnown ? "seabed" : "seabed unsure", bed),
    ...(isKnown ? [line("hair", depthLine)] : []),
    ...measured.inks,
    line(`chain${planned}`, chain),
    line(`rode${planned}`, [...chain, ...rope]),
    ...(rope[0] === undefined || chain.length === 0 ? [] : [circle("splice", rope[0], 3.2)]),
    ...(side.rode === "unknown" && side.reachM === null ? [] : anchorInks(at([0, 0]), planned)),
    line(`hull${side.rollerM === null ? " unsure" : ""}`, hull, true),
  ];
  return {
    inks,
    labels: labelsOf(state, side, { frame, levels, riseY, depthX, hasRise }, speak),
    inTheWay: {
      lines: [
        water,
        bed,
        ...(hasRise ? [rise] : []),
        [...chain, ...rope],
        [...hull, ...hull.slice(0, 1)],
        ...measured.lines,
        ...(isKnown ? [depthLine] : []),
      ],
      boxes: [],
      dots: [],
    },
    bounds: boundsOf(frame, levels.heightPx),
  };
}

const NOTHING: InTheWay = { lines: [], boxes: [], dots: [] };

function boundsOf({ widthPx }: SideFrame, heightPx: number): Box {
  return { left: 4, top: 2, right: widthPx - 4, bottom: heightPx - 2 };
}

/** A drafting dimension under the bed: what is out, and how far it should reach. */
function dimension(
  side: DrawnSide,
  phase: BoatState["phase"],
  { originX, pxPerM }: SideFrame,
  { bedY }: Levels,
) {
  const { reachM, outM, requiredM, surfaceM, rollerM } = side;
  // Weighing, it is meant to grow shorter: nothing is wanted.
  if (reachM === null || outM === null || side.rode !== "out" || phase === "weighing")
    return { inks: [], lines: [] };
  const y = bedY + 9;
  const tick = (xM: number, look: string, half = 4) => {
    const x = originX + xM * pxPerM;
    return line(look, [
      { x, y: y - half },
      { x, y: y + half },
    ]);
  };
  const endX = originX + reachM * pxPerM;
  const whole = [
    { x: originX, y },
    { x: endX, y },
  ];
  const inks = [line("hair", whole), tick(0, "hair"), tick(reachM, "hair")];
  if (requiredM === null) return { inks, lines: [whole] };
  // Stretched tight, so that what is out and what is wanted are measured alike.
  const heightM = (surfaceM ?? 0) + (rollerM ?? 0);
  const tightM = (lengthM: number) => Math.sqrt(Math.max(0, lengthM ** 2 - heightM ** 2));
  const wantedM = Math.max(0, reachM + tightM(requiredM) - tightM(outM));
  const isShort = requiredM > outM;
  const beyond = [
    { x: endX, y },
    { x: originX + wantedM * pxPerM, y },
  ];
  if (isShort) inks.push(line("short-by", beyond));
  inks.push(tick(wantedM, isShort ? "want short" : "want", 6));
  return { inks, lines: isShort ? [whole, beyond] : [whole] };
}

/** Shank along the bottom, stock and a fluke dug in: a few pixels, whatever the scale. */
function anchorInks({ x, y }: Spot, planned: string): Ink[] {
  const shank = [
    { x: x + 2, y },
    { x: x - 9, y: y + 3 },
  ];
  const fluke = [
    { x: x - 12, y: y - 3 },
    { x: x - 10, y: y + 5 },
    { x: x - 2, y: y + 7 },
  ];
  return [line(`anchor${planned}`, shank), line(`anchor${planned}`, fluke)];
}

interface Places {
  frame: SideFrame;
  levels: Levels;
  riseY: number;
  depthX: number;
  hasRise: boolean;
}

function labelsOf(state: BoatState, side: DrawnSide, places: Places, speak: Speak): Label[] {
  const { frame, levels, riseY, depthX, hasRise } = places;
  const left = PAD_PX;
  const right = frame.widthPx - PAD_PX;
  const firstY = levels.bedY + 33;
  const secondY = levels.bedY + 55;
  const middleY = (levels.surfaceY + levels.bedY) / 2 + 5;
  const depthSpots = [middleY, levels.bedY - 5, levels.surfaceY + 16].flatMap((y) => [
    { x: depthX + 5, y, align: "start" as const },
    { x: depthX - 5, y, align: "end" as const },
  ]);
  const below = { x: right, y: secondY, align: "end" as const };
  const abaft = { x: right, y: levels.surfaceY - 6, align: "end" as const };
  const depth: Label =
    state.depth.surfaceM === null
      ? {
          id: "depth",
          type: "lab absent",
          importance: 8,
          texts: drawn.noDepth(none("depth", state.depth.ageS, Date.parse(state.at))),
          spots: [...depthSpots, { x: left, y: middleY, align: "start" }, below],
        }
      : {
          id: "depth",
          type: "figure",
          importance: 8,
          texts: drawn.depth(state.depth.surfaceM, speak),
          spots: depthSpots,
          // Away from its line it says what it is.
          otherwise: { texts: drawn.depthAway(state.depth.surfaceM, speak), spots: [below, abaft] },
        };
  const labels: Label[] = [
    ...(state.phase === "weighing" && side.outM !== null
      ? [stillOut(side.outM, left, firstY, speak)]
      : rodeLabels(side, left, right, firstY, speak)),
    depth,
    {
      id: "pull",
      type: "soft",
      importance: 4,
      texts: side.rode === "out" ? drawn.pull(state.pull.deg, state.pull.groundedM, speak) : [],
      spots: [{ x: left, y: secondY, align: "start" }],
    },
  ];
  if (hasRise)
    labels.push({
      id: "rise",
      type: "soft",
      importance: 3,
      texts: drawn.rise(side.riseM, speak),
      spots: [left, left + 60, left + 120].map((x) => ({ x, y: riseY - 6, align: "start" as const })),
    });
  return labels;
}

/** The one figure that matters then. */
function stillOut(outM: number, x: number, y: number, speak: Speak): Label {
  const spots = [{ x, y, align: "start" as const }];
  return { id: "out", type: "huge", texts: drawn.stillOut(outM, speak), spots, importance: 10 };
}

function rodeLabels(side: DrawnSide, left: number, right: number, y: number, speak: Speak): Label[] {
  const { outM, requiredM, aboardM } = side;
  const lacking = requiredM !== null && aboardM !== null && requiredM > aboardM;
  const start = [{ x: left, y, align: "start" as const }];
  const end = [{ x: right, y, align: "end" as const }];
  const label = (id: string, type: string, texts: readonly string[], spots: Label["spots"]): Label => ({
    id,
    type,
    texts,
    spots,
    importance: 10,
  });
  if (side.rode === "planned") {
    const texts = requiredM === null ? [] : drawn.toVeer(requiredM, speak);
    // Where there is too little aboard, that must stand there: the other makes room for it.
    const veer = label("out", "big", lacking ? texts.slice(1) : texts, start);
    return lacking ? [label("want", "big short", drawn.tooLittleAboard(aboardM, speak), end), veer] : [veer];
  }
  if (outM === null)
    return [label("out", "lab absent", drawn.notTold(), start), ...wantLabel(side, end, speak)];
  return [label("out", "big", drawn.out(outM, speak), start), ...wantLabel(side, end, speak)];
}

function wantLabel({ outM, requiredM }: DrawnSide, spots: Label["spots"], speak: Speak): Label[] {
  if (requiredM === null) return [];
  const shortM = requiredM - (outM ?? Number.POSITIVE_INFINITY);
  const isShort = outM !== null && shortM > 0;
  const texts = isShort ? drawn.short(shortM, speak) : drawn.enough(requiredM, speak);
  return [{ id: "want", type: isShort ? "big short" : "big", texts, spots, importance: 10 }];
}
