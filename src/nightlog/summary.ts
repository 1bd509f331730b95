/** What the list of nights shows, kept up to date second by second, so that a list needs no track. */
import type { Alert } from "../alerts/life-cycle.ts";
import type { Position } from "../units/position.ts";
import type { Sample } from "./sample.ts";
import { type Cell, scaled } from "./track-row.ts";

export interface NightSummary {
  anchor: Position | undefined;
  rodeM: number | undefined;
  /** Greatest 10-minute mean and greatest gust. */
  meanMps: number | undefined;
  gustMps: number | undefined;
  /** Where the greatest mean came from. */
  meanFromDeg: number | undefined;
  /** Least with the rode out; weighing, it is meant to get short. */
  leastScope: number | undefined;
  leastDepthM: number | undefined;
  /** Farthest outside the alarm circle; undefined: never outside. */
  outsideM: number | undefined;
  /** Least room left to the circle on watch; below zero: so far outside. */
  spareM: number | undefined;
  draggedM: number | undefined;
  /** Raisings, and those that became alarms, as `key raisedMs`. */
  raised: Set<string>;
  alarmed: Set<string>;
}

export function emptySummary(): NightSummary {
  return {
    anchor: undefined,
    rodeM: undefined,
    meanMps: undefined,
    gustMps: undefined,
    meanFromDeg: undefined,
    leastScope: undefined,
    leastDepthM: undefined,
    outsideM: undefined,
    spareM: undefined,
    draggedM: undefined,
    raised: new Set(),
    alarmed: new Set(),
  };
}

/** Takes in a second with the anchor down. */
export function addSample(summary: NightSummary, sample: Sample): void {
  if (sample.phase === "underway") return;
  summary.anchor = sample.anchor ?? summary.anchor;
  summary.rodeM = greater(summary.rodeM, sample.rodeM);
  if (sample.meanMps !== undefined && sample.meanMps > (summary.meanMps ?? -1))
    Object.assign(summary, { meanMps: sample.meanMps, meanFromDeg: sample.meanFromDeg });
  summary.gustMps = greater(summary.gustMps, sample.gustMps);
  summary.draggedM = greater(summary.draggedM, sample.draggedM);
  summary.leastDepthM = less(summary.leastDepthM, sample.depthM);
  if (sample.phase === "riding") summary.leastScope = less(summary.leastScope, sample.scope);
  const { rangeM, circleM } = sample;
  if (rangeM === undefined || circleM === undefined) return;
  if (sample.phase === "riding") summary.spareM = less(summary.spareM, circleM - rangeM);
  if (rangeM > circleM) summary.outsideM = greater(summary.outsideM, rangeM - circleM);
}

export function addChange(summary: NightSummary, alert: Alert): void {
  const raising = `${alert.key} ${alert.raisedMs}`;
  summary.raised.add(raising);
  if (alert.alarmMs !== undefined) summary.alarmed.add(raising);
}

function greater(a: number | undefined, b: number | undefined): number | undefined {
  return a === undefined || b === undefined ? (a ?? b) : Math.max(a, b);
}

function less(a: number | undefined, b: number | undefined): number | undefined {
  return a === undefined || b === undefined ? (a ?? b) : Math.min(a, b);
}

/** In the order of `SUMMARY_COLUMNS`. */
export function summaryCells(summary: NightSummary): Cell[] {
  const { anchor } = summary;
  return [
    scaled(anchor?.latDeg, 1e7),
    scaled(anchor?.lonDeg, 1e7),
    scaled(summary.rodeM, 100),
    scaled(summary.meanMps, 100),
    scaled(summary.gustMps, 100),
    scaled(summary.leastScope, 100),
    scaled(summary.leastDepthM, 100),
    scaled(summary.outsideM, 100),
    scaled(summary.draggedM, 100),
    scaled(summary.meanFromDeg, 10),
    scaled(summary.spareM, 100),
  ];
}

export const SUMMARY_COLUMNS: readonly string[] = [
  "lat_e7",
  "lon_e7",
  "rode_cm",
  "mean_cmps",
  "gust_cmps",
  "least_scope_c",
  "least_depth_cm",
  "outside_cm",
  "dragged_cm",
  "from_ddeg",
  "spare_cm",
];
