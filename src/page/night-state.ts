/**
 * Kept nights as outsiders see them: the answers below `/api/nights`. Units are in the names, times RFC 3339 or
 * ms of UTC; what is not known is null. Types only: the browser imports them too.
 */

export interface NightLine {
  id: number;
  origin: string;
  /** False: the receiver never told the time, so these are the board's own. */
  utcKnown: boolean;
  letGo: string;
  ended: string | null;
  ending: string | null;
  hours: number;
  place: string | null;
  lat: number | null;
  lon: number | null;
  rodeM: number | null;
  meanMps: number | null;
  gustMps: number | null;
  windFromDeg: number | null;
  leastScope: number | null;
  leastDepthM: number | null;
  outsideM: number | null;
  spareM: number | null;
  draggedM: number | null;
  alerts: number;
  alarms: number;
}

export interface NightAlert {
  key: string;
  priority: string;
  raisedMs: number;
  alarmMs: number | null;
  clearedMs: number | null;
  text: string;
}

export interface NightFacts extends NightLine {
  beganMs: number;
  lastMs: number;
  phases: { atMs: number; phase: string }[];
  acts: { atMs: number; port: string; text: string; answer: string }[];
  alertList: NightAlert[];
  raw: { lines: number; bytes: number; keptBytes: number };
}

export interface Extremes {
  min: (number | null)[];
  max: (number | null)[];
}

type Band = "rangeM" | "circleM" | "depthM" | "scope" | "target" | "meanMps" | "gustMps" | "rodeM";
type Direction = "headingDeg" | "bearingDeg" | "windFromDeg" | "meanFromDeg";

/** A night, or a part of it, in columns: the least and the greatest of what falls into each. */
export interface NightSeries {
  night: NightFacts;
  /** What may be changed for a rerun, as the night had it; null when its configuration says nothing. */
  settings: RerunSettings | null;
  /** Middle of each column, seconds of UTC. */
  atS: number[];
  bands: Record<Band, Extremes>;
  directions: Record<Direction, (number | null)[]>;
  plan: [lat: number, lon: number, atS: number][];
}

export interface RerunSettings {
  marginM: number;
  windLimitMps: number;
  gustLimitMps: number;
  steps: { windMps: number; ratio: number }[];
}

interface Raising {
  priority: string;
  raisedMs: number;
  text: string;
}

/** One event, as it was and as it would have been. */
export interface Compared {
  key: string;
  was: Raising | null;
  now: Raising | null;
}

/** A rerun, of which there is one at a time. */
export type RerunState =
  | { state: "none" }
  | { state: "running"; id: number; percent: number }
  | { state: "done"; id: number; pairs: Compared[] }
  | { state: "cancelled"; id: number }
  | { state: "failed"; id: number; why: string };
