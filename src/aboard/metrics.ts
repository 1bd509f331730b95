/** Counters and states as Prometheus text. */

import { isActive } from "../alerts/life-cycle.ts";
import type { Core } from "../core.ts";
import { REASONS } from "../nmea/frame.ts";
import type { ForwardCounts } from "../ports/forwarding.ts";
import type { NamedPort } from "./state-of.ts";

interface Metric {
  name: string;
  type: "counter" | "gauge";
  help: string;
  values: { labels: Readonly<Record<string, string>>; value: number }[];
}

export function metricsOf(core: Core, ports: readonly NamedPort[], forwarded: ForwardCounts): string {
  const each = (of: (port: NamedPort) => number) =>
    ports.map((port) => ({ labels: { port: port.name }, value: of(port) }));
  const { figures, stay } = core.last;
  const one = (value: number | undefined) => (value === undefined ? [] : [{ labels: {}, value }]);
  const metrics: Metric[] = [
    { name: "port_lines_total", type: "counter", help: "Lines heard", values: each((p) => p.stats.lines) },
    {
      name: "port_overrun_bytes_total",
      type: "counter",
      help: "Bytes that never became a line",
      values: each((p) => p.stats.overrunBytes),
    },
    { name: "port_sent_total", type: "counter", help: "Sentences sent", values: each((p) => p.stats.sent) },
    {
      name: "port_dropped_total",
      type: "counter",
      help: "Sentences lost on the way out",
      values: each((p) => p.stats.dropped),
    },
    {
      name: "port_replaced_total",
      type: "counter",
      help: "Sentences that gave way to a newer one of their kind",
      values: each((p) => p.stats.replaced),
    },
    {
      name: "port_gaps_total",
      type: "counter",
      help: "Lines that their sender counted and that never came",
      values: each((p) => p.stats.gaps),
    },
    {
      name: "forwarded_total",
      type: "counter",
      help: "Sentences heard, by what became of them on the way to other ports",
      values: Object.entries(forwarded).map(([outcome, value]) => ({ labels: { outcome }, value })),
    },
    {
      name: "port_up",
      type: "gauge",
      help: "1 while the port is up",
      values: each((p) => (p.stats.state === "up" ? 1 : 0)),
    },
    {
      name: "sentences_refused_total",
      type: "counter",
      help: "Sentences refused, by reason",
      values: refusals(core),
    },
    { name: "alert_active", type: "gauge", help: "1 for each active alert", values: alerts(core) },
    {
      name: "watching",
      type: "gauge",
      help: "1 while an anchor is down",
      values: one(stay.phase === "underway" ? 0 : 1),
    },
    { name: "range_metres", type: "gauge", help: "Antenna to anchor", values: one(figures.circle?.rangeM) },
    {
      name: "circle_metres",
      type: "gauge",
      help: "Radius of the alarm circle",
      values: one(figures.circle?.radiusM),
    },
    { name: "scope_ratio", type: "gauge", help: "Rode out over height", values: one(figures.scope.now) },
    {
      name: "resident_bytes",
      type: "gauge",
      help: "Memory resident",
      values: one(process.memoryUsage.rss()),
    },
  ];
  return metrics.map(textOf).join("");
}

function refusals(core: Core): Metric["values"] {
  return Object.entries(core.counts).flatMap(([port, counts]) =>
    REASONS.flatMap((reason) => {
      const value = counts.refused[reason];
      return value === undefined ? [] : [{ labels: { port, reason }, value }];
    }),
  );
}

function alerts(core: Core): Metric["values"] {
  return Object.values(core.alerts.active)
    .filter(isActive)
    .map((alert) => ({
      labels: { key: alert.key, priority: alert.priority, state: alert.status },
      value: 1,
    }));
}

function textOf({ name, type, help, values }: Metric): string {
  const lines = values.map(({ labels, value }) => {
    const pairs = Object.entries(labels).map(([key, text]) => `${key}="${text}"`);
    return `rodeward_${name}${pairs.length === 0 ? "" : `{${pairs.join(",")}}`} ${value}\n`;
  });
  return `# HELP rodeward_${name} ${help}\n# TYPE rodeward_${name} ${type}\n${lines.join("")}`;
}
