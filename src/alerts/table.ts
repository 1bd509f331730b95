/**
 * Every alert, one row: the only place that knows numbers and titles. After IMO MSC.302(87) and IEC 62923-1 in
 * priorities and states; this is not a certified alert system. Identifiers above 10000 are those left to makers.
 */

import { fromKn } from "../units/speed.ts";
import { MINUTE_MS } from "../units/time.ts";
import type { AlertKey } from "../watch/finding.ts";

export interface AlertRow {
  key: AlertKey;
  /** For displays that know nothing newer than ALR. */
  alrId: number;
  alfId: number;
  /** First text: at most 16 characters. */
  title: string;
  /** When an acknowledged one comes back: after so much more of its amount (m, or m/s of wind), or after so long. */
  returnsAfter: number | undefined;
  returnsAfterMs: number | undefined;
  /** A warning that stands unacknowledged for so long becomes an alarm; undefined: it is repeated as it is. */
  escalatesAfterMs: number | undefined;
}

function alert(
  key: AlertKey,
  alrId: number,
  title: string,
  times: { returnsAfter?: number; returnsAfterMs?: number; escalatesAfterMs?: number } = {},
): AlertRow {
  return {
    key,
    alrId,
    alfId: 10_000 + alrId,
    title,
    returnsAfter: times.returnsAfter,
    returnsAfterMs: times.returnsAfterMs,
    escalatesAfterMs: times.escalatesAfterMs,
  };
}

const MOVED = { returnsAfter: 10, returnsAfterMs: 3 * MINUTE_MS };
/**
 * The longest that IEC 62923-1 is said to allow (from memory). Only what may wake a sleeper escalates; of that,
 * dragging, scope and position rise by themselves when it gets worse, so this is for the limit set by hand.
 */
const UNANSWERED = { escalatesAfterMs: 5 * MINUTE_MS };

/**
 * Seen once and grown much worse since: half a foot of water less, 8 m of rode more that is wanting, a step of the
 * wind (judgements). One tap in the first shallow must not be a silent grounding.
 */
const SHALLOWER = { returnsAfter: 0.3 };
const SHORTER = { returnsAfter: 8 };
const FARTHER = { returnsAfter: 10 };
const HARDER = { returnsAfter: fromKn(10) };

export const ALERTS: readonly AlertRow[] = [
  alert("dragging", 801, "ANCHOR DRAGGING", MOVED),
  alert("outside-circle", 802, "OUT OF CIRCLE", MOVED),
  alert("scope-short", 803, "VEER MORE RODE", SHORTER),
  alert("rode-short", 804, "PULL TOO STEEP"),
  alert("rode-spent", 805, "RODE TOO SHORT"),
  alert("shoal", 806, "SHOAL HERE", SHALLOWER),
  alert("shoal-coming", 807, "SHOAL AT LW"),
  alert("wind-over", 808, "WIND OVER LIMIT", { ...UNANSWERED, ...HARDER }),
  alert("wind-shift", 809, "WIND SHIFTED"),
  alert("position-lost", 810, "NO POSITION", { returnsAfterMs: 10 * MINUTE_MS }),
  alert("position-doubtful", 811, "FIX DOUBTFUL"),
  alert("depth-lost", 812, "NO DEPTH"),
  alert("wind-lost", 813, "NO WIND DATA"),
  alert("heading-lost", 814, "NO HEADING"),
  alert("not-brought-up", 815, "NOT BITING"),
  alert("log-failing", 816, "LOG FAILING"),
  alert("port-down", 817, "PORT DOWN"),
  alert("clock-stepped", 818, "CLOCK SET ANEW"),
  alert("supply-low", 819, "SUPPLY LOW"),
  alert("not-watching", 820, "NO WATCH KEPT"),
  alert("unheard", 821, "NO ALARM OUTPUT"),
  alert("rode-runs-out", 822, "RODE RUNS OUT", FARTHER),
];

const byKey = new Map(ALERTS.map((row) => [row.key, row]));

export function rowOf(key: AlertKey): AlertRow {
  const row = byKey.get(key);
  if (row === undefined) throw new Error(`no alert "${key}"`);
  return row;
}
