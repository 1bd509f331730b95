/** `rodeward replay`: a recorded log through the same core that runs aboard. */
import { writeFile } from "node:fs/promises";
import { setTimeout as sleep } from "node:timers/promises";
import type { Config } from "../config/schema.ts";
import { coreSettings } from "../config/settings.ts";
import {
  type Advance,
  advance,
  begin,
  type Core,
  type CoreSettings,
  type Input,
  type Out,
  type OutClass,
} from "../core.ts";
import { peekTag } from "../nmea/frame.ts";
import { seal, tagBlock } from "../nmea/seal.ts";
import { encode } from "../nmea/table.ts";
import { SECOND_MS } from "../units/time.ts";
import type { Console } from "./console.ts";
import { type ClockChoice, createLogClock } from "./log-clock.ts";
import { logLines, totalBytes } from "./log-lines.ts";
import { Problem } from "./problem.ts";
import { createSummary, inWords, type Summary } from "./summary.ts";

export interface ReplayOptions {
  config: Config | undefined;
  clock: ClockChoice;
  fromMs: number | undefined;
  /** Times real time; undefined: as fast as it goes. */
  speed: number | undefined;
  letGoMs: number | undefined;
  rodeM: number | undefined;
  only: OutClass | undefined;
  jsonFile: string | undefined;
  ignoreOperator: boolean;
}

const PROGRESS_MS = 3000;

/**
 * Replays logs in order. Sentences go to `console.out` as they would have been sent, progress and one summary
 * to `console.err`. Throws a `Problem` (exit 1) for a log that is unreadable, empty or without usable times.
 */
export async function replay(
  files: readonly string[],
  options: ReplayOptions,
  console: Console,
): Promise<Summary> {
  const settings = coreSettings(options.config, { utc: "given", ignoreOperator: options.ignoreOperator });
  const clock = createLogClock(options.clock, options.fromMs);
  const run = createRun(settings, options, console);
  const progress = createProgress(await totalBytes(files), console);
  let heard = 0;
  for await (const { lines, bytes } of logLines(files)) {
    const spoken = lines.filter((text) => !isNothing(text));
    heard += spoken.length;
    for (const line of spoken.flatMap((text) => clock.stamp(text))) {
      if (options.speed !== undefined) await run.pace(line.atMs, options.speed);
      run.line(line.text, line.atMs);
    }
    progress(bytes);
  }
  if (heard === 0) throw new Problem(`${files.join(", ")}: empty, no line in it`, 1);
  if (!clock.hasTime()) throw new Problem(`${files.join(", ")}: ${noTime(options.clock)}`, 1);
  const summary = run.end();
  if (options.jsonFile !== undefined)
    await writeFile(options.jsonFile, `${JSON.stringify(summary, null, 2)}\n`);
  console.err(inWords(summary));
  return summary;
}

function createProgress(bytesInAll: number | undefined, console: Console): (bytes: number) => void {
  let saidMs = Date.now();
  return (bytes) => {
    if (bytesInAll === undefined || Date.now() - saidMs < PROGRESS_MS) return;
    console.err(`${Math.min(100, Math.round((100 * bytes) / bytesInAll))} % replayed`);
    saidMs = Date.now();
  };
}

function isNothing(text: string): boolean {
  return text.trim() === "" || text.startsWith("#");
}

function noTime(clock: ClockChoice): string {
  if (clock.kind === "lines") return "no date in it to start from; give --from TIME";
  return "no usable time in it; try --clock lines:N (N lines a second) with --from TIME";
}

/** One replay under way: folds lines over the core and writes what it would have sent. */
function createRun(settings: CoreSettings, options: ReplayOptions, console: Console) {
  const maker = createSummary();
  let core: Core | undefined;
  let firstMs: number | undefined;
  let lastMs: number | undefined;
  let startedMs = 0;
  let letGoMs = options.letGoMs;

  const write = (out: readonly Out[]): void => {
    for (const one of out) {
      if (options.only !== undefined && one.class !== options.only) continue;
      console.out(`${tagBlock(one.atMs, "rodeward")}${encode(one.sentence)}`);
    }
  };
  const feed = (input: Input): Advance => {
    core ??= begin(settings, input.atMs);
    const advanced = advance(core, input, settings);
    core = advanced.core;
    maker.take(advanced);
    write(advanced.out);
    return advanced;
  };
  const giveActs = (atMs: number): void => {
    letGoMs = undefined;
    const acts = [
      "PRDW,LETGO",
      ...(options.rodeM === undefined ? [] : [`PRDW,RODE,${options.rodeM.toFixed(1)},M`]),
      "PRDW,BROUGHTUP",
    ];
    for (const body of acts) {
      const { out } = feed({ kind: "line", text: seal(body), port: "shell", atMs });
      const answer = out.map((one) => one.sentence).find((sentence) => sentence.id === "PRDW");
      const order = answer?.id === "PRDW" ? answer.content?.order : undefined;
      if (order?.verb === "NAK") console.err(`${body} refused: ${order.reason}`);
    }
  };
  return {
    async pace(atMs: number, speed: number): Promise<void> {
      startedMs ||= Date.now();
      const waitMs = (atMs - (firstMs ?? atMs)) / speed - (Date.now() - startedMs);
      if (waitMs > 0) await sleep(waitMs);
    },
    line(text: string, atMs: number): void {
      firstMs ??= atMs;
      lastMs = atMs;
      // The anchor is marked at a fix: at the first one from that time on.
      if (letGoMs !== undefined && atMs >= letGoMs && core?.last.picture.position !== undefined)
        giveActs(atMs);
      feed({ kind: "line", text, port: portOf(text, settings), atMs });
    },
    end(): Summary {
      if (lastMs !== undefined) feed({ kind: "tick", atMs: lastMs + SECOND_MS });
      if (letGoMs !== undefined) console.err("--let-go: no fix from that time on, so no anchor was let go");
      return maker.summary(core, firstMs, lastMs);
    },
  };
}

/** The port a line came by: its TAG source where that names a configured port, else the log. */
function portOf(text: string, settings: CoreSettings): string {
  const source = text.startsWith("\\") ? peekTag(text)?.source : undefined;
  return source !== undefined && settings.ports[source]?.internal === false ? source : "log";
}
