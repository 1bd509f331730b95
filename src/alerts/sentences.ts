/**
 * Alerts as sentences, in their rhythm. In: alert states and the time; out: what is due now, and the states
 * with the sendings noted. ALR on each change and every 30 s while active; ALF on each change (a text that has
 * gone on for 15 s is one) and every 60 s while unacknowledged, which is a change too; ALC and HBT every 30 s.
 * Cautions go as ALF and ALC only: an ALR would sound on a simple display.
 */
import { text as textField } from "../nmea/field.ts";
import type { Sentence } from "../nmea/table.ts";
import { SECOND_MS, secondOfDay } from "../units/time.ts";
import { type Alert, type Alerts, isActive } from "./life-cycle.ts";
import { rowOf } from "./table.ts";

type Of<Id extends Sentence["id"]> = Extract<Sentence, { id: Id }>;

export const MAKER = "RDW";
const TALKER = "II";
const ALR_MS = 30 * SECOND_MS;
const ALC_MS = 30 * SECOND_MS;
const HBT_MS = 30 * SECOND_MS;
/** Entries of ours that fit into one ALC. */
const ENTRIES = 4;
const TITLE_ROOM = 16;
const TEXT_ROOM = 43;
const TXT_ROOM = 61;

/** As much of a text as fits once it is sent: a comma takes three places there (`^2C`). */
function fitted(text: string, room: number): string {
  let fits = text.slice(0, room);
  while (textField.write(fits).join("").length > room) fits = fits.slice(0, -1);
  return fits;
}

/** True UTC of a stamp as seconds of the day; undefined while UTC is not known. */
function utc(atMs: number, utcOffsetMs: number | undefined): number | undefined {
  return utcOffsetMs === undefined ? undefined : secondOfDay(atMs + utcOffsetMs);
}

/** For simple displays: a caution is not exceeded to them, so that one that was more ends there. */
export function alrOf(alert: Alert, utcOffsetMs: number | undefined): Of<"ALR"> {
  const row = rowOf(alert.key);
  const seen = alert.status === "acknowledged" || alert.status === "transferred" || alert.status === "normal";
  return {
    id: "ALR",
    talker: TALKER,
    timeOfDayS: utc(alert.statedMs, utcOffsetMs),
    alertId: row.alrId,
    condition: isActive(alert) && alert.priority !== "caution" ? "exceeded" : "normal",
    acknowledged: seen ? "yes" : "no",
    text: row.title,
  };
}

/** One ALF, or the pair with the second text. */
export function alfOf(alert: Alert, sequence: number, utcOffsetMs: number | undefined): Of<"ALF">[] {
  const row = rowOf(alert.key);
  const over = alert.status === "normal";
  const total = over || alert.text === "" ? 1 : 2;
  const shared = {
    id: "ALF" as const,
    talker: TALKER,
    total,
    sequence,
    maker: MAKER,
    alertId: row.alfId,
    instance: 1,
    revision: alert.revision,
    escalation: alert.escalation,
  };
  const first: Of<"ALF"> = {
    ...shared,
    number: 1,
    timeOfDayS: utc(alert.changedMs, utcOffsetMs),
    category: over ? undefined : "B",
    priority: over ? undefined : alert.priority,
    state: alert.status,
    text: row.title.slice(0, TITLE_ROOM),
  };
  if (total === 1) return [first];
  const blank = { timeOfDayS: undefined, category: undefined, priority: undefined, state: undefined };
  return [first, { ...shared, ...blank, number: 2, text: fitted(alert.text, TEXT_ROOM) }];
}

/** Highest priority first, then the newest. */
export function inOrder(alerts: Alerts): Alert[] {
  const rank = { alarm: 0, warning: 1, caution: 2 };
  return Object.values(alerts.active).sort(
    (a, b) => rank[a.priority] - rank[b.priority] || b.raisedMs - a.raisedMs,
  );
}

function alcOf(alerts: Alerts): Of<"ALC">[] {
  const all = inOrder(alerts);
  const total = Math.max(1, Math.ceil(all.length / ENTRIES));
  return Array.from({ length: total }, (_, i) => {
    const some = all.slice(i * ENTRIES, (i + 1) * ENTRIES);
    const entries = some.map((a) => ({
      maker: MAKER,
      id: rowOf(a.key).alfId,
      instance: 1,
      revision: a.revision,
    }));
    return {
      id: "ALC",
      talker: TALKER,
      total,
      number: i + 1,
      sequence: alerts.sequence.alc,
      count: some.length,
      entries,
    };
  });
}

