/**
 * When an alert changes by the clock alone: a silence that runs out, an alarm that comes back, a warning that
 * becomes one, a text that has gone on. In: an alert as it is now and the time; out: yes or no.
 */
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { beats, type Heartbeats } from "./heartbeat.ts";
import type { Alert } from "./life-cycle.ts";
import { rowOf } from "./table.ts";

const SILENCE_MS = 30 * SECOND_MS;
const GROWN_M = 3;
const RETOLD_MS = 15 * SECOND_MS;
const RETOLD_SEEN_MS = MINUTE_MS;

/** Is it to be unacknowledged again? */
export function returns(alert: Alert, heartbeats: Heartbeats, atMs: number): boolean {
  if (alert.status === "silenced") return atMs - (alert.silencedMs ?? 0) >= SILENCE_MS;
  // The display that took it over is gone: it is nobody's now.
  if (alert.status === "transferred" && !beats(heartbeats, alert.holder, atMs)) return true;
  return (alert.status === "acknowledged" || alert.status === "transferred") && comesBack(alert, atMs);
}

/** MSC.302(87): an unacknowledged warning is repeated, or raised to an alarm; the row says which. */
export function escalates(alert: Alert, atMs: number): boolean {
  const { escalatesAfterMs } = rowOf(alert.key);
  if (escalatesAfterMs === undefined || alert.priority !== "warning") return false;
  return alert.status === "unacknowledged" && atMs - alert.unseenMs >= escalatesAfterMs;
}

/** An acknowledged alarm is not a silenced night: going further brings it back. */
function comesBack(alert: Alert, atMs: number): boolean {
  const { acknowledged, amount } = alert;
  if (acknowledged === undefined) return false;
  const { returnsAfter, returnsAfterMs } = rowOf(alert.key);
  const goneM =
    amount === undefined || acknowledged.amount === undefined ? undefined : amount - acknowledged.amount;
  if (goneM !== undefined && returnsAfter !== undefined && goneM >= returnsAfter) return true;
  if (returnsAfterMs === undefined || atMs - acknowledged.atMs < returnsAfterMs) return false;
  // By time alone only where it is still going, or where there is nothing to measure going by.
  return returnsAfter === undefined || (goneM !== undefined && goneM >= GROWN_M);
}

/** A text that goes on (metres moved) is a change too, told so often and no oftener. */
export function saysMore(alert: Alert, atMs: number): boolean {
  const isSeen = alert.status === "acknowledged" || alert.status === "transferred";
  return alert.text !== alert.toldText && atMs - alert.changedMs >= (isSeen ? RETOLD_SEEN_MS : RETOLD_MS);
}
