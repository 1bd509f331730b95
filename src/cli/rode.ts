/** `rodeward rode`: how much rode, how hard the pull, how wide the swing, from the shell. */

import type { Config } from "../config/schema.ts";
import { bareConfig, watchSettings } from "../config/settings.ts";
import type { AdviceInput, RodeAdvice } from "../tackle/rode-advice.ts";
import { type RodeTable, rodeTable } from "../tackle/rode-table.ts";
import { greatestDepthsM } from "../tackle/scope.ts";
import { sternRadiusM } from "../tackle/swing.ts";
import { tideByTable } from "../tackle/tide.ts";
import { asAboard, type DisplayUnits, toVeer } from "../tackle/veer-length.ts";
import { weakLinks } from "../tackle/weak-links.ts";
import { DEFAULT_LOAD_FACTORS, designLoadN, GUST_FACTOR } from "../tackle/wind-load.ts";
import { M_PER_FATHOM, M_PER_FT } from "../units/length.ts";
import { fromKn, toKn } from "../units/speed.ts";
import { tableLacks } from "../watch/tide-now.ts";

export interface RodeQuestion {
  depthM: number;
  windMps: number | undefined;
  gustMps: number | undefined;
  riseM: number | undefined;
  rollerHeightM: number | undefined;
  /** For which the tide is looked up, where the configuration has its heights. */
  atMs: number;
  /** Units to answer in, where no configuration says. */
  units: DisplayUnits;
}

export function adviceInput(question: RodeQuestion, config: Config | undefined): AdviceInput {
  const watch = watchSettings(config ?? bareConfig());
  return {
    depthM: question.depthM,
    riseM: question.riseM ?? tideByTable(watch.tideTurns, question.atMs)?.riseToComeM ?? watch.tideRiseM,
    boat: { ...watch.boat, rollerHeightM: question.rollerHeightM ?? watch.boat.rollerHeightM },
    rode: watch.rode,
    windMps: question.windMps ?? watch.forecastWindMps,
    gustMps: question.gustMps,
    steps: watch.steps,
    pullLimitDeg: watch.pullLimitDeg,
    displayUnits: config === undefined ? question.units : watch.units,
    factors: { ...DEFAULT_LOAD_FACTORS, surge: watch.surge },
  };
}

/** The advice as one JSON object: absent is null. */
export function asJson(advice: RodeAdvice): string {
  const filled = Object.fromEntries(Object.entries(advice).map(([key, value]) => [key, value ?? null]));
  return JSON.stringify(filled, null, 2);
}

const UNIT = {
  metric: { perM: 1, name: "m" },
  feet: { perM: 1 / M_PER_FT, name: "ft" },
  fathoms: { perM: 1 / M_PER_FATHOM, name: "fathoms" },
} as const;

function show(lengthM: number, units: DisplayUnits): string {
  const { perM, name } = UNIT[units];
  const value = lengthM * perM;
  return `${value >= 20 ? Math.round(value) : Number(value.toFixed(1))} ${name}`;
}

function knots(speedMps: number): string {
  return `${Number(toKn(speedMps).toFixed(0))} kn`;
}

/** A short report for a person; every line stands by itself. */
export function report(
  input: AdviceInput,
  advice: RodeAdvice,
  config: Config | undefined,
  atMs: number,
): string[] {
  return [
    ...heightLines(input, advice),
    ...tideLines(input, config, atMs),
    ...rodeLines(input, advice),
    ...loadLines(input, advice),
    ...strengthLines(input, config),
  ];
}

function heightLines(input: AdviceInput, advice: RodeAdvice): string[] {
  const units = input.displayUnits;
  const { heightM, rollerHeightM } = advice;
  if (heightM === undefined || rollerHeightM === undefined) {
    return [
      `Depth ${show(advice.depthM, units)}. Height of the bow roller not known: give --roller or boat.roller_height.`,
    ];
  }
  const rise = input.riseM === undefined ? "no tide told" : `${show(input.riseM, units)} of tide to come`;
  const parts = `depth ${show(advice.depthM, units)}, roller ${show(rollerHeightM, units)}, ${rise}`;
  return [`Roller to seabed ${show(heightM, units)} (${parts})`];
}

/** What the tide as configured does by low water, or what it does not tell. */
function tideLines(
  { depthM, displayUnits }: AdviceInput,
  config: Config | undefined,
  atMs: number,
): string[] {
  const { tideTurns } = watchSettings(config ?? bareConfig());
  const fallM = tideByTable(tideTurns, atMs)?.fallToComeM;
  const lacks = tableLacks(tideTurns, atMs);
  const low = fallM === undefined ? [] : [`At low water ${show(depthM - fallM, displayUnits)} of water here`];
  return lacks === undefined ? low : [...low, lacks];
}

