/** The big words, the line of why, and the ages of what they rest on. Pure. */
import type { BoatState, StateAlert } from "../boat-state.ts";
import { age, alertWords } from "./wording.ts";

export interface Headline {
  words: string;
  why: string;
  /** What the callout says where an alert has taken its place; empty for nothing more. */
  also: string;
  tone: "plain" | "good" | "warning" | "alarm";
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

export function headlineOf(state: BoatState): Headline {
  const callout = state.callout ?? "";
  const worst = byUrgency(state.alerts.filter(leads))[0];
  if (worst !== undefined)
    return {
      words: alertWords(worst.key),
      why: worst.text,
      also: callout.includes(worst.text) ? "" : callout,
      tone: worst.priority === "alarm" ? "alarm" : "warning",
      flash: worst.priority === "alarm" && worst.state === "unacknowledged",
    };
  const { first, rest } = cut(callout);
  const quiet = state.phase === "riding" && callout !== "" && state.alerts.length === 0;
  return {
    words: first === "" ? PHASE_WORDS[state.phase] : first,
    why: rest,
    also: "",
    tone: quiet ? "good" : "plain",
    flash: false,
  };
}

const PHASE_WORDS: Readonly<Record<BoatState["phase"], string>> = {
  underway: "Under way",
  "let-go": "Anchor let go",
  riding: "Riding",
  weighing: "Weighing",
};

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
