/** Nights for the tests: a scene or lines of our own through the core into a log in a temporary directory. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setImmediate as turn } from "node:timers/promises";
import { afterAll, onTestFinished } from "vitest";
import { createSummary, type Summary } from "../../src/cli/summary.ts";
import { readConfig } from "../../src/config/read.ts";
import type { Config } from "../../src/config/schema.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { type Advance, advance, begin, type Core, type Input } from "../../src/core.ts";
import { createNightLog, type NightLog, type NightLogDeps } from "../../src/nightlog/night-log.ts";
import { peekTag } from "../../src/nmea/frame.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { rehearsalOf } from "../../src/rehearsal/scenes.ts";

export function temporary(): string {
  const path = mkdtempSync(join(tmpdir(), "rodeward-nights-"));
  onTestFinished(() => rmSync(path, { recursive: true, force: true }));
  return path;
}

/** One for a whole file of tests. */
export function temporaryForFile(): string {
  const path = mkdtempSync(join(tmpdir(), "rodeward-nights-"));
  afterAll(() => rmSync(path, { recursive: true, force: true }));
  return path;
}

export function boatConfig(): Config {
  const read = readConfig(rehearsalConfig({ sentencePort: 10001, displayPort: 10002, pagePort: 10003 }));
  if (!read.ok) throw new Error(read.problems.join("; "));
  return read.config;
}

export interface Said {
  facts: string[];
  errors: { fields: object; text: string }[];
}

export function openLog(directory: string, given: Partial<NightLogDeps> = {}): NightLog & { said: Said } {
  const said: Said = { facts: [], errors: [] };
  const log = createNightLog(directory, {
    fact: (text) => said.facts.push(text),
    log: {
      info: () => {},
      warn: () => {},
      error: (fields, text) => said.errors.push({ fields, text }),
    },
    config: JSON.stringify(boatConfig()),
    origin: "watch",
    keepRaw: true,
    keepNights: 365,
    nowMs: () => performance.now(),
    wallMs: () => 1_700_000_000_000,
    ...given,
  });
  return { ...log, said };
}

export interface Played {
  core: Core;
  summary: Summary;
  rawBytes: number;
  lastMs: number;
}

/** Folds inputs over a core as the daemon does, every advance into the log. */
export async function play(
  inputs: Iterable<Input>,
  takes: readonly ((advanced: Advance) => void)[],
  from?: Core,
): Promise<Played> {
  const settings = coreSettings(boatConfig(), { utc: "learn", ignoreOperator: false });
  const summary = createSummary();
  let core = from;
  let firstMs: number | undefined;
  let rawBytes = 0;
  let lastMs = 0;
  let count = 0;
  for (const input of inputs) {
    core ??= begin(settings, input.atMs);
    firstMs ??= input.atMs;
    lastMs = input.atMs;
    const advanced = advance(core, input, settings);
    core = advanced.core;
    summary.take(advanced);
    for (const take of takes) take(advanced);
    if (input.kind === "line") rawBytes += input.text.length + 2;
    // The log writes when the loop is free.
    if (++count % 50 === 0) await turn();
  }
  if (core === undefined) throw new Error("nothing was played");
  return { core, summary: summary.summary(core, firstMs, lastMs), rawBytes, lastMs };
}

/** The lines of a scene, stamped by their TAG blocks, which are taken off as if they had come over a wire. */
export function* sceneInputs(name: string, seconds = Number.POSITIVE_INFINITY, seed = 1): Generator<Input> {
  const rehearsal = rehearsalOf(name, seed);
  if (rehearsal === undefined) throw new Error(`no scene ${name}`);
  for (
    let second = rehearsal.next(), n = 0;
    second !== undefined && n < seconds;
    second = rehearsal.next(), n++
  )
    for (const line of second.lines) {
      const text = line.replace(/^\\[^\\]*\\/, "");
      yield { kind: "line", text, port: "rehearsal", atMs: peekTag(line)?.atMs ?? second.atMs };
    }
}
