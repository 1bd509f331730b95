/** The big words, the line of why, and the ages of what they rest on. Pure. */
import type { BoatState, StateAlert } from "../boat-state.ts";
import { age, inUnits, plainText, type Speak } from "./wording.ts";
import { alertWords, headlines, phases } from "./words.ts";

export interface Headline {
  words: string;
  why: string;
  /** What the callout says where an alert has taken its place; empty for nothing more. */
  also: string;
  /** What to do, one line each. */
  steps: readonly string[];
  /** Taken: an alarm that somebody has acknowledged, and that goes on. */
  tone: "plain" | "good" | "warning" | "alarm" | "taken";
  /** Slow flashing is for alarms that nobody has answered. */
  flash: boolean;
}

const RANK: Readonly<Record<StateAlert["priority"], number>> = { alarm: 0, warning: 1, caution: 2 };

/** Most urgent first: by priority, those that nobody has answered before the others, then the newest. */
export function byUrgency(alerts: readonly StateAlert[]): StateAlert[] {
  const answered = (alert: StateAlert) => Number(!isUnanswered(alert));
  return [...alerts].sort(
    (a, b) =>
      RANK[a.priority] - RANK[b.priority] || answered(a) - answered(b) || (a.since < b.since ? 1 : -1),
  );
}

/** Its condition still holds, and nobody has taken it on. */
function isUnanswered(alert: StateAlert): boolean {
  return alert.state === "unacknowledged" || alert.state === "silenced";
}

/** Does it take the headline? An alarm until its condition ends, a warning until it is acknowledged. */
function leads(alert: StateAlert): boolean {
  if (alert.state === "rectified") return false;
  return alert.priority === "alarm" || (alert.priority === "warning" && isUnanswered(alert));
}

export function headlineOf(state: BoatState, speak: Speak): Headline {
  const { words, why, also, steps, tone, flash } = saidOf(state, speak);
  const own = (text: string) => inUnits(text, speak);
  return { words: own(words), why: own(why), also: own(also), steps: steps.map(own), tone, flash };
}

function saidOf(state: BoatState, speak: Speak): Headline {
  const callout = state.callout ?? "";
  const leading = byUrgency(state.alerts.filter(leads));
  // What nobody has seen yet goes before what was answered, though that be the graver.
  const worst = leading.find(isUnanswered) ?? leading[0];
  if (worst !== undefined)
    return {
      ...alertLine(worst, state, speak),
      also: orderBeside(worst, state) || graverBeside(worst, leading[0]) || calmBeside(worst, state),
      steps: stepsOf(state),
      tone: toneOf(worst),
      flash: worst.priority === "alarm" && worst.state === "unacknowledged",
    };
  const { first, rest } = cut(callout);
  const isCalm = state.guidance === null || state.guidance.callout?.priority === "quiet";
  const quiet = state.phase === "riding" && callout !== "" && state.alerts.length === 0 && isCalm;
  return {
    words: first === "" ? phases[state.phase].head : first,
    why: rest,
    also: remindersOf(state, first),
    steps: [],
    tone: quiet ? "good" : "plain",
    flash: false,
  };
}

/** What is to be remembered, beside how she lies; not what the headline says already. */
function remindersOf({ guidance }: BoatState, words: string): string {
  const texts = (guidance?.reminders ?? []).map(({ text }) => text).filter((text) => text !== words);
  return texts.length === 0 ? "" : `${texts.join(". ")}.`;
}

/** When she drags: what to do. Once weighing has begun, steering is what is needed. */
function stepsOf({ guidance, phase }: BoatState): readonly string[] {
  return phase === "weighing" ? [] : (guidance?.steps ?? []);
}

/** While an alert leads, what the watch orders meanwhile: "Steer 20 to port" is needed in an alarm too. */
function orderBeside(alert: StateAlert, state: BoatState): string {
  const { callout, guidance } = state;
  const order = guidance?.callout;
  if (order == null) return callout === null || callout.includes(alert.text) ? "" : callout;
  // When she drags the steps say it, at length.
  const isOrder = order.priority === "order" || order.priority === "urgent";
  return isOrder && stepsOf(state).length === 0 ? `${order.text}.` : "";
}

function toneOf({ priority, state }: StateAlert): Headline["tone"] {
  if (priority !== "alarm") return "warning";
  return isTaken(state) ? "taken" : "alarm";
}

