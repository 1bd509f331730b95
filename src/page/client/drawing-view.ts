/** Puts side elevation, plan and strip into the document, and measures the room they have. */
import type { BoatState, PlanPoint, TrackAnswer } from "../boat-state.ts";
import { byId } from "./dom.ts";
import { zoomed } from "./frame.ts";
import { createMeasure, type Ink, paint, words } from "./ink.ts";
import { type Measure, placed } from "./labels.ts";
import { type Held, isSharedAxis, layoutOf, NOTHING_HELD, type Turn } from "./layout.ts";
import { createPlanControls } from "./plan-controls.ts";
import { M_PER_LAT_DEG } from "./plan-grid.ts";
import { lyingDeg, planView } from "./plan-view.ts";
import { sideView, type View } from "./side-view.ts";
import { STRIP_PX, stripView } from "./strip-view.ts";
import type { Speak } from "./wording.ts";
import { described, drawn } from "./words.ts";

export interface Shown {
  state: BoatState;
  track: TrackAnswer;
  speak: Speak;
  turn: Turn;
  grid: boolean;
}

export function createDrawingView() {
  const box = byId("drawing");
  const [side, plan, strip] = ["side", "plan", "strip"].map((id) => byId(id) as unknown as SVGSVGElement);
  const measure = createMeasure();
  let held: Held = NOTHING_HELD;
  let heldFor = "";
  let shown: Shown | undefined;
  const again = (): void => {
    if (shown !== undefined) draw(shown);
  };
  const controls = createPlanControls(again);

  function draw(next: Shown): void {
    shown = next;
    const { state, track, speak, turn, grid } = next;
    const { drawing } = state;
    const room = { widthPx: box.clientWidth, heightPx: box.clientHeight };
    if (side === undefined || plan === undefined || strip === undefined || room.widthPx === 0) return;
    const stripWidthPx = strip.clientWidth;
    if (stripWidthPx > 0)
      put(
        strip,
        stripView(track, Date.parse(state.at), stripWidthPx, speak),
        stripWidthPx,
        STRIP_PX,
        measure,
      );
    if (drawing === null) return;
    // Another place, phase or size is another drawing: nothing is kept from the one before.
    const what = `${drawing.plan?.anchor === null} ${isSharedAxis(state, turn)} ${turn} ${room.widthPx} ${room.heightPx}`;
    if (what !== heldFor) held = NOTHING_HELD;
    heldFor = what;
    const layout = layoutOf(state, drawing, turn, room, held);
    held = layout.held;
    const sideHeightPx = Math.max(0, room.heightPx - layout.planHeightPx);
    put(side, sideView(state, layout.side, speak), room.widthPx, sideHeightPx, measure);
    const middle = { x: room.widthPx / 2, y: layout.planHeightPx / 2 };
    const lookedAt = drawing.plan?.roller ?? drawing.plan?.antenna ?? { northM: 0, eastM: 0 };
    const places = {
      frame: zoomed(layout.plan, controls.zoom(), middle, lookedAt),
      grid,
      taken: [controls.box(room.widthPx, layout.planHeightPx)],
      widthPx: room.widthPx,
      heightPx: layout.planHeightPx,
      track: drawing.plan === null ? [] : onGround(track, drawing.plan.lat, drawing.plan.lon),
    };
    put(plan, planView(state, places, speak), room.widthPx, layout.planHeightPx, measure);
    describe(side, plan, state, speak);
  }

  // On a wide screen the drawing takes the height that the words leave.
  const above = [byId("head"), byId("foot")];
  const aboveObserver = new ResizeObserver(() => {
    const heightPx = above.reduce((sum, element) => sum + element.offsetHeight, 0);
    document.documentElement.style.setProperty("--above", `${heightPx}px`);
  });
  for (const element of above) aboveObserver.observe(element);
  new ResizeObserver(() => {
    measure.forget();
    again();
  }).observe(box);

  return { draw };
}

function put(svg: SVGSVGElement, view: View, widthPx: number, heightPx: number, measure: Measure): void {
  const { inks, labels, inTheWay, bounds } = view;
  const height = String(Math.round(heightPx));
  if (svg.getAttribute("height") !== height) svg.setAttribute("height", height);
  const box = `0 0 ${widthPx} ${height}`;
  if (svg.getAttribute("viewBox") !== box) svg.setAttribute("viewBox", box);
  const texts: Ink[] = placed(labels, inTheWay, bounds, measure).map(words);
  paint(svg, [...inks, ...texts]);
}

/** The track as offsets: near enough within a swing (0.3 %). */
function onGround({ lat, lon }: TrackAnswer, fromLat: number, fromLon: number): PlanPoint[] {
  const perLonDegM = M_PER_LAT_DEG * Math.cos((fromLat * Math.PI) / 180);
  const points: PlanPoint[] = [];
  lat.forEach((latDeg, i) => {
    const lonDeg = lon[i];
    if (latDeg === null || lonDeg === null || lonDeg === undefined) return;
    points.push({ northM: (latDeg - fromLat) * M_PER_LAT_DEG, eastM: (lonDeg - fromLon) * perLonDegM });
  });
  return points;
}

function describe(side: SVGElement, plan: SVGElement, state: BoatState, speak: Speak): void {
  const { rode, depth, circle, anchor, drawing } = state;
  const first = (texts: readonly string[]) => texts[0] ?? "";
  const out = rode.outM === null ? first(drawn.notTold()) : first(drawn.out(rode.outM, speak));
  const required = rode.requiredM === null ? "" : first(drawn.enough(rode.requiredM, speak));
  const deep = depth.surfaceM === null ? "" : first(drawn.depth(depth.surfaceM, speak));
  const spare =
    circle.radiusM === null || anchor.rangeM === null
      ? ""
      : first(drawn.spare(circle.radiusM - anchor.rangeM, speak));
  const lies = drawing?.plan == null ? undefined : lyingDeg(drawing.plan);
  label(side, described.side(out, required, deep));
  label(plan, described.plan([lies === undefined ? "" : described.boatFrom(lies), spare]));
}

function label(svg: SVGElement, text: string): void {
  if (svg.getAttribute("aria-label") !== text) svg.setAttribute("aria-label", text);
}
