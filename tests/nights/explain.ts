/** One night drawn: range against reach and circle, the statistic against its thresholds, and the truth. */
import type { NightKind } from "../../src/rehearsal/nights/night.ts";
import { playNight } from "./play.ts";

const WIDTH = 1200;
const HEIGHT = 260;
const EVERY_S = 10;

interface Trace {
  name: string;
  colour: string;
  points: [atS: number, value: number][];
}

export function explain(kind: NightKind, seed: number): string {
  const range = trace("range, m", "#222");
  const circle = trace("alarm circle, m", "#b00");
  const dragged = trace("truly dragged, m", "#080");
  const moved = trace("thought to have moved, m", "#06c");
  const strength = trace("statistic, 1 = alarm", "#06c");
  const wind = trace("wind, kn", "#999");
  let second = 0;
  const result = playNight(kind, seed, {
    onlooker: (core, { truth }) => {
      if (second++ % EVERY_S !== 0) return;
      const { circle: now, drag } = core.last.figures;
      const put = ({ points }: Trace, value: number | undefined) => {
        if (value !== undefined) points.push([second, value]);
      };
      put(range, now?.rangeM);
      put(circle, now?.radiusM);
      put(dragged, truth.draggedM);
      put(moved, drag.movedM);
      put(strength, Math.min(3, drag.towardAlarm));
      put(wind, truth.windKn);
    },
  });
  const panels = [[range, circle], [dragged, moved], [strength], [wind]];
  const told = [...result.falseAlarms, ...(result.drag?.alarm === undefined ? [] : [result.drag.alarm])];
  const marks = [...told.map(({ atS }) => atS), ...(result.drag === undefined ? [] : [result.drag.atS])];
  const drawn = panels.map((traces, i) => panel(traces, i * HEIGHT, second, marks));
  const title = `${kind.grade}, ${kind.velocity}, ${JSON.stringify(kind.event)}, seed ${seed}; ${result.receiver}`;
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${panels.length * HEIGHT + 30}" font-family="sans-serif" font-size="12">
<rect width="100%" height="100%" fill="#fff"/><text x="10" y="${panels.length * HEIGHT + 20}">${title.replaceAll('"', "")}</text>
${drawn.join("\n")}
</svg>`;
}

function trace(name: string, colour: string): Trace {
  return { name, colour, points: [] };
}

function panel(traces: readonly Trace[], top: number, lengthS: number, marks: readonly number[]): string {
  const all = traces.flatMap(({ points }) => points.map(([, value]) => value));
  const low = all.reduce((a, b) => Math.min(a, b), 0);
  const high = all.reduce((a, b) => Math.max(a, b), low + 1);
  const x = (atS: number) => ((atS / Math.max(1, lengthS)) * WIDTH).toFixed(1);
  const y = (value: number) =>
    (top + HEIGHT - 15 - ((value - low) / (high - low)) * (HEIGHT - 40)).toFixed(1);
  const lines = traces.map(({ colour, points }) => {
    const path = points.map(([atS, value]) => `${x(atS)},${y(value)}`).join(" ");
    return `<polyline fill="none" stroke="${colour}" points="${path}"/>`;
  });
  const names = traces.map(
    ({ name, colour }, i) => `<text x="10" y="${top + 14 + 14 * i}" fill="${colour}">${name}</text>`,
  );
  const uprights = marks.map(
    (atS) => `<path d="M${x(atS)} ${top}V${top + HEIGHT - 15}" stroke="#f80" stroke-dasharray="4 3"/>`,
  );
  const scale = `<text x="${WIDTH - 10}" y="${top + 14}" text-anchor="end">${low.toFixed(0)} to ${high.toFixed(0)}</text>`;
  return [...lines, ...names, ...uprights, scale].join("\n");
}
