/** The instant that is looked at: elevation and plan, words, and the scrubber that plays the night. */
import type { BoatState } from "../boat-state.ts";
import type { NightSeries } from "../night-state.ts";
import { byId, make, write } from "./dom.ts";
import { createMeasure, type Ink, paint, words } from "./ink.ts";
import { placed } from "./labels.ts";
import { asked } from "./nights-asked.ts";
import { originOf, placesOf, planFrameOf, sideFrameOf, type TrackPlace } from "./nights-frame.ts";
import { type NightPlan, nightPlanView, placeNear, type Span, TIMES } from "./nights-plan.ts";
import { figure, review } from "./nights-words.ts";
import { sideView, type View } from "./side-view.ts";
import { clock, ratio, type Speak } from "./wording.ts";

interface Replaying {
  id: number;
  series: NightSeries;
  speak: Speak;
  cursor(atS: number): void;
  span(): readonly [number, number];
}

/** The elevation's share of the room for both drawings, and the least that shows anything. */
const SIDE_SHARE = 0.42;
const LEAST_SIDE_PX = 132;
/** What is looked at plays by in this time. */
const PLAY_MS = 45_000;
const PLAY_EVERY_MS = 100;

export function createReplay({ id, series, speak, cursor, span }: Replaying) {
  const box = byId("drawing");
  const [side, plan] = ["side", "plan"].map((name) => byId(name) as unknown as SVGSVGElement);
  const scrub = byId("scrub") as HTMLInputElement;
  const play = byId("play");
  const measure = createMeasure();
  const origin = originOf(series);
  const all = placesOf(series);
  const night: Span = {
    fromS: Math.floor(series.night.beganMs / 1000),
    toS: Math.ceil(series.night.lastMs / 1000),
  };
  let places: readonly TrackPlace[] = all;
  let looked: Span = night;
  let cursorS = night.fromS;
  let moment: BoatState | undefined;
  let boatM: number | null = null;
  let isAsking = false;
  let drawnS: number | undefined;
  let playing: ReturnType<typeof setInterval> | undefined;

  function room() {
    const widthPx = box.clientWidth;
    const heightPx = box.clientHeight;
    const mostPx = Math.max(LEAST_SIDE_PX, Math.round(heightPx * SIDE_SHARE));
    const sideFrame = sideFrameOf(series, boatM, widthPx, mostPx);
    return { widthPx, sideFrame, planPx: Math.max(80, heightPx - sideFrame.needPx) };
  }

  function planNow(widthPx: number, heightPx: number): NightPlan {
    const frame = planFrameOf(series, all, widthPx, heightPx);
    return { places, origin, frame, widthPx, heightPx, night, span: looked, cursorS };
  }

  function draw(): void {
    const { widthPx, sideFrame, planPx } = room();
    if (widthPx === 0 || side === undefined || plan === undefined) return;
    put(plan, nightPlanView(planNow(widthPx, planPx), moment, speak), widthPx, planPx);
    if (moment === undefined) return;
    put(side, sideView(moment, sideFrame, speak), widthPx, sideFrame.needPx);
    side.setAttribute("aria-label", thenWords(moment, speak));
  }

  /** From below: the seabed and the figures stay where they are, the surface moves. */
  function put(svg: SVGSVGElement, view: View, widthPx: number, heightPx: number): void {
    const { inks, labels, inTheWay, bounds } = view;
    const topPx = svg === side ? bounds.bottom + 2 - heightPx : 0;
    svg.setAttribute("height", String(heightPx));
    svg.setAttribute("viewBox", `0 ${topPx} ${widthPx} ${heightPx}`);
    const texts: Ink[] = placed(labels, inTheWay, bounds, measure).map(words);
    paint(svg, [...inks, ...texts]);
  }

  /** The latest wish only: while one is on its way, the next waits. */
  async function ask(): Promise<void> {
    if (isAsking || drawnS === cursorS) return;
    isAsking = true;
    const wishedS = cursorS;
    const answer = await asked<BoatState>(`/api/nights/${id}/moment?at=${wishedS * 1000}`);
    isAsking = false;
    drawnS = wishedS;
    moment = typeof answer === "string" ? undefined : answer;
    boatM = moment?.drawing?.boat.lengthM ?? boatM;
    write(byId("then"), moment === undefined ? review.nothingThen : thenWords(moment, speak));
    draw();
    if (cursorS !== wishedS) void ask();
  }

  function stop(): void {
    clearInterval(playing);
    playing = undefined;
    write(play, review.play);
  }

  play.addEventListener("click", () => {
    if (playing !== undefined) return stop();
    write(play, review.pause);
    const [fromS, toS] = span();
    if (cursorS >= toS - 1) cursor(fromS);
    const stepS = ((toS - fromS) * PLAY_EVERY_MS) / PLAY_MS;
    let atS = cursorS;
    playing = setInterval(() => {
      atS += stepS;
      cursor(atS);
      if (atS >= span()[1]) stop();
    }, PLAY_EVERY_MS);
  });
  scrub.addEventListener("input", () => {
    stop();
    cursor(Number(scrub.value));
  });
  plan?.addEventListener("click", (event) => {
    const { widthPx, planPx } = room();
    const rect = plan.getBoundingClientRect();
    const spot = { x: event.clientX - rect.left, y: event.clientY - rect.top };
    const place = placeNear(places, spot, planNow(widthPx, planPx));
    if (place !== undefined) cursor(place.atS);
  });
  const ramp = Array.from({ length: TIMES }, (_, i) => make("i", `time-${i}`));
  const ends = [night.fromS, night.toS].map((atS) => make("span", "", clock(atS * 1000)));
  byId("ramp").replaceChildren(...ends.slice(0, 1), ...ramp, ...ends.slice(1));
  scrub.min = String(night.fromS);
  scrub.max = String(night.toS);
  new ResizeObserver(() => {
    measure.forget();
    draw();
  }).observe(box);

  return {
    cursor(atS: number): void {
      cursorS = atS;
      scrub.value = String(atS);
      scrub.setAttribute("aria-valuetext", clock(atS * 1000));
      draw();
      void ask();
    },
    look(next: Span): void {
      looked = next;
      scrub.min = String(Math.floor(next.fromS));
      scrub.max = String(Math.ceil(next.toS));
      draw();
    },
    /** Places of the part that is looked at, between those of the whole. */
    refine(finer: NightSeries | undefined): void {
      const own = finer === undefined || origin === undefined ? [] : placesOf(finer, origin);
      places =
        own.length === 0
          ? all
          : [
              ...all.filter(({ atS }) => atS < looked.fromS),
              ...own,
              ...all.filter(({ atS }) => atS > looked.toS),
            ];
      draw();
    },
    redraw: draw,
  };
}

const PHASES = { underway: "under way", "let-go": "anchor down", riding: "riding", weighing: "weighing" };

function thenWords(moment: BoatState, speak: Speak): string {
  const { anchor, rode, scope, wind, depth } = moment;
  const parts = [
    PHASES[moment.phase],
    anchor.rangeM === null ? "" : `${figure.metres(anchor.rangeM, speak)} off`,
    rode.outM === null ? "" : `${figure.metres(rode.outM, speak)} out`,
    scope.now === null
      ? ""
      : `scope ${ratio(scope.now)}${scope.target === null ? "" : ` of ${ratio(scope.target)}`}`,
    depth.surfaceM === null ? "" : `depth ${figure.fine(depth.surfaceM, speak)}`,
    wind.meanKn === null ? "" : `wind ${figure.windKn(wind.meanKn, speak)} ${figure.from(wind.fromDeg)}`,
  ];
  return `${clock(Date.parse(moment.at))}  ${parts.filter((part) => part !== "").join(", ")}`;
}
