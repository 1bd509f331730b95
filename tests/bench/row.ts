import { mkdirSync, writeFileSync } from "node:fs";
import { cpus } from "node:os";

/** One figure of a benchmark, with what it has to reach where that is written down. */
export interface BenchRow {
  name: string;
  value: number;
  unit: string;
  must?: number;
  aim?: number;
}

/** A table for a person. */
export function asTable(rows: readonly BenchRow[]): string {
  const cells = rows.map((row) => [
    row.name,
    shown(row.value),
    row.unit,
    goal("must", row.must),
    goal("aim", row.aim),
  ]);
  const widths = [0, 1, 2, 3, 4].map((i) => Math.max(...cells.map((cell) => cell[i]?.length ?? 0)));
  const line = (cell: readonly string[]) =>
    cell.map((text, i) => (i === 1 ? text.padStart(widths[i] ?? 0) : text.padEnd(widths[i] ?? 0))).join("  ");
  return `${cells.map((cell) => line(cell).trimEnd()).join("\n")}\n`;
}

function shown(value: number): string {
  return value >= 100 ? value.toFixed(0) : value.toPrecision(3);
}

function goal(word: string, value: number | undefined): string {
  return value === undefined ? "" : `${word} ${value}`;
}

/** Prints the table, and keeps the figures in build/bench/<name>.json. */
export function keep(name: string, rows: readonly BenchRow[]): void {
  process.stdout.write(`\n${asTable(rows)}\n`);
  mkdirSync("build/bench", { recursive: true });
  const about = { node: process.version, processor: cpus()[0]?.model, at: new Date().toISOString() };
  writeFileSync(`build/bench/${name}.json`, `${JSON.stringify({ ...about, rows }, null, 2)}\n`);
}
