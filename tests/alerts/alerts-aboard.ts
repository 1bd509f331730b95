/** Alerts driven by hand: a finding each second, or none, and commands between. */
import { handleAlertCommand } from "../../src/alerts/commands.ts";
import {
  type Alert,
  type AlertStatus,
  type Alerts,
  type Command,
  command,
  NO_ALERTS,
  review,
} from "../../src/alerts/life-cycle.ts";
import { announce, repeats } from "../../src/alerts/sentences.ts";
import { encode, type Sentence } from "../../src/nmea/table.ts";
import type { AlertKey, Finding, Priority } from "../../src/watch/finding.ts";
import { sentenceIn } from "../nmea/sentence-in.ts";

/** 2026-06-15T12:35:19Z: the instant of the published check values. */
export const AT_MS = 1_781_526_919_000;

export function finding(
  key: AlertKey,
  priority: Priority = "alarm",
  text = "",
  amount: number | undefined = undefined,
): Finding {
  return { key, priority, text, amount };
}

/** Where commands come from. */
export const PORT = "displays";

const LETTERS: Readonly<Record<AlertStatus, string>> = {
  transferred: "O",
  unacknowledged: "V",
  silenced: "S",
  acknowledged: "A",
  rectified: "U",
  normal: "N",
};

export interface Life {
  alerts: Alerts;
  /** Every change so far. */
  changes: Alert[];
  /** One second with this found, `seconds` times; null: with nothing found. */
  found(one: Finding | null, seconds?: number): Life;
  /** A command `afterMs` into the second; a refusal is counted. */
  give(what: Command, afterMs?: number): Life;
  refusals: number;
  atMs: number;
  alert(): Alert | undefined;
  /** Letter of the state (N: none active) and revision. */
  state(): string;
}

/** The life of one alert from the beginning. */
export function lifeOf(key: AlertKey): Life {
  const life: Life = {
    alerts: NO_ALERTS,
    changes: [],
    refusals: 0,
    atMs: AT_MS,
    found(one, seconds = 1) {
      for (let s = 0; s < seconds; s++) {
        life.atMs += 1000;
        const reviewed = review(life.alerts, one === null ? [] : [one], life.atMs);
        life.alerts = reviewed.alerts;
        life.changes.push(...reviewed.changes);
      }
      return life;
    },
    give(what, afterMs = 0) {
      const done = command(life.alerts, key, what, PORT, life.atMs + afterMs);
      if (done === undefined) life.refusals++;
      else {
        life.alerts = done.alerts;
        life.changes.push(done.change);
      }
      return life;
    },
    alert: () => life.alerts.active[key],
    state() {
      const alert = life.alert() ?? life.changes.at(-1);
      return alert === undefined ? "N" : `${LETTERS[alert.status]}${alert.revision}`;
    },
  };
  return life;
}

/** An alert just raised. */
export function alertOf(key: AlertKey, priority: Priority, text = "", atMs = AT_MS): Alert {
  const alert = review(NO_ALERTS, [finding(key, priority, text)], atMs).changes[0];
  if (alert === undefined) throw new Error("nothing was raised");
  return alert;
}

export interface Board {
  alerts: Alerts;
  /** What has gone out: `at` in seconds from the beginning, and the sentence. */
  out: { at: number; text: string }[];
  /** Each second with these found. */
  found(findings: readonly Finding[], seconds?: number): Board;
  /** A sentence heard from a display. */
  heard(text: string): Board;
  /** Those of one formatter. */
  of(id: string): { at: number; text: string }[];
}

/** Alerts with the sentences they make, second by second as the core does it. UTC, where known, is the stamps'. */
export function boardOf(utc: "known" | "unknown" = "known"): Board {
  const utcOffsetMs = utc === "known" ? 0 : undefined;
  let atMs = AT_MS;
  const board: Board = {
    alerts: NO_ALERTS,
    out: [],
    found(findings, seconds = 1) {
      for (let s = 0; s < seconds; s++) {
        atMs += 1000;
        const reviewed = review(board.alerts, findings, atMs);
        board.alerts = reviewed.alerts;
        tell(announce(board.alerts, reviewed.changes, atMs, utcOffsetMs));
        tell(repeats(board.alerts, atMs, utcOffsetMs));
      }
      return board;
    },
    heard(text) {
      const sentence = sentenceIn(text);
      if (sentence.id !== "ACK" && sentence.id !== "ACN") throw new Error(`${text} is no command`);
      const handled = handleAlertCommand(board.alerts, sentence, PORT, atMs, utcOffsetMs);
      tell(handled);
      tell(announce(board.alerts, handled.changes, atMs, utcOffsetMs));
      return board;
    },
    of: (id) => board.out.filter(({ text }) => text.startsWith(`$II${id},`)),
  };
  const tell = ({ alerts, out }: { alerts: Alerts; out: Sentence[] }): void => {
    board.alerts = alerts;
    for (const sentence of out) board.out.push({ at: (atMs - AT_MS) / 1000, text: encode(sentence) });
  };
  return board;
}