function isTaken(state: StateAlert["state"]): boolean {
  return state === "acknowledged" || state === "transferred";
}

/** An alarm that somebody has taken on, and that goes on behind a new warning. */
function graverBeside(alert: StateAlert, gravest: StateAlert | undefined): string {
  if (gravest === undefined || gravest === alert) return "";
  return RANK[gravest.priority] < RANK[alert.priority]
    ? `${alertWords(gravest.key)}: ${plainText(gravest.text)}.`
    : "";
}

/** Once somebody has taken an alarm on, how she lies is worth a line again. */
function calmBeside(alert: StateAlert, state: BoatState): string {
  const callout = state.guidance?.callout;
  if (!isTaken(alert.state) || callout == null || stepsOf(state).length > 0) return "";
  return callout.why === "" ? `${callout.text}.` : `${callout.text}. ${callout.why}.`;
}

/** Where the answer is a length to veer, that is the headline; else what is wrong. */
function alertLine(alert: StateAlert, state: BoatState, speak: Speak): { words: string; why: string } {
  const { outM, requiredM } = state.rode;
  const shortM = outM === null || requiredM === null ? 0 : requiredM - outM;
  const aboardM = state.drawing?.side.aboardM ?? Number.POSITIVE_INFINITY;
  if (alert.key !== "scope-short" || shortM <= 0 || (requiredM ?? 0) > aboardM)
    return { words: alertWords(alert.key), why: plainText(alert.text) };
  const { now, atHighWater, target } = state.scope;
  const least = now === null ? null : Math.min(now, atHighWater ?? now);
  const why = least === null || target === null ? alert.text : headlines.scope(least, target);
  return { words: headlines.veer(shortM, speak), why };
}

/** First sentence, and the rest: `No drag. Held 18 kn.` A point within a figure (5.9) ends no sentence. */
function cut(text: string): { first: string; rest: string } {
  const end = /\.\s+/.exec(text);
  if (end === null) return { first: text.replace(/\.$/, ""), rest: "" };
  return { first: text.slice(0, end.index), rest: text.slice(end.index + end[0].length) };
}

const NO_BREAK = "\u00a0";
const NO_BREAK_HYPHEN = "\u2011";

/** `position 1 s old (bow-gps) · depth 2 s (bus) · no wind`. `laterS`: seconds since this picture came. */
export function agesOf(state: BoatState, laterS: number): string {
  const part = (what: string, from: { ageS: number | null; source: string | null }, there: boolean) => {
    const old = !there || from.ageS === null ? "" : ` ${age(from.ageS + laterS)} old`;
    const source = !there || from.source === null ? "" : ` (${from.source})`;
    // Lines break between the parts only.
    return `${there ? "" : "no "}${what}${old}${source}`
      .replaceAll(" ", NO_BREAK)
      .replaceAll("-", NO_BREAK_HYPHEN);
  };
  return [
    part("position", state.position, state.position.lat !== null),
    part("depth", state.depth, (state.depth.surfaceM ?? state.depth.underKeelM) !== null),
    part("wind", state.wind, (state.wind.meanKn ?? state.wind.apparentKn) !== null),
  ].join(" · ");
}

/** For the narrow line: the age of what is oldest, and what is missing. */
export function shortAges({ position, depth, wind }: BoatState, laterS: number): string {
  const parts = [
    { what: "position", is: position, there: position.lat !== null },
    { what: "depth", is: depth, there: (depth.surfaceM ?? depth.underKeelM) !== null },
    { what: "wind", is: wind, there: (wind.meanKn ?? wind.apparentKn) !== null },
  ];
  const there = parts.filter((part) => part.there);
  const missing = parts.filter((part) => !part.there).map(({ what }) => `no ${what}`);
  if (there.length === 0) return headlines.noData;
  const oldestS = Math.max(...there.map(({ is }) => is.ageS ?? 0)) + laterS;
  const sources = [
    ...new Set(
      there.flatMap(({ is }) => (is.source === null ? [] : [is.source.split("/", 1)[0] ?? is.source])),
    ),
  ];
  const from = sources.length === 0 ? "" : ` · ${sources.join(", ")}`;
  return [`data ${age(oldestS)} old${from}`, ...missing].join(" · ");
}
