/** `rodeward nights rerun` and `import`: sentences through the core again, and a foreign log as a night of ours. */
import { setImmediate as turn } from "node:timers/promises";
import { nightConfig } from "../aboard/night-config.ts";
import type { Config } from "../config/schema.ts";
import { coreSettings } from "../config/settings.ts";
import { advance, begin, type Core, type CoreSettings } from "../core.ts";
import { createNightLog, type NightLog } from "../nightlog/night-log.ts";
import { seal } from "../nmea/seal.ts";
import type { Compared } from "../page/night-state.ts";
import { formatInstant, parseInstant } from "../units/time.ts";
import type { Console } from "./console.ts";
import { beforeLog, checkLetGo, type LetGoOptions, NO_FIX } from "./let-go.ts";
import { createLogClock } from "./log-clock.ts";
import { logLines } from "./log-lines.ts";
import { needNight, needWritable, reviewIn } from "./nights.ts";
import { Problem } from "./problem.ts";
import { compared, rerun } from "./rerun.ts";
import { type Changes, changed } from "./rerun-settings.ts";

const PROGRESS_MS = 1000;

export interface RerunWish {
  /** Undefined: the one that the night began with. */
  config: Config | undefined;
  changes: Changes;
  json: boolean;
}

export async function rerunNight(
  directory: string,
  id: number,
  wish: RerunWish,
  console: Console,
): Promise<void> {
  const review = reviewIn(directory);
  const stopping = new AbortController();
  const stop = () => stopping.abort();
  process.once("SIGINT", stop);
  try {
    const night = needNight(review, id);
    if (night.raw.lines === 0)
      throw new Problem(`night ${id} was kept without its sentences ([log] raw = false)`, 1);
    const config = wish.config ?? nightConfig(night.config);
    if (config === undefined)
      throw new Problem(`night ${id} was kept without its configuration: give --config FILE`, 1);
    const settings = coreSettings(changed(config, wish.changes), { utc: "given", ignoreOperator: false });
    let saidMs = Date.now();
    const progress = (percent: number): void => {
      if (Date.now() - saidMs < PROGRESS_MS) return;
      saidMs = Date.now();
      console.err(`${percent} %`);
    };
    const found = await rerun(review.lines(id), settings, {
      total: night.raw.lines,
      progress,
      signal: stopping.signal,
    });
    if (found === undefined) throw new Problem("ended early: nothing to compare", 1);
    const pairs = compared(night.alertList, found.alerts, parseInstant(night.letGo) ?? 0);
    if (wish.json) {
      console.out(JSON.stringify(pairs));
      return;
    }
    for (const pair of pairs) console.out(wordsFor(pair));
    if (pairs.length === 0) console.out("no alerts, then and now");
  } finally {
    process.off("SIGINT", stop);
    review.close();
  }
}

function wordsFor({ key, was, now }: Compared): string {
  const at = formatInstant(was?.raisedMs ?? now?.raisedMs ?? 0);
  if (was === null) return `${at}  would come    ${now?.priority} ${key}: ${now?.text}`;
  if (now === null) return `${at}  would not come ${was.priority} ${key}: ${was.text}`;
  const seconds = Math.round((now.raisedMs - was.raisedMs) / 1000);
  const shift = seconds === 0 ? "" : `, ${Math.abs(seconds)} s ${seconds < 0 ? "earlier" : "later"}`;
  const priority = was.priority === now.priority ? "" : `, as ${now.priority}`;
  return `${at}  the same${shift}${priority}  ${was.priority} ${key}: ${was.text}`;
}

export interface ImportOptions extends LetGoOptions {
  config: Config;
}

