/**
 * True UTC, kept apart from the stamps: stamps never step, this offset may. In: RMC and ZDA; out: the offset to
 * add to a stamp. A date is believed only when it is plausible (a receiver with the GPS week roll-over fault
 * is 7168 days early, one without a fix says 1980 or 2099) and three seconds in a row agree.
 */

import { calendarDay } from "../nmea/sentences/position.ts";
import type { Sentence } from "../nmea/table.ts";
import { instantOf } from "../units/time.ts";

export interface ClockState {
  offsetMs: number | undefined;
  candidateMs: number | undefined;
  agreed: number;
  /** The second of the last one that counted: several sentences of one second are one. */
  heardMs: number | undefined;
  steppedAtMs: number | undefined;
}

export const NO_CLOCK: ClockState = {
  offsetMs: undefined,
  candidateMs: undefined,
  agreed: 0,
  heardMs: undefined,
  steppedAtMs: undefined,
};

const EARLIEST_YEAR = 2024;
const LATEST_YEAR = 2079;
const AGREE_MS = 1500;
const STEP_MS = 2000;
const ENOUGH = 3;

/** UTC told by a sentence with a date; undefined when it has none or it cannot be true. */
export function utcOf(sentence: Sentence, earliestYear: number): number | undefined {
  if (sentence.id !== "RMC" && sentence.id !== "ZDA") return undefined;
  const day = sentence.id === "RMC" ? sentence.date : calendarDay(sentence);
  if (day === undefined || sentence.timeOfDayS === undefined) return undefined;
  if (day.year < earliestYear || day.year > LATEST_YEAR) return undefined;
  return instantOf(day.year, day.month, day.day, sentence.timeOfDayS);
}

export function hearClock(state: ClockState, sentence: Sentence, atMs: number): ClockState {
  const isVoid = sentence.id === "RMC" && sentence.status !== "valid";
  const utcMs = isVoid ? undefined : utcOf(sentence, EARLIEST_YEAR);
  if (utcMs === undefined) return state;
  const toldMs = utcMs - atMs;
  if (state.offsetMs !== undefined && Math.abs(toldMs - state.offsetMs) <= STEP_MS) {
    return state.candidateMs === undefined ? state : { ...state, candidateMs: undefined, agreed: 0 };
  }
  if (state.candidateMs !== undefined && state.heardMs === atMs) return state;
  const agrees = state.candidateMs !== undefined && Math.abs(toldMs - state.candidateMs) <= AGREE_MS;
  const agreed = agrees ? state.agreed + 1 : 1;
  if (agreed < ENOUGH)
    return { ...state, candidateMs: agrees ? state.candidateMs : toldMs, agreed, heardMs: atMs };
  const stepped = state.offsetMs !== undefined;
  return {
    offsetMs: toldMs,
    candidateMs: undefined,
    agreed: 0,
    heardMs: atMs,
    steppedAtMs: stepped ? atMs : state.steppedAtMs,
  };
}
