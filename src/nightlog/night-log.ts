/**
 * The night log as the daemon uses it. In: every advance of the core, after its alarms are out; out: a database
 * for review, never a watch to resume (that is the state file's). It only buffers while the core is waiting:
 * writing comes after, at least every 5 s, at once for alerts, acts and phases. When the disk fails it says so,
 * keeps what it can in memory and tries again; it never throws at the watch.
 */
import { existsSync, statSync } from "node:fs";
import { basename } from "node:path";
import type { Advance } from "../core.ts";
import { seal } from "../nmea/seal.ts";
import { SECOND_MS } from "../units/time.ts";
import { type NightBuffer, waiting, written } from "./night-buffer.ts";
import { type OpenLog, openLog } from "./open-log.ts";
import { createRecorder } from "./recorder.ts";
import { NewerLogError } from "./schema.ts";
import { isDamage, logFile, setAside } from "./store.ts";
import type { Origin } from "./writer.ts";

export interface NightLogDeps {
  /** Takes the fact line that the log is failing, or works again. */
  fact(text: string): void;
  log: {
    info(fields: object, text: string): void;
    warn(fields: object, text: string): void;
    error(fields: object, text: string): void;
  };
  /** The configuration as text: a night keeps the one it began with, as it was set in use by then. */
  config: string | (() => string);
  origin: Origin;
  keepRaw: boolean;
  keepNights: number;
  /** Monotonic. */
  nowMs(): number;
  /** For the name of a damaged file that is set aside. */
  wallMs(): number;
}

export interface NightLog {
  readonly file: string;
  take(advanced: Advance): void;
  /** Writes what waits. False when the disk would not have it. */
  flush(): boolean;
  /** What was learnt of a receiver; undefined too while the log cannot be read. */
  profile(source: string): unknown;
  /** All that is known of receivers, the lately kept first; none while the log cannot be read. */
  profiles(): unknown[];
  keepProfile(source: string, profile: unknown): void;
  /** The end of an imported log, at the last stamp: its night ends there. */
  endLog(atMs: number): void;
  /** The night under way or just ended. */
  currentId(): number | undefined;
  close(): Promise<void>;
}

const EVERY_MS = 5 * SECOND_MS;
/** Never more than this waits, in the core's time. */
const LATEST_MS = 8 * SECOND_MS;
/** A log played fast, or a bus in flood, is not left to wait in memory. */
const MOST_WAITING = 2000;
const BUSY_TIMES = 4;
/** How long a damaged file set aside is said. */
const SAID_MS = 10 * 60 * SECOND_MS;

/** Opens the log; one that cannot be opened is said and tried again. */
export function createNightLog(directory: string, deps: NightLogDeps): NightLog {
  let open: OpenLog | undefined;
  let inode: number | undefined;
  let closed = false;
  let triedMs = Number.NEGATIVE_INFINITY;
  /** Core's time at the last write, and now. */
  let flushedMs = Number.NEGATIVE_INFINITY;
  let takenMs = 0;
  let pending: NodeJS.Immediate | undefined;
  /** Whether nights cut off before this start have been ended. */
  let cutOffEnded = false;
  let busyTimes = 0;
  const trouble = createTrouble(deps);

  const failed = (error: unknown): void => {
    // Another program writes for a moment: no trouble until it lasts.
    if (isBusy(error) && ++busyTimes < BUSY_TIMES) return;
    if (!isDamage(error)) {
      trouble.failing(wordsFor(error));
      return;
    }
    const damaged = open;
    open = undefined;
    void damaged?.close().catch(() => {});
    startAnew();
  };
  /** Deleted or replaced under us, it would be written to until the end and be nowhere. */
  const noticeRemoved = (): void => {
    if (open === undefined || inode === undefined || inodeOf(directory, inode) === inode) return;
    const removed = open;
    open = undefined;
    void removed.close().catch(() => {});
    for (const buffer of recorder.buffers()) buffer.id = undefined;
    trouble.removed(logFile(directory));
    triedMs = Number.NEGATIVE_INFINITY;
  };
  const startAnew = (): void => {
    try {
      const aside = existsSync(logFile(directory)) ? setAside(directory, deps.wallMs()) : undefined;
      for (const buffer of recorder.buffers()) buffer.id = undefined;
      if (aside !== undefined) trouble.setAside(aside);
      triedMs = Number.NEGATIVE_INFINITY;
    } catch (error) {
      trouble.failing(wordsFor(error));
    }
  };
  const openNow = (): OpenLog | undefined => {
    if (open !== undefined || closed || deps.nowMs() - triedMs < EVERY_MS) return open;
    triedMs = deps.nowMs();
    try {
      open = openLog(directory, deps.origin, deps.config, (error) => {
        if (error !== undefined && !closed) trouble.failing(wordsFor(error));
      });
      inode = inodeOf(directory, undefined);
    } catch (error) {
      failed(error);
    }
    return open;
  };
  const tried = <T>(work: (log: OpenLog) => T): T | undefined => {
    const log = openNow() ?? openNow();
    if (log === undefined) return undefined;
    try {
      return work(log);
    } catch (error) {
      failed(error);
      return undefined;
    }
  };

  const recorder = createRecorder(deps.keepRaw, (fromMs, letGoMs) =>
    deps.origin === "watch" ? tried((log) => log.writer.resume(fromMs, letGoMs)) : undefined,
  );
  const current = (): NightBuffer | undefined => recorder.buffers().at(-1);

  const flush = (): boolean => {
    if (pending !== undefined) clearImmediate(pending);
    pending = undefined;
    const buffers = recorder.buffers();
    if (!Number.isFinite(flushedMs) || (buffers.length === 0 && cutOffEnded)) return true;
    flushedMs = takenMs;
    noticeRemoved();
    const ok = tried((log) => {
      if (!cutOffEnded && deps.origin === "watch") log.writer.endCutOff(goingId(buffers));
      cutOffEnded = true;
      log.writer.write(buffers);
      for (const buffer of buffers) {
        written(buffer);
        if (buffer.ended !== undefined || buffer.undone) recorder.drop(buffer);
      }
      void log.sync.request();
      return true;
    });
    if (ok !== true) return false;
    busyTimes = 0;
    trouble.works();
    void open?.tidy(deps.keepNights, current).catch((error: unknown) => closed || failed(error));
    return true;
  };
  const timer = setInterval(flush, EVERY_MS);
  timer.unref();
  openNow();

  return {
    file: logFile(directory),
    take(advanced) {
      const urgent = recorder.take(advanced);
      takenMs = advanced.core.atMs;
      if (!Number.isFinite(flushedMs)) flushedMs = takenMs - EVERY_MS;
      const unkeptMs = Math.abs(takenMs - flushedMs);
      const rows = recorder.buffers().reduce((sum, buffer) => sum + waiting(buffer), 0);
      // An import runs as fast as it can, and loses nothing that its log has not.
      const due = deps.origin === "watch" && (urgent || unkeptMs >= EVERY_MS);
      if (due || rows >= MOST_WAITING) pending ??= setImmediate(flush);
      // A recorder played fast, with more than can be lost in one chunk of it.
      if (due && unkeptMs >= LATEST_MS) flush();
    },
    flush,
    profile: (source) => tried((log) => log.profiles.get(source)),
    profiles: () => tried((log) => log.profiles.all()) ?? [],
    keepProfile: (source, profile) => void tried((log) => log.profiles.put(source, profile, deps.wallMs())),
    endLog: (atMs) => recorder.end(Math.floor(atMs), "log-end"),
    currentId: () => current()?.id,
    async close() {
      clearInterval(timer);
      flush();
      closed = true;
      await open?.close();
    },
  };
}

