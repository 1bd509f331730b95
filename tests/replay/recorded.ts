/** Recorded logs replayed through the program's own code, each with what it needs to be replayed well. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { type ClockChoice, readClockChoice } from "../../src/cli/log-clock.ts";
import { replay } from "../../src/cli/replay.ts";
import type { Summary } from "../../src/cli/summary.ts";
import { readConfigFile } from "../../src/config/read.ts";
import type { Config } from "../../src/config/schema.ts";
import { parseInstant } from "../../src/units/time.ts";

export interface Recording {
  /** Name of its goldens: the log's, or with a word after it. */
  name: string;
  log: string;
  /** Which clock, and in `why` the reason. */
  clock: string;
  from?: string;
  letGo?: string;
  rodeM?: number;
  boat: "grey-plover" | "turnstone" | undefined;
  /** Lines left out at its start. */
  without?: number;
  /** A log of which every fifth second was kept has readings five times as old. */
  staleS?: number;
  why: string;
}

/** What each log is: fixtures/logs/SOURCES.md. None was recorded at anchor; "let go" marks a boat lying still. */
export const RECORDINGS: readonly Recording[] = [
  {
    name: "moored-geneva-2014-06-26-frozen-fix",
    log: "moored-geneva-2014-06-26-frozen-fix",
    clock: "lines:10",
    why: "the sentence clock stands still for 38 minutes while the fix hangs; ten sentences a second",
    boat: "grey-plover",
  },
  {
    name: "moored-geneva-2014-06-26-frozen-fix.on-watch",
    log: "moored-geneva-2014-06-26-frozen-fix",
    clock: "lines:10",
    without: 1100,
    why: "the same without the slide of its first fixes, so that there is a fix to let go at before it hangs",
    letGo: "2014-06-26T15:11:20Z",
    rodeM: 25,
    boat: "grey-plover",
  },
  {
    name: "moored-geneva-2014-07-22-vwr",
    log: "moored-geneva-2014-07-22-vwr",
    clock: "lines:10",
    why: "the sentence clock is torn: minute 08:02 is sent over and over, with steps of -59 s; let go while she lies still, before she sails",
    letGo: "2014-07-22T08:03Z",
    rodeM: 25,
    boat: "grey-plover",
  },
  {
    name: "moored-geneva-2014-08-19-departure",
    log: "moored-geneva-2014-08-19-departure",
    clock: "auto",
    why: "its sentence clock is true; she leaves without weighing, so the circle must see it",
    letGo: "2014-08-19T16:03Z",
    rodeM: 25,
    boat: "grey-plover",
  },
  {
    name: "race-flensburg-2013-07-31-frozen-checksums",
    log: "race-flensburg-2013-07-31-frozen-checksums",
    clock: "lines:10",
    from: "2013-07-31T13:40Z",
    why: "frozen checksums: no RMC passes, so no time is ever told; ten sentences a second",
    letGo: "2013-07-31T13:50Z",
    rodeM: 25,
    boat: "grey-plover",
  },
  {
    name: "race-flensburg-2013-08-03",
    log: "race-flensburg-2013-08-03",
    clock: "auto",
    staleS: 25,
    why: "its sentence clock is true but for one step of -1 s; let go for the last nine minutes, alongside",
    letGo: "2013-08-03T13:52Z",
    rodeM: 25,
    boat: "grey-plover",
  },
  {
    name: "race-leman-2008-05-21-garbage",
    log: "race-leman-2008-05-21-garbage",
    clock: "auto",
    why: "its sentence clock is true, with gaps; let go when she has come alongside",
    letGo: "2008-05-21T18:11:40Z",
    rodeM: 20,
    boat: "grey-plover",
  },
  {
    name: "gpsd-ijsselmeer-wind-depth-heading",
    log: "gpsd-ijsselmeer-wind-depth-heading",
    clock: "auto",
    why: "RMC and ZDA are true",
    boat: "grey-plover",
  },
  {
    name: "gpsd-sounder-dbt",
    log: "gpsd-sounder-dbt",
    clock: "lines:1",
    from: "2012-06-01T12:00Z",
    why: "no date anywhere; a DBT and a GLL every two seconds",
    letGo: "2012-06-01T12:00:30Z",
    rodeM: 60,
    boat: "turnstone",
  },
  {
    name: "gpsd-powerboat-river-dpt",
    log: "gpsd-powerboat-river-dpt",
    clock: "auto",
    why: "RMC is true; it goes back by 13 s once, and the stamps must not",
    boat: undefined,
  },
  {
    name: "gpsd-gnss-rmc-only-bad-course",
    log: "gpsd-gnss-rmc-only-bad-course",
    clock: "auto",
    why: "RMC is true, void ones too; 20 void fixes in the middle",
    letGo: "2023-12-18T22:09:55Z",
    rodeM: 30,
    boat: "grey-plover",
  },
  {
    name: "gpsd-heading-receiver-no-fix",
    log: "gpsd-heading-receiver-no-fix",
    clock: "auto",
    why: "ZDA is true although there is no fix",
    boat: "grey-plover",
  },
  {
    name: "gpsd-gnss-coldboot-corrupt",
    log: "gpsd-gnss-coldboot-corrupt",
    clock: "auto",
    why: "void RMC of a simulated receiver tell 2006, then 2010: a gap of years is not walked second by second",
    boat: undefined,
  },
];

