/**
 * The life of an alert. In: findings each second, commands when they come; out: the next states and what
 * changed. States and transitions after IMO MSC.302(87) section 7 and IEC 62923-1 (see DEVELOPERS.md).
 */
import { MINUTE_MS } from "../units/time.ts";
import type { AlertKey, Finding, Priority } from "../watch/finding.ts";
import { escalates, returns, saysMore } from "./due.ts";
import { beats, type Heartbeats } from "./heartbeat.ts";

export type AlertStatus =
  | "unacknowledged"
  | "silenced"
  | "acknowledged"
  | "transferred"
  | "rectified"
  | "normal";

export interface Alert {
  key: AlertKey;
  priority: Priority;
  status: AlertStatus;
  text: string;
  /** The text that was told with the last change; it may have gone on since. */
  toldText: string;
  raisedMs: number;
  /** When it first was of priority alarm. */
  alarmMs: number | undefined;
  changedMs: number;
  /** The last change that was not of the text alone. */
  statedMs: number;
  /** 1–99, one more at every change. */
  revision: number;
  /** 0–9, one more at each repetition of an unacknowledged alert; after 9 comes 1. */
  escalation: number;
  escalatedMs: number;
  /** Since when it has stood unacknowledged; silencing it begins that anew. */
  unseenMs: number;
  /** A warning that nobody acknowledged, and that became an alarm for it. */
  escalated: boolean;
  /** The port whose display has taken it over, while it is transferred. */
  holder: string | undefined;
  silencedMs: number | undefined;
  acknowledged: { atMs: number; amount: number | undefined } | undefined;
  amount: number | undefined;
  /** For the rhythm of the sentences. */
  sent: { alrMs: number; alfMs: number };
}

export interface Alerts {
  active: Partial<Record<AlertKey, Alert>>;
  /** Revision each alert had when it last ended, so that counters go on. */
  revisions: Partial<Record<AlertKey, number>>;
  sequence: { alf: number; alc: number; hbt: number };
  sent: { alcMs: number; hbtMs: number };
  /** By port: the display there is alive. */
  heartbeats: Heartbeats;
}

export const NO_ALERTS: Alerts = {
  active: {},
  revisions: {},
  sequence: { alf: 0, alc: 0, hbt: 0 },
  sent: { alcMs: 0, hbtMs: 0 },
  heartbeats: {},
};

const ESCALATE_MS = MINUTE_MS;
const RANK: Readonly<Record<Priority, number>> = { caution: 1, warning: 2, alarm: 3 };

/** Next after 99 is 1. */
export function nextRevision(revision: number): number {
  return revision >= 99 ? 1 : revision + 1;
}

function nextEscalation(count: number): number {
  return count >= 9 ? 1 : count + 1;
}

export function isActive(alert: Alert): boolean {
  return alert.status !== "rectified" && alert.status !== "normal";
}

function changed(alert: Alert, to: Partial<Alert>, atMs: number): Alert {
  return { ...retold({ ...alert, ...to }, atMs), statedMs: atMs };
}

function retold(alert: Alert, atMs: number): Alert {
  return { ...alert, changedMs: atMs, revision: nextRevision(alert.revision), toldText: alert.text };
}

/** One second: findings come and go, silences run out, unacknowledged alerts repeat. */
export function review(
  alerts: Alerts,
  findings: readonly Finding[],
  atMs: number,
): { alerts: Alerts; changes: Alert[] } {
  const active: Alerts["active"] = {};
  const revisions = { ...alerts.revisions };
  const changes: Alert[] = [];
  const keep = (before: Alert | undefined, after: Alert | undefined) => {
    if (after === undefined) return;
    if (before?.revision !== after.revision || before.status !== after.status) changes.push(after);
    if (after.status === "normal") revisions[after.key] = after.revision;
    else active[after.key] = after;
  };
  const found = new Map(findings.map((finding) => [finding.key, finding]));
  for (const before of Object.values(alerts.active)) {
    const finding = found.get(before.key);
    keep(
      before,
      finding === undefined ? cleared(before, atMs) : lived(before, finding, alerts.heartbeats, atMs),
    );
    found.delete(before.key);
  }
  for (const finding of found.values())
    keep(undefined, raised(finding, alerts.revisions[finding.key] ?? 0, atMs));
  return { alerts: { ...alerts, active, revisions }, changes };
}

function raised(finding: Finding, revision: number, atMs: number): Alert {
  return {
    ...finding,
    toldText: finding.text,
    // A caution needs no acknowledgement.
    status: finding.priority === "caution" ? "acknowledged" : "unacknowledged",
    raisedMs: atMs,
    alarmMs: finding.priority === "alarm" ? atMs : undefined,
    changedMs: atMs,
    statedMs: atMs,
    revision: nextRevision(revision),
    escalation: 0,
    escalatedMs: atMs,
    unseenMs: atMs,
    escalated: false,
    holder: undefined,
    silencedMs: undefined,
    acknowledged: undefined,
    sent: { alrMs: 0, alfMs: 0 },
  };
}

/** The condition has ended. An alert that nobody has seen stays as rectified until somebody has. */
function cleared(before: Alert, atMs: number): Alert {
  if (before.status === "acknowledged" || before.status === "transferred")
    return changed(before, { status: "normal", acknowledged: undefined, holder: undefined }, atMs);
  if (before.status === "rectified") return before;
  return changed(before, { status: "rectified", silencedMs: undefined }, atMs);
}