/** Takes logs in as a night. Throws a `Problem` when no anchor was let go in them. */
export async function importNight(
  directory: string,
  files: readonly string[],
  options: ImportOptions,
  console: Console,
): Promise<void> {
  checkLetGo(options);
  needWritable(directory);
  const { config } = options;
  const troubles: string[] = [];
  const log = createNightLog(directory, {
    fact: (text) => troubles.push(text),
    log: {
      info: () => {},
      warn: (_, text) => console.err(text),
      error: (fields, text) => console.err(`${text} ${JSON.stringify(fields)}`),
    },
    config: JSON.stringify(config),
    origin: "import",
    keepRaw: true,
    keepNights: config.log.keep_nights,
    nowMs: () => performance.now(),
    wallMs: Date.now,
  });
  try {
    const ids = await takeIn(log, files, options, console);
    if (troubles.length > 0)
      throw new Problem(`the night could not be kept: ${troubles.map(wordsOf).join("; ")}`, 1);
    if (ids.size === 0)
      throw new Problem(
        options.letGoMs === undefined
          ? "no anchor was let go in it; give --let-go TIME (and --rode LENGTH)"
          : "no night is kept",
        1,
      );
    console.out(`kept as night ${[...ids].join(", ")}`);
  } finally {
    await log.close();
  }
}

/** The words of a fact that the night log tells the watch. */
function wordsOf(fact: string): string {
  return /,[01],([^*]*)/.exec(fact)?.[1] ?? fact;
}

/** Lines between pauses in which the log is written. */
const SLICE = 500;

async function takeIn(
  log: NightLog,
  files: readonly string[],
  options: ImportOptions,
  console: Console,
): Promise<Set<number>> {
  const settings = coreSettings(options.config, { utc: "given", ignoreOperator: false });
  const clock = createLogClock(options.clock, options.fromMs);
  const feeder = createFeeder(log, settings, options, console);
  const ids = new Set<number>();
  const note = (): void => {
    log.flush();
    const id = log.currentId();
    if (id !== undefined) ids.add(id);
  };
  let count = 0;
  for await (const { lines } of logLines(files)) {
    for (const { text, atMs } of lines.flatMap((line) => clock.stamp(line))) {
      feeder.line(text, atMs);
      if (++count % SLICE !== 0) continue;
      await turn();
      const id = log.currentId();
      if (id !== undefined) ids.add(id);
    }
  }
  if (!clock.hasTime())
    throw new Problem(`${files.join(", ")}: no usable time in it; try --clock lines:N with --from TIME`, 1);
  note();
  feeder.end();
  note();
  return ids;
}

function createFeeder(log: NightLog, settings: CoreSettings, options: ImportOptions, console: Console) {
  let core: Core | undefined;
  let { letGoMs } = options;
  let lastMs: number | undefined;
  const feed = (text: string, port: string, atMs: number) => {
    core ??= begin(settings, atMs);
    const advanced = advance(core, { kind: "line", text, port, atMs }, settings);
    core = advanced.core;
    log.take(advanced);
    return advanced;
  };
  const act = (body: string, atMs: number): void => {
    const answer = feed(seal(body), "shell", atMs).out.find((one) => one.class === "acts")?.sentence;
    const order = answer?.id === "PRDW" ? answer.content?.order : undefined;
    if (order?.verb === "NAK") console.err(`${body} refused: ${order.reason}`);
  };
  return {
    line(text: string, atMs: number): void {
      const early = lastMs === undefined ? beforeLog(letGoMs, atMs) : undefined;
      if (early !== undefined) console.err(early);
      lastMs = atMs;
      // The anchor is marked at a fix: at the first one from that time on.
      if (letGoMs !== undefined && atMs >= letGoMs && core?.last.picture.position !== undefined) {
        letGoMs = undefined;
        act("PRDW,LETGO", atMs);
        if (options.rodeM !== undefined) act(`PRDW,RODE,${options.rodeM.toFixed(1)},M`, atMs);
        act("PRDW,BROUGHTUP", atMs);
      }
      feed(text, "log", atMs);
    },
    end(): void {
      if (letGoMs !== undefined) console.err(NO_FIX);
      log.endLog(lastMs ?? 0);
    },
  };
}
