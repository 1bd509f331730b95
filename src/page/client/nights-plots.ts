/** The night's plots over one axis of time: each with its band of least and greatest, and the alerts' marks. */
import uPlot from "uplot";
import type { NightAlert, NightSeries } from "../night-state.ts";
import { make, write } from "./dom.ts";
import { type Line, type Plot, plotsOf } from "./nights-plot-specs.ts";
import { type Gestures, takeTouches } from "./nights-touch.ts";
import { clock, type Speak } from "./wording.ts";

export interface PlotEvents extends Gestures {
  /** The mouse stands at this second. */
  cursor(atS: number): void;
}

const HEIGHT_PX = 104;
const AXIS_PX = 22;
const LEFT_PX = 40;

/** Colours are the style sheet's: read when drawn, so that night comes with the next drawing. */
function ink(name: string): () => string {
  return () => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
}

const INK = ink("ink");
const SOFT = ink("soft");
const HAIR = ink("hair");
const ALARM = ink("alarm");
const PAPER = ink("paper");
const BAND = ink("band");

function seriesFor({ look }: Line): uPlot.Series {
  const quiet = { points: { show: false } };
  const noPath = { paths: () => null };
  if (look === "edge") return { ...quiet, stroke: SOFT, width: 1.2, dash: [6, 5] };
  if (look === "thin") return { ...quiet, stroke: SOFT, width: 1 };
  if (look === "band") return { ...quiet, stroke: INK, width: 0.6 };
  if (look === "dots")
    return { ...noPath, stroke: INK, points: { show: true, size: 2.4, width: 0, fill: INK } };
  if (look === "rings")
    return { ...noPath, stroke: SOFT, points: { show: true, size: 4.5, width: 1, fill: PAPER } };
  return { ...quiet, stroke: INK, width: 1.4 };
}

function scaleFor(range: Plot["range"]): uPlot.Scale {
  if (Array.isArray(range)) return { range };
  if (range === "from-zero") return { range: (_, __, max) => [0, Math.max(1, max * 1.08)] };
  return {
    range: (_, min, max) => [Math.max(0, min - 0.1 * (max - min) - 0.2), max + 0.1 * (max - min) + 0.2],
  };
}

const COMPASS = [0, 90, 180, 270, 360];

function optionsFor(plot: Plot, hasAxis: boolean, width: number, hooks: uPlot.Hooks.Arrays): uPlot.Options {
  const bands = plot.lines.flatMap(({ look }, i) =>
    look === "band" ? [{ series: [i, i + 1] as [number, number], fill: BAND() }] : [],
  );
  const font = `12px ${getComputedStyle(document.body).fontFamily}`;
  const axis = { stroke: SOFT, font, grid: { stroke: HAIR, width: 0.5 }, ticks: { show: false } };
  return {
    width,
    height: HEIGHT_PX + (hasAxis ? AXIS_PX : 0),
    padding: [9, 20, hasAxis ? 0 : 6, 0],
    legend: { show: false },
    cursor: {
      y: false,
      points: { show: false },
      drag: { x: true, y: false, setScale: false },
      bind: { dblclick: () => null },
    },
    scales: { x: { time: true, auto: false }, y: scaleFor(plot.range) },
    axes: [
      {
        ...axis,
        show: true,
        size: hasAxis ? AXIS_PX : 0,
        gap: 4,
        space: 52,
        values: (_, at) => at.map((s) => clock(s * 1000)),
        ...(hasAxis ? {} : { values: (_: uPlot, at: number[]) => at.map(() => "") }),
      },
      {
        ...axis,
        size: LEFT_PX,
        gap: 5,
        space: 26,
        ...(Array.isArray(plot.range)
          ? { splits: () => COMPASS, filter: (_: uPlot, at: number[]) => at }
          : {}),
      },
    ],
    series: [{}, ...plot.lines.map(seriesFor)],
    bands,
    hooks,
  };
}

/** The times stand under the first plot and the last. */
function isTimed(i: number, count: number): boolean {
  return i === 0 || i === count - 1;
}

/** Alarm: a full line with a filled head; warning: a dashed one with an open head; cautions are in the list alone. */
function drawMarks(plot: uPlot, alerts: readonly NightAlert[]): void {
  const { ctx, bbox } = plot;
  const unit = devicePixelRatio;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top - 4 * unit, bbox.width, bbox.height + 4 * unit);
  ctx.clip();
  // Alarms last: nothing may hide them.
  const inOrder = [...alerts].sort((a, b) => Number(a.priority === "alarm") - Number(b.priority === "alarm"));
  for (const { priority, raisedMs } of inOrder) {
    if (priority === "caution") continue;
    const isAlarm = priority === "alarm";
    const x = plot.valToPos(raisedMs / 1000, "x", true);
    ctx.strokeStyle = isAlarm ? ALARM() : INK();
    ctx.fillStyle = isAlarm ? ALARM() : PAPER();
    ctx.lineWidth = unit;
    ctx.setLineDash(isAlarm ? [] : [3 * unit, 3 * unit]);
    ctx.beginPath();
    ctx.moveTo(x, bbox.top);
    ctx.lineTo(x, bbox.top + bbox.height);
    ctx.stroke();
    ctx.setLineDash([]);
    ctx.beginPath();
    ctx.moveTo(x - 4 * unit, bbox.top - 3 * unit);
    ctx.lineTo(x + 4 * unit, bbox.top - 3 * unit);
    ctx.lineTo(x, bbox.top + 5 * unit);
    ctx.closePath();
    ctx.fill();
    ctx.stroke();
  }
  ctx.restore();
}

