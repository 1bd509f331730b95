/** `rodeward replay`: a recorded log through the same core that runs aboard. */
import { access, constants, stat, writeFile } from "node:fs/promises";
import { dirname } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { fileProblem } from "../config/read.ts";
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
import { beforeLog, checkLetGo, type LetGoOptions, NO_FIX } from "./let-go.ts";
import { createLogClock, type StampedLine } from "./log-clock.ts";
import { logLines, nameOf, totalBytes } from "./log-lines.ts";
import { Problem } from "./problem.ts";
import { createSummary, inWords, type Summary } from "./summary.ts";

export interface ReplayOptions extends LetGoOptions {
  config: Config | undefined;
  /** Times real time; undefined: as fast as it goes. */
  speed: number | undefined;
  only: OutClass | undefined;
  jsonFile: string | undefined;
  ignoreOperator: boolean;
}

const PROGRESS_MS = 3000;

/**
 * Replays logs in order. Sentences go to `console.out` as they would have been sent, progress and one summary
 * to `console.err`. Throws a `Problem` (exit 1) for a log that is unreadable, empty or without usable times, and
 * for a summary that cannot be written.
 */
export async function replay(
  files: readonly string[],
  options: ReplayOptions,
  console: Console,
): Promise<Summary> {
  checkLetGo(options);
  if (options.jsonFile !== undefined) await checkWritable(options.jsonFile);
  const settings = coreSettings(options.config, { utc: "given", ignoreOperator: options.ignoreOperator });
  const clock = createLogClock(options.clock, options.fromMs);
  const run = createRun(settings, options, console);
  const progress = createProgress(await totalBytes(files), console);
  const play = async (stamped: readonly StampedLine[]): Promise<void> => {
    for (const line of stamped) {
      if (options.speed !== undefined) await run.pace(line.atMs, options.speed);
      run.line(line.text, line.atMs);
    }
  };
  let heard = 0;
  for await (const { lines, bytes } of logLines(files)) {
    const spoken = lines.filter((text) => !isNothing(text));
    heard += spoken.length;
    await play(spoken.flatMap((text) => clock.stamp(text)));
    progress(bytes);
  }
  await play(clock.end());
  const named = files.map(nameOf).join(", ");
  if (heard === 0) throw new Problem(`${named}: empty, no line in it`, 1);
  if (!clock.hasTime()) throw new Problem(`${named}: ${noTime(options.clock)}`, 1);
  const summary = run.end();
  if (options.config === undefined)
    console.err(
      "no configuration: boat and rode are not known, so scope is not watched; --config FILE tells them",
    );
  console.err(inWords(summary));
  if (options.jsonFile !== undefined) await writeSummary(options.jsonFile, summary);
  return summary;
}

/** Before the work, not after it. */
async function checkWritable(file: string): Promise<void> {
  const there = await stat(file).catch(() => undefined);
  try {
    if (there?.isDirectory()) throw Object.assign(new Error(file), { code: "EISDIR" });
    await access(there === undefined ? dirname(file) : file, constants.W_OK);
  } catch (error) {
    refuseSummary(file, error);
  }
}

async function writeSummary(file: string, summary: Summary): Promise<void> {
  await writeFile(file, `${JSON.stringify(summary, null, 2)}\n`).catch((error) => refuseSummary(file, error));
}

function refuseSummary(file: string, error: unknown): never {
  throw new Problem(`${file}: the summary cannot be written: ${fileProblem(error, "writable")}`, 1);
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

function noTime(clock: LetGoOptions["clock"]): string {
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

  const sayIf = (words: string | undefined): void => {
    if (words !== undefined) console.err(words);
  };
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
      if (order?.verb === "NAK") console.err(`${body} refused: ${refusal(body, order.reason)}`);
    }
  };
  return {
    async pace(atMs: number, speed: number): Promise<void> {
      startedMs ||= Date.now();
      const waitMs = (atMs - (firstMs ?? atMs)) / speed - (Date.now() - startedMs);
      if (waitMs > 0) await sleep(waitMs);
    },
    line(text: string, atMs: number): void {
      if (firstMs === undefined) sayIf(beforeLog(letGoMs, atMs));
      firstMs ??= atMs;
      lastMs = atMs;
      // The anchor is marked at a fix: at the first one from that time on.
      if (letGoMs !== undefined && atMs >= letGoMs && core?.last.picture.position !== undefined)
        giveActs(atMs);
      feed({ kind: "line", text, port: portOf(text, settings), atMs });
    },
    end(): Summary {
      if (lastMs !== undefined) feed({ kind: "tick", atMs: lastMs + SECOND_MS });
      if (letGoMs !== undefined) console.err(NO_FIX);
      return maker.summary(core, firstMs, lastMs);
    },
  };
}

/** The log may hold the acts itself: it is an exported night, or a button box was aboard. */
function refusal(body: string, reason: string | undefined): string {
  if (reason !== "phase") return reason ?? "no reason given";
  return body === "PRDW,LETGO"
    ? "the log's own acts have let go before; leave --let-go away to replay them"
    : "the log's own acts have changed the phase before";
}

/** The port a line came by: its TAG source where that names one of ours (an exported night does), else the log. */
function portOf(text: string, settings: CoreSettings): string {
  const source = text.startsWith("\\") ? peekTag(text)?.source : undefined;
  return source !== undefined && settings.ports[source] !== undefined ? source : "log";
}