function lived(before: Alert, finding: Finding, heartbeats: Heartbeats, atMs: number): Alert {
  const { text, amount } = finding;
  const risen = before.escalated && before.status !== "rectified" && finding.priority === "warning";
  const priority = risen ? "alarm" : finding.priority;
  const alarmMs = before.alarmMs ?? (priority === "alarm" ? atMs : undefined);
  const acknowledged = reckonedFrom(before.acknowledged, amount);
  const now = { ...before, text, amount, alarmMs, acknowledged, escalated: risen };
  const rise = RANK[priority] - RANK[before.priority];
  if (rise > 0 || before.status === "rectified")
    return changed(now, { priority, ...afresh(priority, atMs) }, atMs);
  if (rise < 0)
    return changed(now, { priority, ...(priority === "caution" ? afresh(priority, atMs) : {}) }, atMs);
  if (returns(now, heartbeats, atMs)) return changed(now, afresh(priority, atMs), atMs);
  if (escalates(now, atMs)) return escalatedNow(now, atMs);
  if (before.status === "unacknowledged" && atMs - before.escalatedMs >= ESCALATE_MS) {
    return changed(now, { escalation: nextEscalation(before.escalation), escalatedMs: atMs }, atMs);
  }
  return saysMore(now, atMs) ? retold(now, atMs) : now;
}

/** Acknowledged while there was nothing to measure by: going on is reckoned from the first amount that is known. */
function reckonedFrom(seen: Alert["acknowledged"], amount: number | undefined): Alert["acknowledged"] {
  return seen === undefined || seen.amount !== undefined ? seen : { ...seen, amount };
}

/** As on raising: a rise in priority always asks for a new acknowledgement; a caution needs none. */
function afresh(priority: Priority, atMs: number): Partial<Alert> {
  const status = priority === "caution" ? "acknowledged" : "unacknowledged";
  const since = { escalatedMs: atMs, unseenMs: atMs };
  return { status, silencedMs: undefined, acknowledged: undefined, holder: undefined, ...since };
}

function escalatedNow(alert: Alert, atMs: number): Alert {
  const to = {
    priority: "alarm" as const,
    escalated: true,
    escalation: nextEscalation(alert.escalation),
    alarmMs: alert.alarmMs ?? atMs,
  };
  return changed(alert, { ...to, ...afresh("alarm", atMs) }, atMs);
}

/** An alarm that nobody has acknowledged for so long goes to whatever was kept in reserve. */
export const RESERVE_MS = MINUTE_MS;

/** Has this stood unacknowledged so long? */
export function isUnanswered(alert: Alert, atMs: number): boolean {
  return alert.status === "unacknowledged" && atMs - alert.unseenMs >= RESERVE_MS;
}

export type Command = "acknowledge" | "silence" | "transfer";

/**
 * A command to one alert. Undefined: refused (not active, or a caution, which needs none; transfer to a display
 * that shows no heartbeat).
 * @param port where the command came from
 */
export function command(
  alerts: Alerts,
  key: AlertKey,
  what: Command,
  port: string,
  atMs: number,
): { alerts: Alerts; change: Alert } | undefined {
  const before = alerts.active[key];
  if (before === undefined || before.priority === "caution") return undefined;
  if (what === "transfer" && !beats(alerts.heartbeats, port, atMs)) return undefined;
  const change = COMMANDS[what](before, port, atMs);
  if (change === undefined) return undefined;
  const { [key]: _gone, ...rest } = alerts.active;
  const over = change.status === "normal";
  return {
    change,
    alerts: {
      ...alerts,
      active: over ? rest : { ...alerts.active, [key]: change },
      revisions: over ? { ...alerts.revisions, [key]: change.revision } : alerts.revisions,
    },
  };
}

const COMMANDS: Readonly<Record<Command, (before: Alert, port: string, atMs: number) => Alert | undefined>> =
  {
    silence: (before, _port, atMs) => silenced(before, atMs),
    acknowledge: (before, _port, atMs) => acknowledgedNow(before, atMs),
    transfer: transferred,
  };

function silenced(before: Alert, atMs: number): Alert | undefined {
  if (before.status !== "unacknowledged") return undefined;
  return changed(before, { status: "silenced", silencedMs: atMs }, atMs);
}

function acknowledgedNow(before: Alert, atMs: number): Alert | undefined {
  if (before.status === "acknowledged") return undefined;
  if (before.status === "rectified") return changed(before, { status: "normal" }, atMs);
  const acknowledged = { atMs, amount: before.amount };
  const to = { status: "acknowledged" as const, silencedMs: undefined, holder: undefined };
  return changed(before, { ...to, acknowledged }, atMs);
}

/** The display answers for it from now on, as long as its heartbeat is heard. */
function transferred(before: Alert, port: string, atMs: number): Alert | undefined {
  if (before.status === "rectified" || before.status === "transferred") return undefined;
  const acknowledged = { atMs, amount: before.amount };
  return changed(before, { status: "transferred", silencedMs: undefined, acknowledged, holder: port }, atMs);
}

/** After a restart: whatever is active is new again to whoever listens now. */
export function announcedAgain(alerts: Alerts, atMs: number): Alerts {
  const active = Object.values(alerts.active).map((alert) => {
    const again = isActive(alert) ? changed(alert, afresh(alert.priority, atMs), atMs) : alert;
    // Long ago: so that it is due at once.
    return [alert.key, { ...again, sent: { alrMs: 0, alfMs: 0 } }];
  });
  return { ...alerts, active: Object.fromEntries(active), heartbeats: {} };
}
