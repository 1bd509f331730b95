/**
 * How often the PIN may be tried. Six digits last because each further wrong try costs more time than the one
 * before: at the longest overall wait, going through half of all PINs takes nearly five years.
 */
import { DAY_MS, MINUTE_MS, SECOND_MS } from "../units/time.ts";

interface Rule {
  /** Tries without a wait. */
  free: number;
  /** Wait after the last of these, doubling with each further one. */
  firstMs: number;
  longestMs: number;
}

const BY_ADDRESS: Rule = { free: 5, firstMs: 30 * SECOND_MS, longestMs: 15 * MINUTE_MS };
/** Over all addresses together, since one device can have many. Paired phones are not touched by it. */
const OVERALL: Rule = { free: 10, firstMs: 5 * SECOND_MS, longestMs: 5 * MINUTE_MS };
const FORGOTTEN_AFTER_MS = DAY_MS;
const MOST_ADDRESSES = 500;

interface Count {
  wrong: number;
  lastAtMs: number;
}

export interface Tries {
  /** Books a try as a wrong one, before it is looked at; or says how long to wait, ms, and books nothing. */
  book(address: string, nowMs: number): number | undefined;
  /** The booked try was right: all is forgiven. */
  right(address: string): void;
}

export function createTries(): Tries {
  const byAddress = new Map<string, Count>();
  let overall: Count = { wrong: 0, lastAtMs: 0 };
  return {
    book(address, nowMs) {
      const own = fresh(byAddress.get(address), nowMs);
      const all = fresh(overall, nowMs);
      const waitMs = Math.max(waitOf(own, BY_ADDRESS, nowMs), waitOf(all, OVERALL, nowMs));
      if (waitMs > 0) return waitMs;
      overall = { wrong: all.wrong + 1, lastAtMs: nowMs };
      byAddress.delete(address);
      byAddress.set(address, { wrong: own.wrong + 1, lastAtMs: nowMs });
      const [eldest] = byAddress.keys();
      if (byAddress.size > MOST_ADDRESSES && eldest !== undefined) byAddress.delete(eldest);
      return undefined;
    },
    right(address) {
      byAddress.delete(address);
      overall = { wrong: 0, lastAtMs: 0 };
    },
  };
}

function fresh(count: Count | undefined, nowMs: number): Count {
  const old = count === undefined || nowMs - count.lastAtMs > FORGOTTEN_AFTER_MS;
  return old ? { wrong: 0, lastAtMs: nowMs } : count;
}

function waitOf(count: Count, rule: Rule, nowMs: number): number {
  const over = count.wrong - rule.free;
  if (over < 0) return 0;
  const delayMs = Math.min(rule.longestMs, rule.firstMs * 2 ** over);
  // Never longer than the delay itself, should the clock have been set back.
  return Math.min(delayMs, Math.max(0, count.lastAtMs + delayMs - nowMs));
}
