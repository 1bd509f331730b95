/**
 * Acknowledging from outside: ACK (by ALR number) and ACN. In: alerts and a command; out: the next alerts, what
 * changed, and the refusal (ARC) where one is due. Whether the port may be believed is the caller's affair.
 */
import type { Sentence } from "../nmea/table.ts";
import { secondOfDay } from "../units/time.ts";
import { type Alert, type Alerts, type Command, command } from "./life-cycle.ts";
import { everything, MAKER } from "./sentences.ts";
import { ALERTS } from "./table.ts";

export type AlertCommand = Extract<Sentence, { id: "ACK" | "ACN" }>;
type Acn = Extract<Sentence, { id: "ACN" }>;

export interface Handled {
  alerts: Alerts;
  changes: Alert[];
  out: Sentence[];
}

const COMMANDS: Readonly<Record<string, Command>> = {
  acknowledge: "acknowledge",
  silence: "silence",
  transfer: "transfer",
};

export function handleAlertCommand(
  alerts: Alerts,
  sentence: AlertCommand,
  port: string,
  atMs: number,
  utcOffsetMs: number | undefined,
): Handled {
  if (sentence.id === "ACK") {
    const row = ALERTS.find((one) => one.alrId === sentence.alertId);
    const done = row === undefined ? undefined : command(alerts, row.key, "acknowledge", port, atMs);
    return done === undefined
      ? { alerts, changes: [], out: [] }
      : { alerts: done.alerts, changes: [done.change], out: [] };
  }
  return handleAcn(alerts, sentence, port, atMs, utcOffsetMs);
}

/** An ACN without its flag C is no command; one for another maker's alert is not for us. */
function handleAcn(
  alerts: Alerts,
  acn: Acn,
  port: string,
  atMs: number,
  utcOffsetMs: number | undefined,
): Handled {
  const nothing = { alerts, changes: [], out: [] };
  const order = acn.order;
  if (order?.isCommand !== true || order.command === undefined) return nothing;
  if (order.command === "request" && (acn.alertId ?? 0) === 0) {
    return { ...everything(alerts, utcOffsetMs), changes: [] };
  }
  if (acn.maker !== MAKER) return nothing;
  const row = ALERTS.find((one) => one.alfId === acn.alertId);
  const what = COMMANDS[order.command];
  // Acknowledging and taking over need the one instance: 0 (all) is not allowed for them.
  const oneInstance =
    acn.instance === undefined || acn.instance === 1 || (acn.instance === 0 && what === "silence");
  const done =
    row === undefined || what === undefined || !oneInstance
      ? undefined
      : command(alerts, row.key, what, port, atMs);
  if (done !== undefined) return { alerts: done.alerts, changes: [done.change], out: [] };
  if (order.command === "request") return { ...everything(alerts, utcOffsetMs), changes: [] };
  const timeOfDayS = utcOffsetMs === undefined ? undefined : secondOfDay(atMs + utcOffsetMs);
  const { alertId, instance } = acn;
  return {
    ...nothing,
    out: [{ id: "ARC", talker: "II", timeOfDayS, maker: MAKER, alertId, instance, command: order.command }],
  };
}
