/**
 * The stay in figures: kept while the anchor is down, closed at AWEIGH or SLIP. In: each second's stay, picture,
 * figures and findings; out: least and greatest of each quantity, alerts with their times, phases. Plain data.
 */
import type { Picture } from "../instruments/picture.ts";
import type { Position } from "../units/position.ts";
import type { Figures } from "./figures.ts";
import type { AlertKey, Finding, Priority } from "./finding.ts";
import type { Phase, Stay } from "./state.ts";

export interface Range {
  least: number;
  greatest: number;
}

export interface SeenAlert {
  key: AlertKey;
  /** The highest it reached. */
  priority: Priority;
  firstMs: number;
  lastMs: number;
  /** How often it began. */
  times: number;
}

const QUANTITIES = ["depthM", "windMps", "gustMps", "scope", "rodeM", "rangeM", "loadN"] as const;
export type Quantity = (typeof QUANTITIES)[number];

export interface Journal {
  fromMs: number;
  /** The last second kept. */
  untilMs: number;
  letGoAt: Position | undefined;
  phases: { phase: Phase; fromMs: number }[];
  ranges: Record<Quantity, Range | undefined>;
  alerts: SeenAlert[];
  rodeUnknown: boolean;
}

export interface StaySummary extends Journal {
  how: "aweigh" | "slipped";
  endedMs: number;
}

const MOST_PHASES = 200;

function beginJournal(stay: Stay, atMs: number): Journal {
  return {
    fromMs: stay.anchor?.sinceMs ?? atMs,
    untilMs: atMs,
    letGoAt: stay.anchor?.position,
    phases: [],
    ranges: {
      depthM: undefined,
      windMps: undefined,
      gustMps: undefined,
      scope: undefined,
      rodeM: undefined,
      rangeM: undefined,
      loadN: undefined,
    },
    alerts: [],
    rodeUnknown: true,
  };
}

/** Writes one second into the journal, begun when there is none. The given journal is changed. */
export function journalled(
  before: Journal | undefined,
  stay: Stay,
  picture: Picture,
  figures: Figures,
  findings: readonly Finding[],
): Journal {
  const { atMs } = picture;
  const journal = before ?? beginJournal(stay, atMs);
  journal.letGoAt ??= stay.anchor?.position;
  const last = journal.phases[journal.phases.length - 1];
  if (last?.phase !== stay.phase && journal.phases.length < MOST_PHASES)
    journal.phases.push({ phase: stay.phase, fromMs: stay.phaseSinceMs });
  const mean = picture.wind === undefined ? undefined : picture.windMean;
  take(journal, "depthM", picture.depth?.value.surfaceM);
  take(journal, "windMps", mean?.speedMps);
  take(journal, "gustMps", mean?.gustMps);
  take(journal, "scope", figures.scope.now);
  take(journal, "rodeM", stay.rode?.lengthM);
  take(journal, "rangeM", figures.circle?.rangeM);
  take(journal, "loadN", figures.tackle.loadN);
  if (stay.rode !== undefined) journal.rodeUnknown = false;
  for (const finding of findings) note(journal, finding, atMs);
  journal.untilMs = atMs;
  return journal;
}

function take(journal: Journal, quantity: Quantity, value: number | undefined): void {
  if (value === undefined) return;
  const range = journal.ranges[quantity];
  if (range === undefined) journal.ranges[quantity] = { least: value, greatest: value };
  else {
    if (value < range.least) range.least = value;
    if (value > range.greatest) range.greatest = value;
  }
}

const RANK: Readonly<Record<Priority, number>> = { caution: 0, warning: 1, alarm: 2 };

function note(journal: Journal, { key, priority }: Finding, atMs: number): void {
  const seen = journal.alerts.find((alert) => alert.key === key);
  if (seen === undefined) {
    journal.alerts.push({ key, priority, firstMs: atMs, lastMs: atMs, times: 1 });
    return;
  }
  if (seen.lastMs < journal.untilMs) seen.times++;
  seen.lastMs = atMs;
  if (RANK[priority] > RANK[seen.priority]) seen.priority = priority;
}

/** The stay is over: the journal as a summary. */
export function closedStay(journal: Journal, stay: Stay): StaySummary {
  return {
    ...journal,
    how: stay.slipped === undefined ? "aweigh" : "slipped",
    endedMs: stay.phaseSinceMs,
  };
}
