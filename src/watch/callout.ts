/**
 * The one thing to say now. In: candidates in order of importance; out: one callout, held for a least time so
 * that it can be spoken and read. A more urgent one breaks in at once.
 */
import { SECOND_MS } from "../units/time.ts";
import { CALLOUTS, type CalloutKey, type CalloutPriority } from "./callout-texts.ts";

export interface Callout {
  key: CalloutKey;
  /** At most eight words. */
  text: string;
  /** One line of why; empty for nothing to add. */
  why: string;
  priority: CalloutPriority;
  sinceMs: number;
}

export interface Candidate {
  key: CalloutKey;
  figures: readonly string[];
  /** Put into words only when it is said. */
  why: string | (() => string);
}

export function candidate(
  key: CalloutKey,
  figures: readonly string[] = [],
  why: Candidate["why"] = "",
): Candidate {
  return { key, figures, why };
}

/** Least time one callout stands, unless something more urgent comes: time to speak eight words. */
export const LEAST_GAP_MS = 5 * SECOND_MS;

const RANK: Readonly<Record<CalloutPriority, number>> = { quiet: 0, routine: 1, order: 2, urgent: 3 };

/** @param candidates in order: of those with the highest priority the first is said */
export function callOut(
  before: Callout | undefined,
  candidates: readonly Candidate[],
  atMs: number,
): Callout | undefined {
  let best: Candidate | undefined;
  for (const one of candidates) {
    if (best === undefined || rankOf(one) > rankOf(best)) best = one;
  }
  if (best === undefined) return before;
  const next = said(best, atMs);
  if (before === undefined) return next;
  const isNew = next.key !== before.key || next.text !== before.text;
  if (!isNew) return { ...next, sinceMs: before.sinceMs };
  const breaksIn = RANK[next.priority] > RANK[before.priority];
  return breaksIn || atMs - before.sinceMs >= LEAST_GAP_MS ? next : before;
}

function rankOf({ key }: Candidate): number {
  return RANK[CALLOUTS[key].priority];
}

function said({ key, figures, why }: Candidate, atMs: number): Callout {
  const row = CALLOUTS[key];
  return { key, text: row.text(...figures), why: whyOf(why), priority: row.priority, sinceMs: atMs };
}

export function whyOf(why: Candidate["why"]): string {
  return typeof why === "string" ? why : why();
}