export interface Played {
  summary: Summary;
  /** As printed, without TAG block. */
  out: { atMs: number; sentence: string }[];
  /** Alert sentences as printed, without the ones that come every 30 s whatever happens. */
  alertLines: string;
  err: string[];
}

function boatOf({ boat, staleS }: Recording): Config | undefined {
  if (boat === undefined) return undefined;
  const read = readConfigFile(`fixtures/boats/${boat}.toml`);
  if (!read.ok) throw new Error(read.problems.join("\n"));
  if (staleS === undefined) return read.config;
  return { ...read.config, stale: { position: staleS, depth: staleS, wind: staleS, heading: staleS } };
}

/** The log's path, or that of a copy without its first lines. */
function fileOf({ log, without }: Recording, folder: string): string {
  const file = `fixtures/logs/${log}.nmea`;
  if (without === undefined) return file;
  const copy = join(folder, `${log}.nmea`);
  writeFileSync(copy, readFileSync(file, "latin1").split("\n").slice(without).join("\n"), "latin1");
  return copy;
}

const instant = (text: string | undefined) => (text === undefined ? undefined : parseInstant(text));

export async function played(recording: Recording): Promise<Played> {
  const lines: string[] = [];
  const err: string[] = [];
  const folder = mkdtempSync(join(tmpdir(), "rodeward-"));
  const summary = await replay(
    [fileOf(recording, folder)],
    {
      config: boatOf(recording),
      clock: readClockChoice(recording.clock) as ClockChoice,
      fromMs: instant(recording.from),
      speed: undefined,
      letGoMs: instant(recording.letGo),
      rodeM: recording.rodeM,
      only: undefined,
      jsonFile: undefined,
      ignoreOperator: false,
    },
    { out: (text) => lines.push(text), err: (text) => err.push(text) },
  ).finally(() => rmSync(folder, { recursive: true }));
  const out = lines.map((line) => ({
    atMs: Number(/^\\c:(\d+)/.exec(line)?.[1]),
    sentence: line.replace(/^\\.*\\/, ""),
  }));
  const isRegular = ({ sentence }: { sentence: string }) => /^\$II(?:HBT|ALC|WPL|BWC|XDR)/.test(sentence);
  const alertLines = lines
    .filter((_, i) => !isRegular(out[i] ?? { sentence: "" }))
    .map((line) => `${line}\n`);
  return { summary, out, alertLines: alertLines.join(""), err };
}
