/**
 * A boat riding in a breeze, as sentences through the core, whose sensors fail at a set second: lost, frozen or
 * jumping. In: which sensors fail and how; out: what was alarmed, how soon.
 */
import { readConfig } from "../../src/config/read.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { advance, begin, type Core, type CoreSettings } from "../../src/core.ts";
import { seal } from "../../src/nmea/seal.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import type { Second } from "../../src/rehearsal/rehearsal.ts";
import { rehearsalOf } from "../../src/rehearsal/scenes.ts";
import { SOURCE } from "../../src/rehearsal/sentences.ts";

export const SENSORS = ["position", "depth", "wind", "heading"] as const;
export const FAULTS = ["lost", "frozen", "jumping"] as const;
export type Sensor = (typeof SENSORS)[number];
/** `held`: a receiver that repeats place and speed while its clock runs on. */
export type FaultKind = (typeof FAULTS)[number] | "held";
export interface Failing {
  sensor: Sensor;
  fault: FaultKind;
}

export interface Raised {
  key: string;
  priority: string;
  /** Seconds after the sensors began to fail. */
  afterS: number;
}

/** She was brought up at 566 s. */
const FAILS_AT_S = 1200;
const WATCHED_S = 150;

const OF: Readonly<Record<string, Sensor>> = {
  RMC: "position",
  GGA: "position",
  VTG: "position",
  DPT: "depth",
  MWV: "wind",
  HDG: "heading",
  VHW: "heading",
};

export interface Riding {
  settings: CoreSettings;
  core: Core;
  seconds: Second[];
}

/** Once for all cases: the stay up to where the sensors fail, and the seconds after it. */
export function riding(): Riding {
  const read = readConfig(rehearsalConfig({ sentencePort: 1, displayPort: 2, pagePort: 3 }));
  if (!read.ok) throw new Error(read.problems.join("; "));
  const settings = coreSettings(read.config, { utc: "learn", ignoreOperator: false });
  const rehearsal = rehearsalOf("breeze", 1);
  if (rehearsal === undefined) throw new Error("no such scene");
  let core = begin(settings, rehearsal.startMs);
  const seconds: Second[] = [];
  for (let s = 0; s < FAILS_AT_S + WATCHED_S; s++) {
    const second = rehearsal.next();
    if (second === undefined) throw new Error("the scene is over");
    if (s >= FAILS_AT_S) seconds.push(second);
    else core = take(core, second.lines, second.atMs, settings).core;
  }
  return { settings, core, seconds };
}

function take(core: Core, lines: readonly string[], atMs: number, settings: CoreSettings) {
  let after = core;
  const changes = [];
  for (const text of lines) {
    const stamp = Number(/c:(\d+)/.exec(text)?.[1] ?? atMs);
    const advanced = advance(after, { kind: "line", text, port: SOURCE, atMs: stamp }, settings);
    after = advanced.core;
    changes.push(...advanced.changes);
  }
  // Silence passes time as well.
  const ticked = advance(after, { kind: "tick", atMs: atMs + 1000 }, settings);
  changes.push(...ticked.changes);
  return { core: ticked.core, changes };
}

export interface Watched {
  core: Core;
  /** The first time that each alert was raised, and each time that it rose in priority. */
  raised: Raised[];
}

/** The rest of the time with its lines changed on the way in; stamps stay as they are. */
export function watched(from: Riding, change: (line: string, s: number) => string[]): Watched {
  let core = structuredClone(from.core);
  const raised = new Map<string, Raised>();
  for (const [s, second] of from.seconds.entries()) {
    const lines = second.lines.flatMap((line) => change(line, s));
    const taken = take(core, lines, second.atMs, from.settings);
    core = taken.core;
    for (const { key, priority, status, changedMs } of taken.changes) {
      if (status === "normal" || status === "rectified") continue;
      const id = `${key} ${priority}`;
      const afterS = Math.round((changedMs - (from.seconds[0]?.atMs ?? 0)) / 1000);
      if (!raised.has(id)) raised.set(id, { key, priority, afterS });
    }
  }
  return { core, raised: [...raised.values()] };
}

export function failing(from: Riding, faults: readonly Failing[]): Raised[] {
  const last = new Map<string, string[]>();
  return watched(from, (line, s) => failed(line, faults, last, s)).raised;
}

function failed(line: string, faults: readonly Failing[], last: Map<string, string[]>, s: number): string[] {
  const at = line.lastIndexOf("$");
  const body = line.slice(at + 1, line.lastIndexOf("*"));
  const id = body.slice(2, 5);
  const fault = faults.find(({ sensor }) => sensor === OF[id])?.fault;
  if (fault === undefined) return [line];
  if (fault === "lost") return [];
  const fields = body.split(",");
  const changed = fault === "jumping" ? jumping(id, fields, s) : frozen(id, fields, last, fault === "held");
  return [line.slice(0, at) + seal(changed.join(","))];
}

/** The values of the first failing second again and again; a receiver that hangs repeats its time as well. */
function frozen(id: string, fields: string[], last: Map<string, string[]>, clockRuns: boolean): string[] {
  const kept = last.get(id) ?? fields;
  last.set(id, kept);
  const timed = clockRuns && (id === "RMC" || id === "GGA");
  return kept.map((field, i) => (timed && i === 1 ? (fields[1] ?? "") : field));
}

/** Every other second something else: 147 m north, 0.5 m of water, a gale from abeam, another 90 degrees. */
function jumping(id: string, fields: string[], s: number): string[] {
  if (s % 2 === 0) return fields;
  const put = (i: number, value: string) => fields.map((field, k) => (k === i ? value : field));
  switch (id) {
    case "RMC":
      return put(3, northward(fields[3]));
    case "GGA":
      return put(2, northward(fields[2]));
    case "DPT":
      return put(1, "0.1");
    case "MWV":
      return put(3, "48.0").map((field, k) => (k === 1 ? "90.0" : field));
    case "HDG":
      return put(1, turned(fields[1]));
    case "VHW":
      return put(1, turned(fields[1])).map((field, k) => (k === 3 ? turned(fields[3]) : field));
    default:
      return fields;
  }
}

function northward(latitude = ""): string {
  return (Number(latitude) + 147 / 1852).toFixed(4).padStart(9, "0");
}

function turned(deg = ""): string {
  return ((Number(deg) + 90) % 360).toFixed(1);
}
