/** What a replay found, as one object. In: each advance of the core; out: the summary when asked. */
import type { Alert } from "../alerts/life-cycle.ts";
import { isActive } from "../alerts/life-cycle.ts";
import type { Advance, Core, Second } from "../core.ts";
import { sumOf } from "../nmea/counts.ts";
import { toKn } from "../units/speed.ts";
import { formatInstant } from "../units/time.ts";
import type { Priority } from "../watch/finding.ts";
import { isDown } from "../watch/state.ts";

interface AlertEntry {
  key: string;
  priority: Priority;
  raisedAt: string;
  alarmAt: string | null;
  clearedAt: string | null;
  text: string;
}

interface Range {
  min: number | null;
  max: number | null;
}

export interface Summary {
  from: string | null;
  to: string | null;
  lines: number;
  accepted: number;
  refused: Record<string, number>;
  tagDropped: number;
  overLong: number;
  anchor: { lat: number; lon: number; uncertaintyM: number } | null;
  rodeM: number | null;
  alerts: AlertEntry[];
  phases: { phase: string; from: string }[];
  conditions: { depthM: Range; windKn: { mean: number | null; gust: number | null }; scope: Range };
}

export interface SummaryMaker {
  take(advanced: Advance): void;
  summary(core: Core | undefined, fromMs: number | undefined, toMs: number | undefined): Summary;
}

const RANK = { caution: 1, warning: 2, alarm: 3 };

export function createSummary(): SummaryMaker {
  const alerts: AlertEntry[] = [];
  const open = new Map<string, AlertEntry>();
  const phases: Summary["phases"] = [];
  const depthM: Range = { min: null, max: null };
  const scope: Range = { min: null, max: null };
  const wind: { mean: number | null; gust: number | null } = { mean: null, gust: null };
  let anchor: Summary["anchor"] = null;
  let rodeM: number | null = null;

  const takeChange = (alert: Alert): void => {
    const at = formatInstant(alert.changedMs);
    const before = open.get(alert.key);
    if (!isActive(alert)) {
      if (before !== undefined) before.clearedAt = at;
      open.delete(alert.key);
      return;
    }
    const entry = before ?? {
      key: alert.key,
      priority: alert.priority,
      raisedAt: at,
      alarmAt: null,
      clearedAt: null,
      text: alert.text,
    };
    if (before === undefined) alerts.push(entry);
    open.set(alert.key, entry);
    if (RANK[alert.priority] > RANK[entry.priority])
      Object.assign(entry, { priority: alert.priority, text: alert.text });
    if (alert.priority === "alarm") entry.alarmAt ??= at;
  };

  const takeSecond = ({ atMs, picture, figures, stay }: Second): void => {
    if (phases.at(-1)?.phase !== stay.phase)
      phases.push({ phase: stay.phase, from: formatInstant(stay.phaseSinceMs || atMs) });
    widen(depthM, picture.depth?.value.surfaceM);
    if (isDown(stay.phase)) widen(scope, figures.scope.now);
    if (picture.windMean !== undefined) {
      wind.mean = Math.max(wind.mean ?? 0, toKn(picture.windMean.speedMps));
      wind.gust = Math.max(wind.gust ?? 0, toKn(picture.windMean.gustMps));
    }
    if (stay.anchor !== undefined) {
      const { position, uncertaintyM } = stay.anchor;
      anchor = {
        lat: rounded(position.latDeg, 7),
        lon: rounded(position.lonDeg, 7),
        uncertaintyM: rounded(uncertaintyM, 1),
      };
    }
    if (stay.rode !== undefined) rodeM = rounded(stay.rode.lengthM, 2);
  };

  return {
    take(advanced) {
      for (const change of advanced.changes) takeChange(change);
      for (const second of advanced.seconds) takeSecond(second);
    },
    summary(core, fromMs, toMs) {
      const sum = sumOf(core?.counts ?? {});
      const refusals = Object.values(sum.refused).reduce((a, b) => a + b, 0);
      return {
        from: fromMs === undefined ? null : formatInstant(fromMs),
        to: toMs === undefined ? null : formatInstant(toMs),
        lines: sum.accepted + refusals,
        accepted: sum.accepted,
        refused: sum.refused,
        tagDropped: sum.tagDropped,
        overLong: sum.overLong,
        anchor,
        rodeM,
        alerts,
        phases,
        conditions: {
          depthM: roundedRange(depthM),
          windKn: { mean: roundedOrNull(wind.mean), gust: roundedOrNull(wind.gust) },
          scope: roundedRange(scope),
        },
      };
    },
  };
}

function widen(range: Range, value: number | undefined): void {
  if (value === undefined) return;
  range.min = Math.min(range.min ?? value, value);
  range.max = Math.max(range.max ?? value, value);
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

function roundedOrNull(value: number | null): number | null {
  return value === null ? null : rounded(value, 2);
}

function roundedRange(range: Range): Range {
  return { min: roundedOrNull(range.min), max: roundedOrNull(range.max) };
}

/** The same in a few lines for a person. */
export function inWords(summary: Summary): string {
  const refused = Object.values(summary.refused).reduce((a, b) => a + b, 0);
  const lines = [
    `${summary.from} to ${summary.to}: ${summary.lines} sentences, ${refused} refused`,
    ...summary.alerts.map(
      (a) =>
        `  ${a.raisedAt} ${a.priority} ${a.key}: ${a.text}${a.clearedAt === null ? "" : ` (until ${a.clearedAt})`}`,
    ),
  ];
  if (summary.alerts.length === 0) lines.push("  no alerts");
  return lines.join("\n");
}
