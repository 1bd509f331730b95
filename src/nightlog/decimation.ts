/**
 * Many points in few columns without losing a peak: each column of a plot keeps the least and the greatest of
 * what falls into it. In: values with times, in any order; out: two arrays, null where nothing fell.
 */

export interface Extremes {
  min: (number | null)[];
  max: (number | null)[];
}

export interface Columns {
  fromMs: number;
  /** Exclusive. */
  toMs: number;
  count: number;
}

export function columnOf({ fromMs, toMs, count }: Columns, atMs: number): number {
  return Math.min(count - 1, Math.max(0, Math.floor(((atMs - fromMs) / (toMs - fromMs)) * count)));
}

export function noExtremes(count: number): Extremes {
  return { min: Array.from({ length: count }, () => null), max: Array.from({ length: count }, () => null) };
}

/** Widens one column by a value. */
export function takeIn(extremes: Extremes, column: number, value: number | null | undefined): void {
  if (value === undefined || value === null) return;
  const { min, max } = extremes;
  const least = min[column] ?? null;
  const greatest = max[column] ?? null;
  if (least === null || value < least) min[column] = value;
  if (greatest === null || value > greatest) max[column] = value;
}
