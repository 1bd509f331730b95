/**
 * What to know or do now, in words: a headline sentence, then one of why. Never claims safety. The full guidance
 * by phase is the watch's; this is the first cut for the page.
 */
import { isActive } from "../alerts/life-cycle.ts";
import { inOrder } from "../alerts/sentences.ts";
import { rowOf } from "../alerts/table.ts";
import type { Core } from "../core.ts";

export function calloutOf(core: Core): string {
  const worst = inOrder(core.alerts).find((alert) => isActive(alert) && alert.priority !== "caution");
  if (worst !== undefined) return `${sentenceCase(rowOf(worst.key).title)}. ${worst.text}.`;
  const { stay, figures } = core.last;
  const { circle, scope } = figures;
  const lying =
    circle?.rangeM === undefined
      ? "No position to judge by."
      : `${Math.round(circle.radiusM - circle.rangeM)} m inside the circle.`;
  const rode =
    scope.now === undefined || scope.target === undefined
      ? "Rode out not told."
      : `${scope.now.toFixed(1)} to 1, want ${Number(scope.target.toFixed(1))}.`;
  switch (stay.phase) {
    case "underway":
      return "Under way. No watch kept until the anchor is let go.";
    case "let-go":
      return `Anchor let go. ${rode}`;
    case "riding":
      return `Riding. ${lying} ${rode}`;
    case "weighing":
      return `Weighing. ${circle?.rangeM === undefined ? "No position to steer by." : `Anchor ${Math.round(circle.rangeM)} m.`}`;
  }
}

function sentenceCase(title: string): string {
  return title.charAt(0) + title.slice(1).toLowerCase();
}
