/** All nights in one plot: the gust that blew by the scope that was out; held or dragged. Pure. */
import type { NightLine } from "../night-state.ts";
import type { Spot } from "./frame.ts";
import { circle, type Ink, line } from "./ink.ts";
import type { Label } from "./labels.ts";
import { across } from "./nights-words.ts";
import { PAD_PX, type View } from "./side-view.ts";
import type { Speak } from "./wording.ts";
import { speedNumber } from "./wording-speed.ts";

export const ACROSS_PX = 220;
const LEFT_PX = 40;
const TOP_PX = 22;
const BASE_PX = 178;

export function acrossView(nights: readonly NightLine[], widthPx: number, speak: Speak): View {
  const right = widthPx - PAD_PX;
  const told = nights.flatMap((night) => {
    const { gustMps, leastScope } = night;
    return gustMps === null || leastScope === null
      ? []
      : [{ night, gust: speedNumber(gustMps, speak), leastScope }];
  });
  const most = (values: number[], least: number, step: number) =>
    Math.ceil(Math.max(least, ...values) / step) * step;
  const mostWind = most(
    told.map(({ gust }) => gust),
    speedNumber(10, speak),
    5,
  );
  const mostScope = most(
    told.map(({ leastScope }) => leastScope),
    8,
    2,
  );
  const x = (wind: number) => LEFT_PX + (wind / mostWind) * (right - LEFT_PX);
  const y = (scope: number) => BASE_PX - (scope / mostScope) * (BASE_PX - TOP_PX);
  const inks: Ink[] = [];
  const labels: Label[] = [];
  const row = (id: string, text: string, spot: Spot, align: "start" | "middle" | "end"): void => {
    labels.push({ id, type: "soft", importance: 5, texts: [text], spots: [{ ...spot, align }] });
  };
  for (let scope = 0; scope <= mostScope; scope += 2) {
    inks.push(
      line("grid", [
        { x: LEFT_PX, y: y(scope) },
        { x: right, y: y(scope) },
      ]),
    );
    row(`scope-${scope}`, String(scope), { x: LEFT_PX - 6, y: y(scope) + 4 }, "end");
  }
  const step = mostWind > 40 ? 20 : 10;
  for (let wind = 0; wind <= mostWind; wind += step)
    row(`wind-${wind}`, String(wind), { x: x(wind), y: BASE_PX + 16 }, "middle");
  row("x", across.wind(speak), { x: right, y: BASE_PX + 33 }, "end");
  row("y", across.scope, { x: 4, y: 12 }, "start");
  for (const { night, gust, leastScope } of told) {
    const at = { x: x(gust), y: y(leastScope) };
    inks.push(night.draggedM === null ? circle("held", at, 3.4) : line("mark alarm", triangle(at), true));
    if (night.draggedM !== null)
      labels.push({
        id: `night-${night.id}`,
        type: "lab",
        importance: 3,
        texts: [`${night.id}`],
        spots: [
          { x: at.x + 8, y: at.y + 4, align: "start" },
          { x: at.x - 8, y: at.y + 4, align: "end" },
        ],
      });
  }
  const bounds = { left: 0, top: 0, right: widthPx, bottom: ACROSS_PX };
  return { inks, labels, inTheWay: { lines: [], boxes: [], dots: [] }, bounds };
}

function triangle({ x, y }: Spot): Spot[] {
  return [
    { x: x - 5, y: y + 4 },
    { x: x + 5, y: y + 4 },
    { x, y: y - 5 },
  ];
}
