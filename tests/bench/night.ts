/** A night of ten hours replayed: the still half hour of a recorded log over and over, its time moved on. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { seal } from "../../src/nmea/seal.ts";
import { boat, replay } from "./built.ts";
import type { BenchRow } from "./row.ts";

const LOG = "fixtures/logs/moored-geneva-2014-08-19-departure.nmea";
/** Lines in which she lies still (SOURCES.md). */
const STILL = { from: 67, to: 15_100 };
const HOURS = 10;
const START_MS = Date.UTC(2026, 5, 14, 20);

/** Lines of one second each: a second ends with its RMC. */
function seconds(): string[][] {
  const lines = readFileSync(LOG, "latin1").split("\n").slice(STILL.from, STILL.to);
  const out: string[][] = [[]];
  for (const line of lines) {
    out.at(-1)?.push(line);
    if (line.includes("RMC,")) out.push([]);
  }
  return out.filter((second) => second.some((line) => line.includes("RMC,")));
}

/** The line with its time and date set; others as they are. */
function at(line: string, atMs: number): string {
  const iso = new Date(atMs).toISOString();
  const time = iso.slice(11, 19).replaceAll(":", "");
  const date = iso.slice(8, 10) + iso.slice(5, 7) + iso.slice(2, 4);
  const places = line.slice(1, line.indexOf("*")).split(",");
  if (places[0] === "IIRMC") return seal(places.with(1, time).with(9, date).join(","));
  return places[0] === "IIGLL" ? seal(places.with(5, time).join(",")) : line;
}

function nightText(): { text: string; lines: number } {
  const recorded = seconds();
  const lines = Array.from({ length: HOURS * 3600 }, (_, s) =>
    (recorded[s % recorded.length] ?? []).map((line) => at(line, START_MS + s * 1000)),
  ).flat();
  return { text: `${lines.join("\n")}\n`, lines: lines.length };
}

export async function nightBench(): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-"));
  const night = nightText();
  const file = join(folder, "night.nmea");
  writeFileSync(file, night.text, "latin1");
  try {
    const rounds: Played[] = [];
    for (let round = 0; round < 2; round++) rounds.push(await playedOnce(file));
    const best = (of: (round: Played) => number) => Math.min(...rounds.map(of));
    return [
      {
        name: `night of ${HOURS} h, ${night.lines} lines, replayed: on the wall`,
        value: best((r) => r.wallS),
        unit: "s",
        must: 5,
        aim: 2,
      },
      { name: "the same in CPU time", value: best((r) => r.cpuS), unit: "s" },
      { name: "alerts raised in it", value: rounds[0]?.alerts ?? Number.NaN, unit: "" },
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

interface Played {
  wallS: number;
  cpuS: number;
  alerts: number;
}

async function playedOnce(file: string): Promise<Played> {
  const startMs = performance.now();
  const before = process.cpuUsage();
  let printed = 0;
  const summary = await replay(
    [file],
    {
      config: boat(),
      clock: { kind: "auto" },
      fromMs: undefined,
      speed: undefined,
      letGoMs: START_MS + 60_000,
      rodeM: 25,
      only: undefined,
      jsonFile: undefined,
      ignoreOperator: false,
    },
    { out: (text) => (printed += text.length), err: () => undefined },
  );
  if (printed === 0 || summary.anchor === null) throw new Error("the night was not watched");
  const used = process.cpuUsage(before);
  return {
    wallS: (performance.now() - startMs) / 1000,
    cpuS: (used.user + used.system) / 1e6,
    alerts: summary.alerts.length,
  };
}
