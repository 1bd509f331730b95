/**
 * A table of high and low waters. In: the text of a CSV file, a time and a height a line; out: the turns of the
 * tide in order, or the one line that says what is wrong with it.
 */
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import type { TideTurn } from "../tackle/tide.ts";
import { readQuantity } from "../units/quantity.ts";
import { DAY_MS, formatInstant, parseInstant } from "../units/time.ts";
import { shown } from "./wording.ts";

export type ReadTide = { ok: true; turns: TideTurn[] } | { ok: false; problem: string };

/** Above and below datum; the greatest range anywhere is 16 to 17 m (from memory). */
const HIGHEST_M = 20;
const MOST_TURNS = 10_000;
const EXAMPLE = "2026-06-15T04:40Z,5.2 m";

/**
 * Blank lines, lines beginning with # and a heading are passed over. Heights are above one datum, whichever, each
 * with its unit. Highs and lows must take turns: a row left out would make a curve that is wrong by the range.
 */
export function readTideTable(text: string): ReadTide {
  const turns: { turn: TideTurn; line: number }[] = [];
  const lines = text.replace(/^\uFEFF/, "").split(/\r?\n/);
  for (const [i, line] of lines.entries()) {
    const isRow = line.trim() !== "" && !line.startsWith("#") && !(turns.length === 0 && isHeading(line));
    if (!isRow) continue;
    const turn = readTurn(line);
    if (typeof turn === "string") return { ok: false, problem: `line ${i + 1}: ${turn}` };
    turns.push({ turn, line: i + 1 });
    if (turns.length > MOST_TURNS) return { ok: false, problem: `more than ${MOST_TURNS} lines` };
  }
  const problem = orderProblem(turns);
  return problem === undefined ? { ok: true, turns: turns.map(({ turn }) => turn) } : { ok: false, problem };
}

/** @param folder of the configuration that names it */
export function readTideFile(file: string, folder: string, explain: (error: unknown) => string): ReadTide {
  let text: string;
  try {
    text = readFileSync(resolve(folder, file), "utf8");
  } catch (error) {
    return { ok: false, problem: `${file}: ${explain(error)}` };
  }
  const read = readTideTable(text);
  return read.ok ? read : { ok: false, problem: `${file}: ${read.problem}` };
}

function isHeading(line: string): boolean {
  return /^\s*"?[a-z]/i.test(line);
}

function readTurn(line: string): TideTurn | string {
  const [time, height, more] = line.split(",").map((cell) => cell.trim().replace(/^"(.*)"$/, "$1"));
  const right = `write a time and a height like ${EXAMPLE}`;
  if (time === undefined || height === undefined || more !== undefined)
    return `${shown(line)} found; ${right}`;
  const atMs = parseInstant(time);
  if (atMs === undefined) return `${shown(time)} is no time; ${right}`;
  const read = readQuantity(height, "length");
  if (!read.ok) return read.problem;
  if (Math.abs(read.value) > HIGHEST_M)
    return `${shown(height)} is no height of a tide; at most ${HIGHEST_M} m`;
  return { atMs, heightM: read.value };
}

function orderProblem(rows: readonly { turn: TideTurn; line: number }[]): string | undefined {
  if (rows.length < 2) return `${rows.length} found; two turns of the tide wanted at least`;
  for (const [i, { turn, line }] of rows.entries()) {
    const before = rows[i - 1]?.turn;
    if (before === undefined) continue;
    const problem = pairProblem(before, turn, rows[i - 2]?.turn);
    if (problem !== undefined) return `line ${line}: ${problem}`;
  }
  return undefined;
}

function pairProblem(before: TideTurn, turn: TideTurn, earlier: TideTurn | undefined): string | undefined {
  const since = formatInstant(before.atMs);
  if (turn.atMs <= before.atMs) return `not after the line before it, ${since}`;
  if (turn.atMs - before.atMs > DAY_MS)
    return `over a day after the line before it, ${since}: one is missing`;
  const wayM = turn.heightM - before.heightM;
  if (wayM === 0) return "as high as the line before it; high and low waters only";
  if (earlier === undefined || (before.heightM - earlier.heightM) * wayM < 0) return undefined;
  return `${wayM > 0 ? "rises" : "falls"} on from the line before it; high and low waters only, in turn`;
}
