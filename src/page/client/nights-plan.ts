/** The plan of a kept night: the track coloured by time, under what is drawn of an instant. Pure. */
import type { BoatState } from "../boat-state.ts";
import { type Frame, type Spot, spotOf } from "./frame.ts";
import { circle, dots, type Ink, line } from "./ink.ts";
import type { Label } from "./labels.ts";
import { offsetOf, type TrackPlace } from "./nights-frame.ts";
import { planView } from "./plan-view.ts";
import type { View } from "./side-view.ts";
import { clock, type Speak } from "./wording.ts";

export const TIMES = 12;
/** A break longer than this is a break in the line. */
const GAP_S = 180;
const HOUR_S = 3600;

export interface Span {
  fromS: number;
  toS: number;
}

export interface NightPlan {
  places: readonly TrackPlace[];
  origin: { lat: number; lon: number } | undefined;
  frame: Frame;
  widthPx: number;
  heightPx: number;
  /** The night, and the part of it that is looked at. */
  night: Span;
  span: Span;
  cursorS: number;
}

export function nightPlanView(plan: NightPlan, moment: BoatState | undefined, speak: Speak): View {
  const { frame, widthPx, heightPx, places } = plan;
  const spots = places.map((place) => spotOf(place, frame));
  const under = [...trackInks(plan, spots), ...hourInks(plan)];
  const cursor = placeAt(places, plan.cursorS);
  const over = cursor === undefined ? [] : [circle("cursor", spotOf(cursor, frame), 8)];
  const bounds = { left: 4, top: 4, right: widthPx - 4, bottom: heightPx - 4 };
  const labels = hourLabels(plan);
  if (moment === undefined)
    return { inks: [...under, ...over], labels, inTheWay: { lines: [spots], boxes: [], dots: [] }, bounds };
  const own = planView(
    moment,
    { frame: frameOf(plan, moment), widthPx, heightPx, track: [], grid: false, taken: [] },
    speak,
  );
  return {
    inks: [...under, ...own.inks, ...over],
    labels: [...own.labels, ...labels],
    inTheWay: { ...own.inTheWay, lines: [...own.inTheWay.lines, spots] },
    bounds,
  };
}

/** The anchor may have been set down elsewhere then: its drawing is moved, not the track. */
function frameOf({ frame, origin }: NightPlan, { drawing }: BoatState): Frame {
  if (drawing?.plan == null || origin === undefined) return frame;
  const { x, y } = spotOf(offsetOf(drawing.plan.lat, drawing.plan.lon, origin), frame);
  return { ...frame, originX: x, originY: y };
}

export function ageOf(atS: number, { fromS, toS }: Span): number {
  return Math.min(TIMES - 1, Math.max(0, Math.floor(((atS - fromS) / Math.max(1, toS - fromS)) * TIMES)));
}

function trackInks({ places, night, span }: NightPlan, spots: readonly Spot[]): Ink[] {
  const pieces = new Map<string, Spot[][]>();
  const widest = Math.max(GAP_S, 3 * ((night.toS - night.fromS) / Math.max(1, places.length)));
  for (const [i, place] of places.entries()) {
    const before = places[i - 1];
    const [from, to] = [spots[i - 1], spots[i]];
    if (before === undefined || from === undefined || to === undefined || place.atS - before.atS > widest)
      continue;
    const seen = place.atS >= span.fromS && place.atS <= span.toS ? "" : " beyond";
    const look = `time time-${ageOf(place.atS, night)}${seen}`;
    const lines = pieces.get(look) ?? [];
    pieces.set(look, lines);
    const last = lines.at(-1);
    if (last?.at(-1) === from) last.push(to);
    else lines.push([from, to]);
  }
  return [...pieces].flatMap(([look, lines]) => lines.map((one) => line(look, one)));
}

/** Every hour, or every second or fourth of them, on the track. */
function hoursOf({ places, span }: NightPlan): TrackPlace[] {
  const hours = (span.toS - span.fromS) / HOUR_S;
  const stepS = HOUR_S * ([0.25, 0.5, 1, 2, 4].find((step) => hours / step <= 6) ?? 8);
  const marks: TrackPlace[] = [];
  for (let atS = Math.ceil(span.fromS / stepS) * stepS; atS <= span.toS; atS += stepS) {
    const place = placeAt(places, atS);
    if (place !== undefined && Math.abs(place.atS - atS) < stepS / 4) marks.push({ ...place, atS });
  }
  return marks;
}

function hourInks(plan: NightPlan): Ink[] {
  return [
    dots(
      "hour",
      hoursOf(plan).map((place) => spotOf(place, plan.frame)),
    ),
  ];
}

function hourLabels(plan: NightPlan): Label[] {
  return hoursOf(plan).map((place) => {
    const { x, y } = spotOf(place, plan.frame);
    return {
      id: `hour-${place.atS}`,
      type: "soft",
      importance: 1,
      texts: [clock(place.atS * 1000)],
      spots: [
        { x: x + 7, y: y + 4, align: "start" as const },
        { x: x - 7, y: y + 4, align: "end" as const },
        { x, y: y - 8, align: "middle" as const },
        { x, y: y + 17, align: "middle" as const },
      ],
    };
  });
}

/** The kept place nearest in time. */
export function placeAt(places: readonly TrackPlace[], atS: number): TrackPlace | undefined {
  let low = 0;
  let high = places.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((places[middle]?.atS ?? 0) < atS) low = middle + 1;
    else high = middle;
  }
  const [before, after] = [places[low - 1], places[low]];
  if (before === undefined || after === undefined) return after ?? before;
  return atS - before.atS <= after.atS - atS ? before : after;
}

/** The kept place nearest to a spot on the screen, for a tap. */
export function placeNear(
  places: readonly TrackPlace[],
  spot: Spot,
  { frame, span }: NightPlan,
): TrackPlace | undefined {
  let best: { place: TrackPlace; far: number } | undefined;
  for (const place of places) {
    if (place.atS < span.fromS || place.atS > span.toS) continue;
    const { x, y } = spotOf(place, frame);
    const far = Math.hypot(x - spot.x, y - spot.y);
    if (best === undefined || far < best.far) best = { place, far };
  }
  return best?.place;
}