const AT_ONCE = 2;

interface Shown {
  plot: uPlot;
  spec: Plot;
  reading: HTMLElement;
  heightPx: number;
}

/** Lays the plots into `box`. What is zoomed or read is told by `events`; what is seen is set from outside. */
export function createPlots(box: HTMLElement, events: PlotEvents) {
  let shown: Shown[] = [];
  let series: NightSeries | undefined;
  let span: [number, number] = [0, 1];
  let cursorS = 0;

  function hooksFor(): uPlot.Hooks.Arrays {
    return {
      setCursor: [
        (plot) => {
          const { left, event } = plot.cursor;
          if (event !== undefined && event !== null && left !== undefined && left !== null && left >= 0)
            events.cursor(plot.posToVal(left, "x"));
        },
      ],
      setSelect: [
        (plot) => {
          const { left, width } = plot.select;
          if (width < 6) return;
          plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
          events.zoom(plot.posToVal(left, "x"), plot.posToVal(left + width, "x"));
        },
      ],
      draw: [(plot) => drawMarks(plot, series?.night.alertList ?? [])],
    };
  }

  function show(next: NightSeries, speak: Speak, nextSpan: [number, number]): void {
    series = next;
    span = nextSpan;
    const specs = plotsOf(next, speak);
    for (const { plot } of shown) plot.destroy();
    box.replaceChildren();
    shown = [];
    const own = shown;
    const lay = (): void => {
      const spec = specs[own.length];
      if (spec === undefined || own !== shown) return;
      own.push(layOut(spec, isTimed(own.length, specs.length)));
      // What is in sight first: a phone shows the others only when it is scrolled.
      if (own.length < AT_ONCE) lay();
      else requestAnimationFrame(lay);
    };
    lay();
  }

  function layOut(spec: Plot, hasAxis: boolean): Shown {
    const figure = box.appendChild(make("figure", "plot"));
    const caption = figure.appendChild(make("figcaption", ""));
    caption.append(make("span", "", spec.name));
    const reading = caption.appendChild(make("output", ""));
    const options = optionsFor(spec, hasAxis, box.clientWidth, hooksFor());
    const data = [series?.atS ?? [], ...spec.lines.map(({ values }) => values)] as uPlot.AlignedData;
    const plot = new uPlot(options, data, figure);
    plot.setScale("x", { min: span[0], max: span[1] });
    takeTouches(plot, events);
    const one = { plot, spec, reading, heightPx: options.height };
    point(one, cursorS);
    return one;
  }

  /** The same night in other columns, or another part of it: nothing is laid out anew. */
  function update(next: NightSeries, speak: Speak): void {
    series = next;
    const specs = plotsOf(next, speak);
    for (const [i, one] of shown.entries()) {
      const spec = specs[i];
      if (spec === undefined) continue;
      one.spec = spec;
      one.plot.setData([next.atS, ...spec.lines.map(({ values }) => values)] as uPlot.AlignedData, false);
      one.plot.setScale("x", { min: span[0], max: span[1] });
    }
  }

  function look(nextSpan: [number, number]): void {
    span = nextSpan;
    for (const { plot } of shown) plot.setScale("x", { min: span[0], max: span[1] });
  }

  function cursor(atS: number): void {
    cursorS = atS;
    for (const one of shown) point(one, atS);
  }

  function point({ plot, spec, reading }: Shown, atS: number): void {
    const column = columnAt(series?.atS ?? [], atS);
    const left = plot.valToPos(atS, "x");
    plot.setCursor({ left: left >= 0 ? left : -10, top: 10 }, false);
    write(reading, column === undefined ? "" : spec.at(column));
  }

  function resize(): void {
    for (const { plot, heightPx } of shown) plot.setSize({ width: box.clientWidth, height: heightPx });
  }

  return {
    show,
    update,
    look,
    cursor,
    resize,
    redraw(): void {
      for (const { plot } of shown) plot.redraw(false);
    },
  };
}

/** The column whose middle is nearest. */
function columnAt(atS: readonly number[], second: number): number | undefined {
  if (atS.length === 0) return undefined;
  const first = atS[0] ?? 0;
  const perColumn = ((atS.at(-1) ?? first) - first) / Math.max(1, atS.length - 1);
  const column = perColumn === 0 ? 0 : Math.round((second - first) / perColumn);
  return Math.min(atS.length - 1, Math.max(0, column));
}
