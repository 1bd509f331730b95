/**
 * Persistence and hysteresis of a condition: on only after it has held so long, off only after it has been
 * clear so long. A flapping input so makes one alert, not hundreds. Plain data, one per condition.
 */
export interface Latch {
  on: boolean;
  /** Since when the input has spoken for the other state; undefined while it does not. */
  turningSinceMs: number | undefined;
}

export const OFF: Latch = { on: false, turningSinceMs: undefined };

/**
 * @param truth true: the condition is there; false: clearly not; undefined: no telling (missing data, or within
 * the hysteresis), which neither raises nor clears and does not reset what has been counted.
 */
export function latch(
  before: Latch,
  truth: boolean | undefined,
  onAfterMs: number,
  offAfterMs: number,
  atMs: number,
): Latch {
  if (truth === undefined) return before;
  if (truth === before.on)
    return before.turningSinceMs === undefined ? before : { on: before.on, turningSinceMs: undefined };
  const sinceMs = before.turningSinceMs ?? atMs;
  const needMs = before.on ? offAfterMs : onAfterMs;
  return atMs - sinceMs >= needMs
    ? { on: truth, turningSinceMs: undefined }
    : { on: before.on, turningSinceMs: sinceMs };
}

/** Runs one latch among many and tells whether it is on. The given record is changed. */
export function isHeld<K extends string>(
  latches: Partial<Record<K, Latch>>,
  key: K,
  truth: boolean | undefined,
  times: { onMs: number; offMs: number },
  atMs: number,
): boolean {
  const next = latch(latches[key] ?? OFF, truth, times.onMs, times.offMs, atMs);
  latches[key] = next;
  return next.on;
}
