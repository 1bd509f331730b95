/** What each plot of the night shows, and what the cursor reads there. In: the columns; out: lines in the viewer's units. Pure. */
import type { NightSeries } from "../night-state.ts";
import { plots as words } from "./nights-words.ts";
import { bearing, compassPoint, metresPer, type Speak } from "./wording.ts";
import { speedNumber } from "./wording-speed.ts";

type Values = (number | null)[];

export interface Line {
  values: Values;
  look: "band" | "line" | "edge" | "thin" | "dots" | "rings";
}

export interface Plot {
  id: string;
  name: string;
  lines: Line[];
  range: [number, number] | "from-zero" | "round";
  /** What the cursor reads. */
  at(column: number): string;
}

export function plotsOf({ bands, directions }: NightSeries, speak: Speak): Plot[] {
  const lengths = (list: Values) => scaled(list, 1 / metresPer(speak.lengths));
  const speeds = (list: Values) => scaled(list, speedNumber(1, speak));
  const value = (list: Values, i: number) => list[i] ?? null;
  const { rangeM, circleM, scope, target, depthM, meanMps, gustMps } = bands;
  const { headingDeg, bearingDeg, meanFromDeg } = directions;
  const wind = (i: number) => {
    const [mean, gust, from] = [
      value(speeds(meanMps.max), i),
      value(speeds(gustMps.max), i),
      meanFromDeg[i] ?? null,
    ];
    if (mean === null) return words.none;
    return `${mean.toFixed(0)}${gust === null ? "" : `, gust ${gust.toFixed(0)}`}${from === null ? "" : `, ${compassPoint(from)}`}`;
  };
  const off = (i: number) => {
    const [range, circle] = [value(rangeM.max, i), value(circleM.max, i)];
    return range === null ? words.none : words.rangeAt(range, circle, speak);
  };
  const scopeAt = (i: number) => {
    const now = value(scope.min, i);
    return now === null ? words.none : words.scopeAt(now, value(target.max, i));
  };
  const depthAt = (i: number) => {
    const deep = value(lengths(depthM.min), i);
    return deep === null ? words.none : deep.toFixed(1);
  };
  const headingAt = (i: number) => {
    const [heading, anchor] = [headingDeg[i] ?? null, bearingDeg[i] ?? null];
    if (heading === null && anchor === null) return words.none;
    return `${heading === null ? words.none : bearing(heading)}, anchor ${anchor === null ? words.none : bearing(anchor)}`;
  };
  return [
    {
      id: "range",
      name: words.range(speak),
      range: "from-zero",
      lines: [
        ...band({ min: lengths(rangeM.min), max: lengths(rangeM.max) }),
        { values: lengths(circleM.max), look: "edge" },
      ],
      at: off,
    },
    {
      id: "scope",
      name: words.scope,
      range: "from-zero",
      lines: [...band(scope), { values: target.max, look: "edge" }],
      at: scopeAt,
    },
    {
      id: "depth",
      name: words.depth(speak),
      range: "round",
      lines: band({ min: lengths(depthM.min), max: lengths(depthM.max) }),
      at: depthAt,
    },
    {
      id: "wind",
      name: words.wind(speak),
      range: "from-zero",
      lines: [
        { values: speeds(gustMps.max), look: "thin" },
        { values: speeds(meanMps.max), look: "line" },
      ],
      at: wind,
    },
    {
      id: "from",
      name: "Wind from",
      range: [0, 360],
      lines: [{ values: meanFromDeg, look: "dots" }],
      at: (i) => (meanFromDeg[i] == null ? words.none : bearing(meanFromDeg[i])),
    },
    {
      id: "heading",
      name: words.heading,
      range: [0, 360],
      lines: [
        { values: headingDeg, look: "dots" },
        { values: bearingDeg, look: "rings" },
      ],
      at: headingAt,
    },
  ];
}

function scaled(list: Values, by: number): Values {
  return by === 1 ? list : list.map((value) => (value === null ? null : value * by));
}

function band({ min, max }: { min: Values; max: Values }): Line[] {
  return [
    { values: max, look: "line" },
    { values: min, look: "band" },
  ];
}
