/**
 * The time of each line of a recorded log. In: lines in order; out: the same lines stamped, never going back.
 * Lines before the first time take that first time, so they wait here until it is known.
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

/** Logs are older than the daemon: any date of this century is taken. */
const EARLIEST_YEAR = 2001;
/** A step forward by more than this must be said by so many times in a row: one damaged date must not move the night. */
const BIG_STEP_MS = MINUTE_MS;
const CONFIRMED_BY = 3;

interface StepForward {
  toMs: number;
  times: number;
}

export interface LogClock {
  stamp(text: string): StampedLine[];
  /** False when no usable time was ever found. */
  hasTime(): boolean;
}

export function createLogClock(choice: ClockChoice, fromMs: number | undefined): LogClock {
  let nowMs = choice.kind === "lines" ? fromMs : undefined;
  let waiting: string[] = [];
  let useTags = choice.kind === "tag" ? true : undefined;
  let step: StepForward | undefined;
  let count = 0;

  /** What this line says the time is. */
  const told = (text: string): number | undefined => {
    const tagMs = choice.kind === "sentence" ? undefined : peekTag(text)?.atMs;
    if (tagMs !== undefined) useTags ??= true;
    if (useTags === true && choice.kind !== "lines") return tagMs;
    const saidMs = choice.kind === "tag" ? undefined : sentenceTime(text, nowMs);
    if (saidMs !== undefined) useTags ??= false;
    return saidMs;
  };

  const follow = (toMs: number): void => {
    if (nowMs === undefined || toMs - nowMs <= BIG_STEP_MS || useTags === true) {
      nowMs = Math.max(nowMs ?? toMs, toMs);
      step = undefined;
      return;
    }
    const agrees = step !== undefined && Math.abs(toMs - step.toMs) <= BIG_STEP_MS;
    step = { toMs, times: agrees && step !== undefined ? step.times + 1 : 1 };
    if (step.times < CONFIRMED_BY) return;
    nowMs = toMs;
    step = undefined;
  };

  return {
    stamp(text) {
      if (choice.kind === "lines" && nowMs !== undefined) {
        return [{ text, atMs: nowMs + (count++ * SECOND_MS) / choice.perSecond }];
      }
      const toMs = told(text);
      if (toMs !== undefined) follow(toMs);
      if (nowMs === undefined) {
        waiting.push(text);
        return [];
      }
      const atMs = nowMs;
      const stamped = [...waiting, text].map((one) => ({ text: one, atMs }));
      waiting = [];
      return stamped;
    },
    hasTime: () => nowMs !== undefined,
  };
}

/** RMC and ZDA with a date; GGA and GLL only once a date is known, rolled over midnight. */
function sentenceTime(text: string, nowMs: number | undefined): number | undefined {
  if (!/(RMC|ZDA|GGA|GLL),/.test(text)) return undefined;
  for (const piece of decode(text, { checksum: "required" }).pieces) {
    if (piece.kind !== "sentence") continue;
    const { sentence } = piece;
    const atMs = utcOf(sentence, EARLIEST_YEAR);
    if (atMs !== undefined) return atMs;
    if (
      nowMs !== undefined &&
      (sentence.id === "GGA" || sentence.id === "GLL") &&
      sentence.timeOfDayS !== undefined
    ) {
      return nearestDay(sentence.timeOfDayS, nowMs);
    }
  }
  return undefined;
}

function nearestDay(secondOfDay: number, nowMs: number): number {
  const atMs = midnightBefore(nowMs) + secondOfDay * SECOND_MS;
  if (atMs - nowMs > DAY_MS / 2) return atMs - DAY_MS;
  return nowMs - atMs > DAY_MS / 2 ? atMs + DAY_MS : atMs;
}
