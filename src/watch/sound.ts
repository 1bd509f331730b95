/**
 * Saved state that came back: JSON writes what is no number as null. In: plain data; out: whether all of it still
 * is what it was. A receiver or a hold spoilt once would otherwise spoil every night after it.
 */
import type { DragState } from "./drag-state.ts";

/** No null and no figure that is none, at any depth. Plain data only. */
export function isSound(value: unknown): boolean {
  if (typeof value === "number") return Number.isFinite(value);
  if (typeof value !== "object") return true;
  return value !== null && Object.values(value).every(isSound);
}

/** What is spoilt is begun anew: the receiver as a stranger, the hold from the anchor's place. */
export function soundDrag(drag: DragState): DragState {
  if (isSound(drag)) return drag;
  return {
    ...drag,
    receivers: drag.receivers.filter(isSound),
    hold: isSound(drag.hold) ? drag.hold : undefined,
    reach: undefined,
    depthM: undefined,
    loadN: undefined,
    steadyN: undefined,
  };
}
