/**
 * Which sentences have gone through here lately, and where each came from: so that what we sent does not come
 * back in, and a sentence that comes by two paths goes on once. In: sentence bodies and the time; no I/O.
 */

/** Longer than a full queue of a 4800-baud line takes: an echo may have waited in another gateway's. */
export const WINDOW_MS = 10_000;
/** 10 s at 2,000 sentences a second, and some. */
const MOST_KEPT = 32_768;

const FORGET_EVERY = 256;

/** Origin of what we made ourselves. */
export const OWN = Symbol("own");

interface Passage {
  /** Port it was heard on first, or OWN. */
  origin: string | typeof OWN;
  atMs: number;
  /** It has gone out on some port, so it may come back. */
  sent: boolean;
  /** Ports that it went out on within the window, where it is ours. */
  to: ReadonlySet<string>;
}

export interface Echoes {
  /** Was this sent from here within the window, and did it come from elsewhere than `port`? */
  isEcho(body: string, port: string, nowMs: number): boolean;
  /** Was it heard within the window on another port? A sender that repeats a steady value is none. */
  isDuplicate(body: string, port: string, nowMs: number): boolean;
  /** Where a sentence that we made ourselves went within the window; undefined: it is none. */
  wentTo(body: string, nowMs: number): ReadonlySet<string> | undefined;
  /** Has it gone out so short a time ago, wherever it was heard? */
  hasJustGone(body: string, nowMs: number, withinMs: number): boolean;
  /** @param to the port that one of our own goes out on */
  note(body: string, origin: string | typeof OWN, sent: boolean, nowMs: number, to?: string): void;
  /** How many are remembered. */
  kept(): number;
}

const NOWHERE: ReadonlySet<string> = new Set();

export function createEchoes(): Echoes {
  /** In order of time: what is noted again moves to the end. */
  const passages = new Map<string, Passage>();
  const recent = (body: string, nowMs: number): Passage | undefined => {
    const passage = passages.get(body);
    return passage !== undefined && nowMs - passage.atMs <= WINDOW_MS ? passage : undefined;
  };
  let noted = 0;
  const forget = (nowMs: number): void => {
    // Now and then: a Map is slow to give up its oldest one by one.
    noted += 1;
    if (noted % FORGET_EVERY !== 0) return;
    for (const [body, { atMs }] of passages) {
      if (nowMs - atMs <= WINDOW_MS && passages.size <= MOST_KEPT) return;
      passages.delete(body);
    }
  };
  return {
    isEcho(body, port, nowMs) {
      const passage = recent(body, nowMs);
      return passage?.sent === true && passage.origin !== port;
    },
    isDuplicate(body, port, nowMs) {
      const passage = recent(body, nowMs);
      return passage !== undefined && passage.origin !== port;
    },
    wentTo(body, nowMs) {
      const passage = recent(body, nowMs);
      return passage?.origin === OWN ? passage.to : undefined;
    },
    hasJustGone(body, nowMs, withinMs) {
      const passage = recent(body, nowMs);
      return passage?.sent === true && nowMs - passage.atMs < withinMs;
    },
    note(body, origin, sent, nowMs, to) {
      const before = origin === OWN ? recent(body, nowMs)?.to : undefined;
      passages.delete(body);
      const went = to === undefined ? NOWHERE : new Set([...(before ?? NOWHERE), to]);
      passages.set(body, { origin, atMs: nowMs, sent, to: went });
      forget(nowMs);
    },
    kept: () => passages.size,
  };
}