/** What goes out for alerts that have just changed. */
export function announce(
  alerts: Alerts,
  changes: readonly Alert[],
  atMs: number,
  utcOffsetMs: number | undefined,
): { alerts: Alerts; out: Sentence[] } {
  const out: Sentence[] = [];
  let { alf } = alerts.sequence;
  const active = { ...alerts.active };
  for (const change of changes) {
    const sounding = change.priority !== "caution";
    // An ALR has no room for the text that has gone on; it would only sound again.
    const isRetold = change.statedMs !== change.changedMs;
    const isAlrDue = !isRetold && (sounding || change.sent.alrMs > 0);
    if (isAlrDue) out.push(alrOf(change, utcOffsetMs));
    out.push(...alfOf(change, alf, utcOffsetMs));
    alf = (alf + 1) % 10;
    const kept = active[change.key];
    if (kept !== undefined) active[change.key] = { ...kept, sent: sentAfter(change, isAlrDue, atMs) };
    // Anew: neither a repetition nor a text that has gone on.
    const isNew = change.status === "unacknowledged" && change.unseenMs === change.changedMs;
    if (isNew && sounding) out.push(txtOf(change));
  }
  return { alerts: { ...alerts, active, sequence: { ...alerts.sequence, alf } }, out };
}

function sentAfter({ priority, sent }: Alert, isAlrSent: boolean, atMs: number): Alert["sent"] {
  if (priority === "caution") return { alrMs: 0, alfMs: atMs };
  return { alrMs: isAlrSent ? atMs : sent.alrMs, alfMs: atMs };
}

function txtOf(alert: Alert): Of<"TXT"> {
  const text = fitted(`${rowOf(alert.key).title}: ${alert.text}`, TXT_ROOM);
  return { id: "TXT", talker: TALKER, total: 1, number: 1, identifier: rowOf(alert.key).alrId % 100, text };
}

function nothingDue(alerts: Alerts, atMs: number): boolean {
  if (atMs - alerts.sent.alcMs >= ALC_MS || atMs - alerts.sent.hbtMs >= HBT_MS) return false;
  return !Object.values(alerts.active).some((alert) => isDue(alert, atMs));
}

function isDue(alert: Alert, atMs: number): boolean {
  return alert.priority !== "caution" && isActive(alert) && atMs - alert.sent.alrMs >= ALR_MS;
}

/** What is due by the clock alone. */
export function repeats(
  alerts: Alerts,
  atMs: number,
  utcOffsetMs: number | undefined,
): { alerts: Alerts; out: Sentence[] } {
  if (nothingDue(alerts, atMs)) return { alerts, out: [] };
  const out: Sentence[] = [];
  const active = { ...alerts.active };
  for (const alert of inOrder(alerts)) {
    if (!isDue(alert, atMs)) continue;
    out.push(alrOf(alert, utcOffsetMs));
    active[alert.key] = { ...alert, sent: { ...alert.sent, alrMs: atMs } };
  }
  const sequence = { ...alerts.sequence };
  const sent = { ...alerts.sent };
  if (atMs - sent.alcMs >= ALC_MS) {
    out.push(...alcOf(alerts));
    sequence.alc = (sequence.alc + 1) % 100;
    sent.alcMs = atMs;
  }
  if (atMs - sent.hbtMs >= HBT_MS) {
    out.push({
      id: "HBT",
      talker: TALKER,
      intervalS: HBT_MS / SECOND_MS,
      status: "normal",
      sequence: sequence.hbt,
    });
    sequence.hbt = (sequence.hbt + 1) % 10;
    sent.hbtMs = atMs;
  }
  return { alerts: { ...alerts, active, sequence, sent }, out };
}

/** Everything again, on request (ACN Q). */
export function everything(
  alerts: Alerts,
  utcOffsetMs: number | undefined,
): { alerts: Alerts; out: Sentence[] } {
  let { alf } = alerts.sequence;
  const out: Sentence[] = [];
  for (const alert of inOrder(alerts)) {
    out.push(...alfOf(alert, alf, utcOffsetMs));
    alf = (alf + 1) % 10;
  }
  return { alerts: { ...alerts, sequence: { ...alerts.sequence, alf } }, out };
}
