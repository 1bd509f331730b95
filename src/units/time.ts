/**
 * Instants are milliseconds since 1970-01-01T00:00Z as plain numbers. This file alone may use `Date`, and
 * only to read and write calendar texts: nothing here asks what time it is.
 */

export const SECOND_MS = 1000;
export const MINUTE_MS = 60 * SECOND_MS;
export const HOUR_MS = 60 * MINUTE_MS;
export const DAY_MS = 24 * HOUR_MS;

const RFC3339 = /^\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?([Zz]|[+-]\d{2}:\d{2})$/;

/** RFC 3339 text → ms; undefined when it is not one (a zone is needed: local time is a guess). */
export function parseInstant(text: string): number | undefined {
  if (!RFC3339.test(text)) return undefined;
  const atMs = Date.parse(text.replace(" ", "T"));
  return Number.isNaN(atMs) ? undefined : atMs;
}

/** ms → RFC 3339, whole seconds when there is no fraction. */
export function formatInstant(atMs: number): string {
  const text = new Date(Math.round(atMs)).toISOString();
  return text.endsWith(".000Z") ? `${text.slice(0, -5)}Z` : text;
}

/** A calendar day and seconds into it (UTC) → ms. Refuses days that do not exist (31 February). */
export function instantOf(year: number, month: number, day: number, secondOfDay: number): number | undefined {
  const midnightMs = Date.UTC(year, month - 1, day);
  const back = new Date(midnightMs);
  if (back.getUTCFullYear() !== year || back.getUTCMonth() !== month - 1 || back.getUTCDate() !== day)
    return undefined;
  return midnightMs + secondOfDay * SECOND_MS;
}

/** Start of the UTC day that holds this instant. */
export function midnightBefore(atMs: number): number {
  return Math.floor(atMs / DAY_MS) * DAY_MS;
}

export function secondOfDay(atMs: number): number {
  return (atMs - midnightBefore(atMs)) / SECOND_MS;
}

/** ms → `hhmm` with a colon, for a person. UTC. */
export function formatClock(atMs: number): string {
  return new Date(Math.floor(atMs)).toISOString().slice(11, 16);
}