/** The night that goes on, for the writer: those still open besides it were cut off. */
function goingId(buffers: readonly NightBuffer[]): number | undefined {
  return buffers.find((buffer) => buffer.ended === undefined)?.id;
}

/** Undefined where there is no such file; `unknown` where one may not look. */
function inodeOf(directory: string, unknown: number | undefined): number | undefined {
  try {
    return statSync(logFile(directory), { throwIfNoEntry: false })?.ino;
  } catch {
    return unknown;
  }
}

interface Trouble {
  failing(why: string): void;
  removed(file: string): void;
  setAside(file: string): void;
  works(): void;
}

/** Says each change once: to the watch as a fact, to the log in full. */
function createTrouble({ fact, log, nowMs }: NightLogDeps): Trouble {
  let said: string | undefined;
  let sayUntilMs = 0;
  // Later: the core may be in the middle of something that led here.
  const tell = (value: string) => setImmediate(() => fact(seal(`PRDW,FACT,log-failing:nights,${value}`)));
  const raise = (words: string): void => {
    if (said === words) return;
    said = words;
    tell(`1,${words}`);
  };
  return {
    failing(why) {
      if (said !== why) log.warn({ why }, "the night log cannot be written");
      raise(why);
    },
    removed(file) {
      log.error({ file }, "the night log was removed while it was written; a new one is begun");
      sayUntilMs = nowMs() + SAID_MS;
      raise("Night log was removed; begun anew");
    },
    setAside(file) {
      log.error({ file }, "the night log was damaged and is set aside; a new one is begun");
      sayUntilMs = nowMs() + SAID_MS;
      raise(`Old log damaged: ${basename(file)}`.slice(0, 43));
    },
    works() {
      if (said === undefined || nowMs() < sayUntilMs) return;
      said = undefined;
      log.info({}, "the night log is kept again");
      tell("0");
    },
  };
}

function isBusy(error: unknown): boolean {
  return error instanceof Error && "code" in error && String(error.code).startsWith("SQLITE_BUSY");
}

const WORDS: readonly (readonly [code: RegExp, words: string])[] = [
  [/^(SQLITE_FULL|ENOSPC|EDQUOT)/, "Night log: the disk is full"],
  [/^(SQLITE_READONLY|SQLITE_CANTOPEN|SQLITE_PERM|EROFS|EACCES|EPERM)/, "Night log cannot be written"],
  [/^SQLITE_BUSY/, "Night log held by another program"],
];

function wordsFor(error: unknown): string {
  if (error instanceof NewerLogError) return "Night log is of a later rodeward";
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return WORDS.find(([pattern]) => pattern.test(code))?.[1] ?? "Night log: write error";
}
