/**
 * What to know or do now, in words: a headline sentence, then one of why. An alert that asks for something comes
 * first; else it is the watch's callout. Never claims safety.
 */
import { isActive } from "../alerts/life-cycle.ts";
import { inOrder } from "../alerts/sentences.ts";
import { rowOf } from "../alerts/table.ts";
import type { Core } from "../core.ts";

export function calloutOf(core: Core): string {
  const worst = inOrder(core.alerts).find((alert) => isActive(alert) && alert.priority !== "caution");
  if (worst !== undefined) return `${sentenceCase(rowOf(worst.key).title)}. ${worst.text}.`;
  const { callout } = core.last.figures.guidance;
  if (callout === undefined) return "Under way, no watch kept.";
  // A question keeps its own mark; the point after it only ends the headline.
  return callout.why === "" ? `${callout.text}.` : `${callout.text}. ${callout.why}.`;
}

function sentenceCase(title: string): string {
  return title.charAt(0) + title.slice(1).toLowerCase();
}
