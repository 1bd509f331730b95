/** The night in one strip: distance off the anchor, scope and wind over time, with the alerts. Pure. */
import type { StateAlert, TrackAnswer } from "../boat-state.ts";
import type { Spot } from "./frame.ts";
import { type Ink, line } from "./ink.ts";
import type { Label } from "./labels.ts";
import { PAD_PX, type View } from "./side-view.ts";
import { clock, type Speak } from "./wording.ts";
import { drawn } from "./words.ts";

export const STRIP_PX = 88;
const TOP_PX = 10;
const BASE_PX = 68;
const LEAST_SPAN_MS = 30 * 60_000;
const HOUR_MS = 3_600_000;

/** For the names at the lines' ends. */
const NAMES_PX = 76;

export function stripView(track: TrackAnswer, nowMs: number, widthPx: number, speak: Speak): View {
  const left = PAD_PX;
  const right = widthPx - PAD_PX - NAMES_PX;
  const beganMs = Math.min(track.atMs[0] ?? nowMs, nowMs - LEAST_SPAN_MS);
  const x = (atMs: number) => left + ((atMs - beganMs) / (nowMs - beganMs)) * (right - left);
  const columnOf = (values: readonly (number | null)[], most: number): Spot[][] => {
    const rows: Spot[][] = [[]];
    values.forEach((value, i) => {
      const atMs = track.atMs[i];
      if (atMs === undefined || value === null) rows.push([]);
      else rows.at(-1)?.push({ x: x(atMs), y: BASE_PX - (value / most) * (BASE_PX - TOP_PX) });
    });
    return rows.filter((row) => row.length > 1);
  };
  const most = (values: readonly (number | null)[], least: number) =>
    Math.max(least, ...values.map((value) => value ?? 0));
  const mostM = most([...track.rangeMaxM, ...track.circleM], 10) * 1.02;
  const mostKn = most(track.windKn, 20) * 2;
  const mostScope = most(track.scope, 8) * 1.6;
  const range = columnOf(track.rangeMaxM, mostM);
  const edge = columnOf(track.circleM, mostM);
  const wind = columnOf(track.windKn, mostKn);
  const scope = columnOf(track.scope, mostScope);
  const base = [
    { x: left, y: BASE_PX },
    { x: right, y: BASE_PX },
  ];
  const inks: Ink[] = [
    line("hair", base),
    ...edge.map((row) => line("edge", row)),
    ...wind.map((row) => line("strip-wind", row)),
    ...scope.map((row) => line("strip-scope", row)),
    ...range.map((row) => line("strip-range", row)),
    ...track.marks
      .filter(({ priority }) => priority !== "caution")
      .map(({ atMs, priority }) => markAt(x(atMs), priority)),
  ];
  const bounds = { left: 2, top: 1, right: widthPx - 2, bottom: STRIP_PX - 1 };
  const labels = [
    ...timeLabels(beganMs, nowMs, x, right),
    ...nameLabels({ range, wind, scope }, track, right, speak),
  ];
  return {
    inks,
    labels,
    inTheWay: { lines: [base, ...range, ...edge, ...wind, ...scope], boxes: [], dots: [] },
    bounds,
  };
}

/** Alarm: a filled triangle; warning: an open one. */
function markAt(x: number, priority: StateAlert["priority"]): Ink {
  const triangle = [
    { x: x - 4, y: 1 },
    { x: x + 4, y: 1 },
    { x, y: 8 },
  ];
  return line(priority === "alarm" ? "mark alarm" : "mark", triangle, true);
}

function timeLabels(beganMs: number, nowMs: number, x: (atMs: number) => number, right: number): Label[] {
  const y = BASE_PX + 15;
  const spanMs = nowMs - beganMs;
  const steps = [HOUR_MS / 4, HOUR_MS / 2, HOUR_MS, 2 * HOUR_MS, 4 * HOUR_MS];
  const stepMs = steps.find((step) => spanMs / step <= 5) ?? 8 * HOUR_MS;
  const labels: Label[] = [
    {
      id: "now",
      type: "soft",
      importance: 5,
      texts: drawn.strip.now,
      spots: [{ x: right, y, align: "end" }],
    },
  ];
  for (let atMs = Math.ceil(beganMs / stepMs) * stepMs; atMs < nowMs; atMs += stepMs) {
    const spots = [{ x: x(atMs), y, align: "middle" as const }];
    labels.push({ id: `at-${atMs}`, type: "soft", importance: 3, texts: [clock(atMs)], spots });
  }
  return labels;
}

const ROW_PX = 18;

/** At the end of each line, with what it is now; as near its height as the others leave room. */
function nameLabels(
  rows: { range: Spot[][]; wind: Spot[][]; scope: Spot[][] },
  track: TrackAnswer,
  right: number,
  speak: Speak,
): Label[] {
  // Beside "now" stands what is known now: the last figure of an hour ago is none.
  const last = (values: readonly (number | null)[]) => values.at(-1) ?? undefined;
  const texts = {
    range: drawn.strip.range(last(track.rangeMaxM), speak),
    wind: drawn.strip.wind(last(track.windKn), speak),
    scope: drawn.strip.scope(last(track.scope)),
  };
  const named = (["range", "scope", "wind"] as const).flatMap((id) => {
    const y = rows[id].at(-1)?.at(-1)?.y;
    return y === undefined ? [] : [{ id, y: y + 4 }];
  });
  named.sort((a, b) => a.y - b.y);
  const lowest = BASE_PX - 2;
  named.forEach((one, i) => {
    const above = named[i - 1];
    one.y = Math.max(one.y, above === undefined ? TOP_PX + 6 : above.y + ROW_PX);
  });
  for (let i = named.length - 1, most = lowest; i >= 0; i--, most -= ROW_PX) {
    const one = named[i];
    if (one !== undefined) one.y = Math.min(one.y, most);
  }
  return named.map(({ id, y }) => ({
    id,
    type: "soft",
    importance: id === "range" ? 4 : 3,
    texts: texts[id],
    spots: [y, y - 4, y + 4].map((at) => ({ x: right + 6, y: at, align: "start" as const })),
  }));
}
