/**
 * One quantity from several sources: which reading is believed. In: readings with source and time; out: the
 * chosen one, or nothing when all are stale. Fails over at once; goes back to a better source only after that
 * has been alive for the fall-back time, so a flapping receiver does not flap the picture.
 */

export interface Reading<T> {
  value: T;
  /** `port/talker`. */
  source: string;
  atMs: number;
  /** Since when it has been arriving without a stale gap. */
  sinceMs: number;
  /** Order among the sentences of one source that tell the same thing; 0 is best. */
  kind: number;
  /** How many were heard in that second. */
  count: number;
}

/** What readings of one source and kind in one second make together: the `n`-th added to those before it. */
export type Together<T> = (before: T, next: T, n: number) => T;

export interface Channel<T> {
  readings: Record<string, Reading<T>>;
  using: string | undefined;
}

export interface Known<T> {
  value: T;
  source: string;
  atMs: number;
}

/** How one quantity chooses: order of trust, when a reading is stale, and when to go back to a better one. */
export interface Choice {
  order: readonly string[];
  staleMs: number;
  fallBackMs: number;
}

/** A wire can invent talkers without end; memory is kept to this many sources a quantity. */
const MOST_SOURCES = 16;

/** Keys made once: joining texts for every reading costs more than all else in here. */
const keys = new Map<string, string[]>();
const MOST_KEYS = 256;

/** Where a source's readings of one kind stand in a channel. */
export function keyOf(source: string, kind: number): string {
  let ofSource = keys.get(source);
  if (ofSource === undefined) {
    if (keys.size >= MOST_KEYS) keys.clear();
    ofSource = [];
    keys.set(source, ofSource);
  }
  ofSource[kind] ??= `${source}#${kind}`;
  return ofSource[kind];
}

export function emptyChannel<T>(): Channel<T> {
  return { readings: {}, using: undefined };
}

/**
 * Takes a reading in. A reading older than what is there changes nothing. Of several in one second the last
 * stands, or what `together` makes of them: sentences come in the order of their text, so the last alone would
 * always be the greatest.
 */
export function put<T>(
  channel: Channel<T>,
  source: string,
  kind: number,
  value: T,
  atMs: number,
  staleMs: number,
  together?: Together<T>,
): void {
  const key = keyOf(source, kind);
  const before = channel.readings[key];
  if (before !== undefined && atMs < before.atMs) return;
  const unbroken = before !== undefined && atMs - before.atMs <= staleMs;
  const count = before !== undefined && before.atMs === atMs ? before.count + 1 : 1;
  channel.readings[key] = {
    value: together === undefined || count === 1 || !before ? value : together(before.value, value, count),
    source,
    atMs,
    sinceMs: unbroken ? before.sinceMs : atMs,
    kind,
    count,
  };
  if (before === undefined) forgetOldest(channel);
}

/** The source in use is never forgotten: a flood of invented ones must not push it out. */
function forgetOldest<T>(channel: Channel<T>): void {
  const all = Object.keys(channel.readings);
  if (all.length <= MOST_SOURCES) return;
  const keys = all.filter((key) => key !== channel.using);
  const age = (key: string) => channel.readings[key]?.atMs ?? 0;
  const oldest = keys.reduce((a, b) => (age(b) < age(a) ? b : a));
  delete channel.readings[oldest];
}

const LOG_PORT = "log/";

function rankOf(order: readonly string[], reading: Reading<unknown>): number {
  const listed = order.findIndex((name) => reading.source === name || reading.source.startsWith(`${name}/`));
  if (listed >= 0) return listed;
  return order.length + (reading.source.startsWith(LOG_PORT) ? 1 : 0);
}

/** Negative when a is to be preferred. The last comparison only makes the choice independent of arrival. */
function compare(order: readonly string[], a: Reading<unknown>, b: Reading<unknown>): number {
  return rankOf(order, a) - rankOf(order, b) || a.kind - b.kind || (a.source < b.source ? -1 : 1);
}

/**
 * Chooses, and remembers the choice in the channel.
 * @param serves tells a reading that can be used at all; one that can't must not hide another that can
 */
export function choose<T>(
  channel: Channel<T>,
  choice: Choice,
  atMs: number,
  serves: (value: T) => boolean = always,
): Known<T> | undefined {
  const current = channel.using === undefined ? undefined : channel.readings[channel.using];
  const isHeld = current !== undefined && atMs - current.atMs <= choice.staleMs && serves(current.value);
  const held = isHeld ? current : undefined;
  let chosen = held;
  let using = held === undefined ? undefined : channel.using;
  for (const key in channel.readings) {
    const other = channel.readings[key];
    if (other === undefined || other === held || !mayReplace(other, held, choice, atMs)) continue;
    if (!serves(other.value)) continue;
    if (chosen !== undefined && compare(choice.order, other, chosen) >= 0) continue;
    chosen = other;
    using = key;
  }
  channel.using = using;
  return chosen === undefined ? undefined : { value: chosen.value, source: chosen.source, atMs: chosen.atMs };
}

function always(): boolean {
  return true;
}

/** Fresh; and where one is held already, better than that and alive for the fall-back time. */
function mayReplace(
  other: Reading<unknown>,
  held: Reading<unknown> | undefined,
  { order, staleMs, fallBackMs }: Choice,
  atMs: number,
): boolean {
  if (atMs - other.atMs > staleMs) return false;
  // Alive: heard for so long, not merely begun so long ago and not stale yet.
  const aliveMs = other.atMs - other.sinceMs;
  return held === undefined || (aliveMs >= fallBackMs && isBetterRank(order, other, held));
}

/** Better by rank or kind, not merely first by name: equals are not changed for one another. */
function isBetterRank(order: readonly string[], a: Reading<unknown>, b: Reading<unknown>): boolean {
  const rank = rankOf(order, a) - rankOf(order, b);
  return rank < 0 || (rank === 0 && a.kind < b.kind);
}
