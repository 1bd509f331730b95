/**
 * The whole pipeline against nmea-simple's bare parse of the same lines: only lines that it accepts, the same on
 * both sides, turn and turn about in one run. The ratio is our rate over its rate: 1 is as fast.
 */
import { readFileSync } from "node:fs";
import { parseNmeaSentence } from "nmea-simple";
import { seal } from "../../src/nmea/seal.ts";
import { advance, begin, boat, coreSettings, createLogClock, decode, encode } from "./built.ts";
import type { BenchRow } from "./row.ts";

interface Line {
  text: string;
  atMs: number;
}

const SETTINGS = coreSettings(boat(), { utc: "given", ignoreOperator: false });
const ROUNDS = 7;
const WARM = 2;
const MOST_LINES = 8000;

/** Recorded logs, and how many lines a second each has by its own times. */
const LOGS: readonly (readonly [log: string, perSecond: number])[] = [
  ["moored-geneva-2014-08-19-departure", 9],
  ["moored-geneva-2014-06-26-frozen-fix", 9],
  ["race-flensburg-2013-08-03", 9],
  ["race-leman-2008-05-21-garbage", 5],
  ["gpsd-ijsselmeer-wind-depth-heading", 34],
  ["gpsd-gnss-gst-m9n", 23],
];

/** The log's lines that nmea-simple accepts, stamped. */
function linesOf(log: string, perSecond: number): Line[] {
  const clock = createLogClock({ kind: "lines", perSecond }, Date.UTC(2026, 5, 14, 20));
  return readFileSync(`fixtures/logs/${log}.nmea`, "latin1")
    .split(/\r?\n/)
    .filter(isAccepted)
    .slice(0, MOST_LINES)
    .flatMap((text) => clock.stamp(text));
}

function isAccepted(text: string): boolean {
  try {
    parseNmeaSentence(text);
    return true;
  } catch {
    return false;
  }
}

/** An anchor is let go early on, so that all is watched. */
const ACTS = ["PRDW,LETGO", "PRDW,RODE,25.0,M", "PRDW,BROUGHTUP"].map(seal);
const LET_GO_AFTER = 600;

function runWhole(lines: readonly Line[]): number {
  let core = begin(SETTINGS, lines[0]?.atMs ?? 0);
  let sent = 0;
  const take = ({ text, atMs }: Line, port: string): void => {
    const next = advance(core, { kind: "line", text, port, atMs }, SETTINGS);
    core = next.core;
    for (const one of next.out) sent += encode(one.sentence).length;
  };
  for (const [i, line] of lines.entries()) {
    if (i === LET_GO_AFTER) for (const text of ACTS) take({ text, atMs: line.atMs }, "shell");
    take(line, "log");
  }
  return sent;
}

function runDecode(lines: readonly Line[]): number {
  let pieces = 0;
  for (const { text } of lines) pieces += decode(text, { checksum: "required" }).pieces.length;
  return pieces;
}

function runBare(lines: readonly Line[]): number {
  let fields = 0;
  for (const { text } of lines) fields += parseNmeaSentence(text).sentenceId.length;
  return fields;
}

/** CPU time, not time on the wall: other work on the machine then disturbs least. */
function cpuMs(run: () => number): number {
  const before = process.cpuUsage();
  if (!(run() > 0)) throw new Error("a side did nothing");
  const used = process.cpuUsage(before);
  return (used.user + used.system) / 1000;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
}

export function pipelineBench(): BenchRow[] {
  const totals = { whole: 0, decoded: 0, bare: 0 };
  const rows = LOGS.flatMap(([log, perSecond]): BenchRow[] => {
    const lines = linesOf(log, perSecond);
    const rounds = Array.from({ length: ROUNDS }, () => ({
      whole: cpuMs(() => runWhole(lines)),
      bare: cpuMs(() => runBare(lines)),
      decoded: cpuMs(() => runDecode(lines)),
    })).slice(WARM);
    const side = (name: keyof typeof totals) => median(rounds.map((round) => round[name]));
    for (const name of ["whole", "decoded", "bare"] as const) totals[name] += side(name);
    const us = (side("whole") * 1000) / lines.length;
    return [
      { name: `whole pipeline ÷ bare parse, ${log}`, value: side("bare") / side("whole"), unit: "×" },
      { name: `a line through it, of ${lines.length}`, value: us, unit: "µs" },
    ];
  });
  return [
    ...rows,
    {
      name: "whole pipeline ÷ nmea-simple's bare parse, all",
      value: totals.bare / totals.whole,
      unit: "×",
      must: 0.3,
      aim: 1,
    },
    {
      name: "decoding alone ÷ nmea-simple's bare parse, all",
      value: totals.bare / totals.decoded,
      unit: "×",
    },
  ];
}