function rodeLines(input: AdviceInput, advice: RodeAdvice): string[] {
  const { requiredM, byMechanicsM, targetScope, aboardM, shortfallM, greatestDepthM } = advice;
  const units = input.displayUnits;
  if (requiredM === undefined || targetScope === undefined) return [];
  const wind =
    input.windMps === undefined ? "Wind not given: reckoned for 20 kn" : `Wind ${knots(input.windMps)}`;
  const mechanics =
    byMechanicsM === undefined
      ? ""
      : `; ${toVeer(byMechanicsM, units).text} keeps the pull within ${input.pullLimitDeg} deg at the gust`;
  const lines = [`${wind}: scope ${Number(targetScope.toFixed(1))} to 1${mechanics}`];
  if (shortfallM !== undefined && shortfallM > 0 && aboardM !== undefined) {
    lines.push(
      `RODE ABOARD TOO SHORT HERE: ${toVeer(requiredM, units).text} wanted, ${asAboard(aboardM, units).text} aboard, ${toVeer(shortfallM, units).text} short`,
    );
  } else
    lines.push(
      `Veer ${toVeer(requiredM, units).text}${aboardM === undefined ? "" : ` of ${asAboard(aboardM, units).text} aboard`}`,
    );
  if (greatestDepthM !== undefined)
    lines.push(
      `Deepest this rode serves in this wind: ${show(greatestDepthM, units)}${deepestBySteps(input)}`,
    );
  return lines;
}

function deepestBySteps({ rode, boat, steps, riseM, displayUnits }: AdviceInput): string {
  if (rode === undefined || boat.rollerHeightM === undefined) return "";
  const each = greatestDepthsM(rode.chainM + rode.ropeM, steps, boat.rollerHeightM, riseM);
  return ` (by scope alone: ${each.map((step) => `${show(step.greatestDepthM, displayUnits)} from ${knots(step.windMps)}`).join(", ")})`;
}

function loadLines(input: AdviceInput, advice: RodeAdvice): string[] {
  const { loadN, pullDeg, groundedM, reachM, swingRadiusM } = advice;
  const units = input.displayUnits;
  if (loadN === undefined) return ["Loads need the wind, and the boat's length or windage area."];
  const lines = [`Load at the gust about ${newtons(loadN)}, head to wind with sheering`];
  if (pullDeg !== undefined && groundedM !== undefined && reachM !== undefined) {
    lines.push(
      `Then: pull ${pullDeg.toFixed(1)} deg at the anchor, ${show(groundedM, units)} of rode on the bottom, lying ${show(reachM, units)} off`,
    );
    const stern =
      input.boat.lengthM === undefined
        ? ""
        : `, stern ${show(sternRadiusM(reachM, input.boat.lengthM), units)}`;
    if (swingRadiusM !== undefined)
      lines.push(`Swing round the anchor: antenna ${show(swingRadiusM, units)}${stern}`);
  }
  return lines;
}

function newtons(forceN: number): string {
  return forceN >= 1000 ? `${(forceN / 1000).toFixed(1)} kN` : `${Math.round(forceN)} N`;
}

/** The published design load is the upper estimate: it rules strength. */
function strengthLines(input: AdviceInput, config: Config | undefined): string[] {
  const gustMps = input.gustMps ?? (input.windMps === undefined ? undefined : input.windMps * GUST_FACTOR);
  const designN = gustMps === undefined ? undefined : designLoadN(input.boat, gustMps);
  if (designN === undefined) return [];
  const lines = [`Published design load at the gust ${newtons(designN)} (waves are in neither figure)`];
  for (const { link, workingN } of weakLinks(input.rode, config?.boat.windlass_pull, designN)) {
    const name = link === "windlass" ? "windlass (take the load on a cleat, never on it)" : link;
    lines.push(`TOO WEAK FOR IT: ${name}, working load ${newtons(workingN)}`);
  }
  return lines;
}

const TABLE_WINDS = [10, 15, 20, 25, 30, 40].map(fromKn);
const TABLE_DEPTHS: Readonly<Record<DisplayUnits, readonly number[]>> = {
  metric: [2, 3, 4, 6, 8, 10, 15, 20, 30],
  feet: [6, 10, 15, 20, 30, 40, 60, 80, 100],
  fathoms: [1, 2, 3, 4, 5, 7, 10, 15, 20],
};

/** Depth × wind → rode to veer; cells beyond the rode aboard are in brackets. */
export function tableText(input: AdviceInput): string[] {
  const units = input.displayUnits;
  const depthsM = TABLE_DEPTHS[units].map((value) => value / UNIT[units].perM);
  const table: RodeTable = rodeTable(depthsM, TABLE_WINDS, input);
  const head = ["depth", ...TABLE_WINDS.map(knots)];
  const rows = table.rows.map((cells, i) => [
    show(depthsM[i] ?? 0, units),
    ...cells.map((cell) =>
      cell.beyondAboard === true ? `(${cell.veerDisplay})` : (cell.veerDisplay ?? "-"),
    ),
  ]);
  const deepest = [
    "deepest",
    ...table.greatestDepthsM.map((depthM) => (depthM === undefined ? "-" : show(depthM, units))),
  ];
  const all = [head, ...rows, deepest];
  const widths = head.map((_, column) => Math.max(...all.map((row) => row[column]?.length ?? 0)));
  const lines = all.map((row) => row.map((cell, column) => cell.padStart(widths[column] ?? 0)).join("  "));
  const isBeyond = table.rows.some((cells) => cells.some(({ beyondAboard }) => beyondAboard));
  return isBeyond ? [...lines, "in brackets: more than the rode aboard"] : lines;
}

/** Units meant by the way a depth was written. */
export function unitsOf(depthText: string): DisplayUnits {
  if (/f(t|oot|eet)\s*$/i.test(depthText)) return "feet";
  return /(fathoms?|fm)\s*$/i.test(depthText) ? "fathoms" : "metric";
}
