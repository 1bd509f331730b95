/**
 * The time of each line of a recorded log. In: lines in order; out: the same lines stamped, never going back.
 * Lines before the first time take that first time, so they wait here until it is known and confirmed.
 */
import { utcOf } from "../instruments/clock.ts";
import { peekTag } from "../nmea/frame.ts";
import { decode } from "../nmea/table.ts";
import { DAY_MS, MINUTE_MS, midnightBefore, SECOND_MS } from "../units/time.ts";

export type ClockChoice = { kind: "auto" | "tag" | "sentence" } | { kind: "lines"; perSecond: number };

export interface StampedLine {
  text: string;
  atMs: number;
}

/** Reads `--clock`; undefined when it is none of them. */
export function readClockChoice(text: string): ClockChoice | undefined {
  if (text === "auto" || text === "tag" || text === "sentence") return { kind: text };
  const perSecond = Number(/^lines:(\d+(?:\.\d+)?)$/.exec(text)?.[1]);
  return perSecond > 0 ? { kind: "lines", perSecond } : undefined;
}

export interface LogClock {
  /** This line, stamped, and with it lines that have waited for a time; none while there is no time yet. */
  stamp(text: string): StampedLine[];
  /** No line comes any more: what still waits for its time to be confirmed. */
  end(): StampedLine[];
  /** False when no usable time was ever found. */
  hasTime(): boolean;
}

/** A time and how many times in a row have been near it. */
interface Candidate {
  firstMs: number;
  lastMs: number;
  times: number;
}

/** One damaged date must not move the night: so many in a row must agree, at the start and for a big step. */
const CONFIRMED_BY = 3;
const BIG_STEP_MS = MINUTE_MS;
/** Where dates are rare, a first one is taken unconfirmed after so many lines. */
const MOST_WAITING = 1000;

function confirm(before: Candidate | undefined, toMs: number): Candidate {
  const agrees = before !== undefined && Math.abs(toMs - before.lastMs) <= BIG_STEP_MS;
  return agrees
    ? { ...before, lastMs: toMs, times: before.times + 1 }
    : { firstMs: toMs, lastMs: toMs, times: 1 };
}

/** `fromMs`: time of the first line, for "lines". */
export function createLogClock(choice: ClockChoice, fromMs: number | undefined): LogClock {
  const source = createSource(choice);
  const stepMs = choice.kind === "lines" ? SECOND_MS / choice.perSecond : 0;
  let nowMs = choice.kind === "lines" ? fromMs : undefined;
  let candidate: Candidate | undefined;
  let waiting: string[] = [];
  let since = 0;
  let count = 0;

  const follow = (toMs: number, now: number): number => {
    if (source.usesTags() || toMs - now <= BIG_STEP_MS) {
      candidate = undefined;
      return Math.max(now, toMs);
    }
    candidate = confirm(candidate, toMs);
    if (candidate.times < CONFIRMED_BY) return now;
    candidate = undefined;
    return toMs;
  };

  const stamped = (text: string, now: number): StampedLine => {
    if (stepMs > 0) return { text, atMs: now + count++ * stepMs };
    const toMs = source.timeIn(text, now);
    nowMs = toMs === undefined ? now : follow(toMs, now);
    return { text, atMs: nowMs };
  };

  /** The first time is settled: all lines so far, those before it at that time. */
  const begin = (firstMs: number): StampedLine[] => {
    const lines = waiting;
    nowMs = firstMs;
    candidate = undefined;
    waiting = [];
    return lines.map((text, i) => (i < since ? { text, atMs: firstMs } : stamped(text, nowMs ?? firstMs)));
  };

  return {
    stamp(text) {
      if (nowMs !== undefined) return [stamped(text, nowMs)];
      const toMs = source.timeIn(text, undefined);
      if (toMs !== undefined) {
        candidate = confirm(candidate, toMs);
        if (candidate.times === 1) since = waiting.length;
      }
      waiting.push(text);
      if (candidate === undefined) return [];
      const enough = source.usesTags() || candidate.times >= CONFIRMED_BY;
      return enough || waiting.length - since > MOST_WAITING ? begin(candidate.firstMs) : [];
    },
    end: () => (nowMs === undefined && candidate !== undefined ? begin(candidate.firstMs) : []),
    hasTime: () => nowMs !== undefined,
  };
}

/** Where times are taken from: the kind that is met first is kept to. */
interface TimeSource {
  timeIn(text: string, nowMs: number | undefined): number | undefined;
  usesTags(): boolean;
}

function createSource(choice: ClockChoice): TimeSource {
  let tags = choice.kind === "auto" || choice.kind === "lines" ? undefined : choice.kind === "tag";
  return {
    timeIn(text, nowMs) {
      const tagMs = tags === false ? undefined : peekTag(text)?.atMs;
      if (tagMs !== undefined) tags = true;
      if (tags === true) return tagMs;
      const saidMs = sentenceTime(text, nowMs);
      if (saidMs !== undefined) tags = false;
      return saidMs;
    },
    usesTags: () => tags === true,
  };
}

/** Logs are older than the daemon: any date of this century is taken. */
const EARLIEST_YEAR = 2001;

/** RMC and ZDA with a date; GGA and GLL only once a date is known, rolled over midnight. */
function sentenceTime(text: string, nowMs: number | undefined): number | undefined {
  if (!/(RMC|ZDA|GGA|GLL),/.test(text)) return undefined;
  for (const piece of decode(text, { checksum: "required" }).pieces) {
    if (piece.kind !== "sentence") continue;
    const { sentence } = piece;
    const atMs = utcOf(sentence, EARLIEST_YEAR);
    if (atMs !== undefined) return atMs;
    if (nowMs === undefined || (sentence.id !== "GGA" && sentence.id !== "GLL")) continue;
    if (sentence.timeOfDayS !== undefined) return nearestDay(sentence.timeOfDayS, nowMs);
  }
  return undefined;
}

function nearestDay(secondOfDay: number, nowMs: number): number {
  const atMs = midnightBefore(nowMs) + secondOfDay * SECOND_MS;
  if (atMs - nowMs > DAY_MS / 2) return atMs - DAY_MS;
  return nowMs - atMs > DAY_MS / 2 ? atMs + DAY_MS : atMs;
}
