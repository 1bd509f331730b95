/**
 * Places labels so that none lies over a line or over another. In: labels with the spots they would like, in
 * order, and what is in the way; out: those that found a place. The least important are dropped first. Pure.
 */
import type { Spot } from "./frame.ts";

export type Align = "start" | "middle" | "end";

export interface Label {
  /** Of several with one, the first that finds room is placed. */
  id: string;
  /** Class of its type: `big`, `lab` or `soft`, with what else belongs to it. */
  type: string;
  /** From the fullest to the shortest that still says it. */
  texts: readonly string[];
  /** On the base line. */
  spots: readonly (Spot & { align: Align })[];
  /** Higher is placed first. */
  importance: number;
  /** Where none of these finds room. */
  otherwise?: Pick<Label, "texts" | "spots">;
}

export interface Placed {
  id: string;
  type: string;
  text: string;
  x: number;
  y: number;
  align: Align;
  box: Box;
}

export interface Box {
  left: number;
  top: number;
  right: number;
  bottom: number;
}

export interface InTheWay {
  /** Lines, each a row of points. */
  lines: readonly (readonly Spot[])[];
  boxes: readonly Box[];
  /** Dots that may be covered where nothing else helps. */
  dots: readonly Spot[];
}

export interface Measure {
  widthOf(type: string, text: string): number;
  /** Above and below the base line. */
  heightOf(type: string): { up: number; down: number };
}

const CLEAR_PX = 2;
const FEW_DOTS = 2;

export function placed(
  labels: readonly Label[],
  inTheWay: InTheWay,
  bounds: Box,
  measure: Measure,
): Placed[] {
  const done: Placed[] = [];
  const byImportance = [...labels].sort((a, b) => b.importance - a.importance);
  for (const label of byImportance) {
    if (done.some(({ id }) => id === label.id)) continue;
    const taken = { ...inTheWay, boxes: [...inTheWay.boxes, ...done.map(({ box }) => box)] };
    const place =
      anyPlace(label, taken, bounds, measure) ??
      (label.otherwise && anyPlace({ ...label, ...label.otherwise }, taken, bounds, measure));
    if (place !== undefined) done.push(place);
  }
  return done;
}

function anyPlace(label: Label, taken: InTheWay, bounds: Box, measure: Measure): Placed | undefined {
  return firstPlace(label, taken, bounds, measure, FEW_DOTS) ?? firstPlace(label, taken, bounds, measure);
}

function firstPlace(
  label: Label,
  inTheWay: InTheWay,
  bounds: Box,
  measure: Measure,
  mostDots = Number.POSITIVE_INFINITY,
): Placed | undefined {
  for (const text of label.texts) {
    for (const spot of label.spots) {
      const box = boxAt(spot, label.type, text, measure);
      if (isFree(box, inTheWay, bounds, mostDots))
        return { id: label.id, type: label.type, text, x: spot.x, y: spot.y, align: spot.align, box };
    }
  }
  return undefined;
}

const SHARE_LEFT: Readonly<Record<Align, number>> = { start: 0, middle: 0.5, end: 1 };

export function boxAt(spot: Spot & { align: Align }, type: string, text: string, measure: Measure): Box {
  const width = measure.widthOf(type, text);
  const { up, down } = measure.heightOf(type);
  const left = spot.x - width * SHARE_LEFT[spot.align];
  return { left, right: left + width, top: spot.y - up, bottom: spot.y + down };
}

function isFree(box: Box, inTheWay: InTheWay, bounds: Box, mostDots: number): boolean {
  if (box.left < bounds.left || box.right > bounds.right) return false;
  if (box.top < bounds.top || box.bottom > bounds.bottom) return false;
  const wide = grown(box, CLEAR_PX);
  if (inTheWay.boxes.some((other) => overlap(wide, other))) return false;
  if (inTheWay.lines.some((line) => crosses(line, wide))) return false;
  if (mostDots === Number.POSITIVE_INFINITY) return true;
  return inTheWay.dots.filter((dot) => holds(wide, dot)).length <= mostDots;
}

function grown(box: Box, by: number): Box {
  return { left: box.left - by, right: box.right + by, top: box.top - by, bottom: box.bottom + by };
}

export function overlap(a: Box, b: Box): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

function holds(box: Box, { x, y }: Spot): boolean {
  return x > box.left && x < box.right && y > box.top && y < box.bottom;
}

/** Does a row of points pass through the box? Each piece is clipped to it (Liang and Barsky's way). */
export function crosses(line: readonly Spot[], box: Box): boolean {
  return line.some((to, i) => {
    const from = line[i - 1];
    return from === undefined ? holds(box, to) : passes(from, to, box);
  });
}

function passes(from: Spot, to: Spot, box: Box): boolean {
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  let enters = 0;
  let leaves = 1;
  const sides = [
    [-dx, from.x - box.left],
    [dx, box.right - from.x],
    [-dy, from.y - box.top],
    [dy, box.bottom - from.y],
  ] as const;
  for (const [along, room] of sides) {
    if (along === 0) {
      if (room <= 0) return false;
      continue;
    }
    const at = room / along;
    if (along < 0) enters = Math.max(enters, at);
    else leaves = Math.min(leaves, at);
  }
  return enters < leaves;
}
