/**
 * Pull angle at the anchor against wind for some scopes, as an SVG text: the picture behind the pull limit.
 * `PLOTS=1` with the test beside the tackle's tests writes it to `build/`.
 */
import type { Boat } from "../../src/tackle/boat.ts";
import { solveCatenary } from "../../src/tackle/catenary.ts";
import { lineAboard, type Rode, veered } from "../../src/tackle/rode.ts";
import { GUST_FACTOR, windLoadN } from "../../src/tackle/wind-load.ts";
import { fromKn } from "../../src/units/speed.ts";

export interface PullCurve {
  scope: number;
  points: { windKn: number; pullDeg: number }[];
}

export interface PlotSubject {
  boat: Boat;
  rode: Rode;
  heightM: number;
  pullLimitDeg: number;
}

/** A 9 m motor cruiser on 8 m of chain and rope enough, in 6 m from roller to seabed. */
export const CRUISER: PlotSubject = {
  boat: {
    lengthM: 9.2,
    beamM: 3.1,
    draughtM: 0.8,
    windageAreaM2: 9,
    rollerHeightM: 1.1,
    rollerToAntennaM: 6,
  },
  rode: {
    chainM: 8,
    chainDiameterM: 0.008,
    ropeM: 60,
    ropeDiameterM: 0.014,
    ropeKind: "nylon-three-strand",
  },
  heightM: 6,
  pullLimitDeg: 8,
};

const MOST_WIND_KN = 50;

/** Loads at the gust of each mean wind, lower estimate. */
export function pullCurve({ boat, rode, heightM }: PlotSubject, scope: number): PullCurve {
  const aboard = lineAboard(rode);
  if (aboard === undefined) throw new Error("the rode is not known well enough to plot");
  const out = veered(aboard, scope * heightM);
  const points: PullCurve["points"] = [];
  for (let windKn = 0; windKn <= MOST_WIND_KN; windKn++) {
    const answer = solveCatenary(heightM, out, windLoadN(boat, GUST_FACTOR * fromKn(windKn)) ?? 0);
    if (answer.ok) points.push({ windKn, pullDeg: answer.pullDeg });
  }
  return { scope, points };
}

const [WIDTH, HEIGHT, LEFT, BOTTOM, TOP, RIGHT] = [720, 440, 64, 56, 40, 60];
const MOST_DEG = 14;
const INKS = ["#8c2f1b", "#1f5c7a", "#2f6b3a"];

function x(windKn: number): number {
  return LEFT + ((WIDTH - LEFT - RIGHT) * windKn) / MOST_WIND_KN;
}

function y(deg: number): number {
  return HEIGHT - BOTTOM - ((HEIGHT - BOTTOM - TOP) * deg) / MOST_DEG;
}

export function pullAngleSvg(subject: PlotSubject, scopes: readonly number[]): string {
  const curves = scopes.map((scope) => pullCurve(subject, scope));
  const { chainM, ropeM } = subject.rode;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="sans-serif" font-size="13">`,
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="#fff"/>`,
    text(
      LEFT,
      22,
      "start",
      `Pull at the anchor, ${chainM} m chain and ${ropeM} m rope, ${subject.heightM} m from roller to seabed`,
    ),
    ...[0, 10, 20, 30, 40, 50].flatMap((kn) => [
      `<path d="M${x(kn)} ${y(0)}V${y(MOST_DEG)}" stroke="#ddd"/>`,
      text(x(kn), y(0) + 20, "middle", `${kn}`),
    ]),
    ...[0, 2, 4, 6, 8, 10, 12, 14].flatMap((deg) => [
      `<path d="M${x(0)} ${y(deg)}H${x(MOST_WIND_KN)}" stroke="#ddd"/>`,
      text(x(0) - 8, y(deg) + 4, "end", `${deg}°`),
    ]),
    text(x(MOST_WIND_KN / 2), HEIGHT - 14, "middle", "mean wind, kn (load at the gust, 1.4 times the mean)"),
    `<path d="M${x(0)} ${y(subject.pullLimitDeg)}H${x(MOST_WIND_KN)}" stroke="#333" stroke-dasharray="6 4"/>`,
    text(x(1), y(subject.pullLimitDeg) - 6, "start", `limit ${subject.pullLimitDeg}°`),
    ...curves.flatMap((curve, i) => drawn(curve, INKS[i % INKS.length] ?? "#000")),
    "</svg>",
    "",
  ].join("\n");
}

function drawn({ scope, points }: PullCurve, ink: string): string[] {
  const path = points.map(({ windKn, pullDeg }) => `${x(windKn).toFixed(1)},${y(pullDeg).toFixed(1)}`);
  const last = points.at(-1);
  return [
    `<polyline fill="none" stroke="${ink}" stroke-width="2" points="${path.join(" ")}"/>`,
    last ? text(x(last.windKn) + 6, y(last.pullDeg) + 4, "start", `${scope}:1`) : "",
  ];
}

function text(xAt: number, yAt: number, anchor: string, words: string): string {
  return `<text x="${xAt}" y="${yAt}" text-anchor="${anchor}">${words}</text>`;
}
