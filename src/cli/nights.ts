/** `rodeward nights`: what was kept, as a list, a night, an export; nights replayed and foreign logs taken in. */

import { once } from "node:events";
import { accessSync, constants, existsSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { fileProblem } from "../config/read.ts";
import { type ExportKind, exportOf } from "../nightlog/exports/night-export.ts";
import { nameNight } from "../nightlog/naming.ts";
import type { NightLine } from "../nightlog/night-list.ts";
import { type Night, openReview, type Review } from "../nightlog/review.ts";
import { NewerLogError } from "../nightlog/schema.ts";
import { isDamage, isRefused, logFile } from "../nightlog/store.ts";
import { toKn } from "../units/speed.ts";
import { formatInstant } from "../units/time.ts";
import type { Console } from "./console.ts";
import { Problem } from "./problem.ts";

/** Opens the log for looking. Throws a `Problem` where nothing has been kept, or it cannot be read. */
export function reviewIn(directory: string): Review {
  const review = said(logFile(directory), () => openReview(directory));
  if (review === undefined) throw new Problem(`no night has been kept yet (nothing in ${directory})`, 1);
  return review;
}

/** Throws a `Problem` where this user may not write; whatever else is wrong with the log, its writer sees to. */
export function needWritable(directory: string): void {
  const file = logFile(directory);
  try {
    for (const path of [directory, file]) if (existsSync(path)) accessSync(path, constants.W_OK);
  } catch (error) {
    if (isRefused(error)) throw cannotBe("written", file, error);
  }
}

/** What SQLite throws, in one line for a person. */
export function said<T>(file: string, work: () => T, doing: "read" | "written" = "read"): T {
  try {
    return work();
  } catch (error) {
    throw cannotBe(doing, file, error);
  }
}

function cannotBe(doing: "read" | "written", file: string, error: unknown): Problem {
  return new Problem(`the night log ${file} cannot be ${doing}: ${whyNot(error, doing)}`, 1);
}

function whyNot(error: unknown, doing: "read" | "written"): string {
  if (error instanceof Problem || !(error instanceof Error)) throw error;
  if (error instanceof NewerLogError) return error.message;
  if (!("code" in error)) throw error;
  if (isRefused(error) && doing === "written")
    return "this user may not; sudo -u rodeward rodeward nights … may";
  if (isRefused(error))
    return "this user may not: be in the group rodeward, and where the watch is not running, sudo -u rodeward rodeward nights …";
  if (isDamage(error)) return "it is damaged; the daemon sets it aside and begins a new one";
  return error.message;
}

export function needNight(review: Review, id: number): Night {
  const night = said(review.database.name, () => review.night(id));
  if (night === undefined)
    throw new Problem(`there is no night ${id}; rodeward nights list shows those there are`, 1);
  return night;
}

export function namePlaceOf(directory: string, id: number, name: string): void {
  reviewIn(directory).close();
  if (!said(logFile(directory), () => nameNight(directory, id, name), "written"))
    throw new Problem(`there is no night ${id}; rodeward nights list shows those there are`, 1);
}

export function listNights(directory: string, console: Console): void {
  const review = reviewIn(directory);
  try {
    const rows = said(review.database.name, () => review.list()).map(cellsOf);
    console.out(table([HEADINGS, ...rows]));
  } finally {
    review.close();
  }
}

const HEADINGS = [
  "ID",
  "let go (UTC)",
  "hours",
  "place",
  "mean",
  "gust",
  "scope",
  "outside",
  "dragged",
  "alerts",
  "ended by",
];

function cellsOf(night: NightLine): string[] {
  const { lat, lon, place } = night;
  const where = lat === null || lon === null ? "" : `${lat.toFixed(4)} ${lon.toFixed(4)}`;
  return [
    String(night.id),
    night.letGo.slice(0, 16).replace("T", " ") + (night.utcKnown ? "" : "?"),
    night.hours.toFixed(1),
    place ?? where,
    figure(night.meanMps, (mps) => `${toKn(mps).toFixed(0)} kn`),
    figure(night.gustMps, (mps) => `${toKn(mps).toFixed(0)} kn`),
    figure(night.leastScope, (scope) => scope.toFixed(1)),
    figure(night.outsideM, (metres) => `${metres.toFixed(0)} m`),
    figure(night.draggedM, (metres) => `${metres.toFixed(0)} m`),
    `${night.alerts} (${night.alarms} alarms)`,
    night.ending ?? "still there",
  ];
}

function figure(value: number | null, words: (value: number) => string): string {
  return value === null ? "-" : words(value);
}

function table(rows: readonly (readonly string[])[]): string {
  const widths = HEADINGS.map((_, i) => Math.max(...rows.map((row) => row[i]?.length ?? 0)));
  return rows
    .map((row) =>
      row
        .map((cell, i) => cell.padEnd(widths[i] ?? 0))
        .join("  ")
        .trimEnd(),
    )
    .join("\n");
}

export function showNight(directory: string, id: number, json: boolean, console: Console): void {
  const review = reviewIn(directory);
  try {
    const night = needNight(review, id);
    console.out(json ? JSON.stringify(night, null, 2) : wordsFor(night));
  } finally {
    review.close();
  }
}

function wordsFor(night: Night): string {
  const { raw } = night;
  const kept =
    raw.bytes === 0
      ? "none"
      : `${raw.lines} lines, kept in ${Math.round((100 * raw.keptBytes) / raw.bytes)} % of their room`;
  return [
    table([HEADINGS, cellsOf(night)]),
    ...night.phases.map(({ atMs, phase }) => `${formatInstant(atMs)}  ${phase}`),
    ...night.acts.map(({ atMs, text, answer }) => `${formatInstant(atMs)}  ${text}  ${answer}`),
    ...night.alertList.map(
      ({ raisedMs, clearedMs, priority, key, text }) =>
        `${formatInstant(raisedMs)}  ${priority} ${key}: ${text}${clearedMs === null ? "" : ` (until ${formatInstant(clearedMs)})`}`,
    ),
    `sentences: ${kept}`,
  ].join("\n");
}

/** Writes to the file, or to standard output where none is named. */
export async function exportNight(
  directory: string,
  id: number,
  kind: ExportKind,
  file: string | undefined,
): Promise<void> {
  const review = reviewIn(directory);
  try {
    const night = needNight(review, id);
    if (kind === "nmea" && night.raw.lines === 0)
      throw new Problem(`night ${id} was kept without its sentences ([log] raw = false)`, 1);
    // Latin1 as heard; the other kinds are ASCII but for a place's name.
    const encoding = kind === "nmea" ? "latin1" : "utf8";
    const pieces = exportOf(review, night, kind);
    if (file !== undefined) await writeExport(file, pieces, encoding);
    else
      for (const piece of pieces)
        if (!process.stdout.write(piece, encoding)) await once(process.stdout, "drain");
  } finally {
    review.close();
  }
}

async function writeExport(
  file: string,
  pieces: Iterable<string>,
  encoding: "latin1" | "utf8",
): Promise<void> {
  try {
    await writeFile(file, pieces, encoding);
  } catch (error) {
    if (!(error instanceof Error && "syscall" in error)) throw error;
    throw new Problem(`${file}: the export cannot be written: ${fileProblem(error, "writable")}`, 1);
  }
}
