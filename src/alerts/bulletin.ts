/**
 * What the boat's displays are told besides alerts: the anchor as waypoint, bearing and distance to it, and the
 * rode figures. In: position, figures, time; out: what is due.
 */
import type { Sentence } from "../nmea/table.ts";
import { wrap360 } from "../units/angle.ts";
import { M_PER_NM } from "../units/length.ts";
import type { Position } from "../units/position.ts";
import { MINUTE_MS, SECOND_MS, secondOfDay } from "../units/time.ts";

export interface BulletinState {
  waypoint: string;
  wplMs: number;
  bwcMs: number;
  xdrMs: number;
}

export const NO_BULLETIN: BulletinState = { waypoint: "", wplMs: 0, bwcMs: 0, xdrMs: 0 };

export interface Bulletin {
  /** The anchor, or where a slipped rode lies. */
  anchor: Position | undefined;
  /** On watch: an anchor is down. */
  down: boolean;
  rangeM: number | undefined;
  bearingDeg: number | undefined;
  variationDeg: number | undefined;
  utcOffsetMs: number | undefined;
  rodeRequiredM: number | undefined;
  scope: number | undefined;
  pullDeg: number | undefined;
}

export type Told = { class: "anchor" | "rode"; sentence: Sentence };

const WPL_MS = MINUTE_MS;
const BWC_MS = 5 * SECOND_MS;
const XDR_MS = 10 * SECOND_MS;
const TALKER = "II";
export const ANCHOR_NAME = "ANCHOR";
/** More digits of miles would not fit into a BWC; an anchor is not steered for from there. */
const FARTHEST_NM = 9999;

export function bulletinFor(
  state: BulletinState,
  now: Bulletin,
  atMs: number,
): { state: BulletinState; told: Told[] } {
  const told: Told[] = [];
  const next = { ...state };
  const waypoint = now.anchor === undefined ? "" : `${now.anchor.latDeg},${now.anchor.lonDeg}`;
  if (now.anchor !== undefined && (waypoint !== state.waypoint || atMs - state.wplMs >= WPL_MS)) {
    told.push({ class: "anchor", sentence: wplOf(now.anchor) });
    next.wplMs = atMs;
  }
  next.waypoint = waypoint;
  const bwc = now.down && atMs - state.bwcMs >= BWC_MS ? bwcOf(now, atMs) : undefined;
  if (bwc !== undefined) {
    told.push({ class: "anchor", sentence: bwc });
    next.bwcMs = atMs;
  }
  const xdr = now.down && atMs - state.xdrMs >= XDR_MS ? xdrOf(now) : undefined;
  if (xdr !== undefined) {
    told.push({ class: "rode", sentence: xdr });
    next.xdrMs = atMs;
  }
  return { state: next, told };
}

const sent = (position: Position) => ({ latDeg: position.latDeg, lonDeg: position.lonDeg, decimals: 4 });

function wplOf(anchor: Position): Sentence {
  return { id: "WPL", talker: TALKER, position: sent(anchor), name: ANCHOR_NAME };
}

function bwcOf(now: Bulletin, atMs: number): Sentence | undefined {
  const { anchor, rangeM, bearingDeg, variationDeg, utcOffsetMs } = now;
  if (anchor === undefined || rangeM === undefined || bearingDeg === undefined) return undefined;
  if (rangeM > FARTHEST_NM * M_PER_NM) return undefined;
  return {
    id: "BWC",
    talker: TALKER,
    timeOfDayS: utcOffsetMs === undefined ? undefined : secondOfDay(atMs + utcOffsetMs),
    position: sent(anchor),
    bearingDeg,
    trueLetter: "T",
    bearingMagneticDeg: variationDeg === undefined ? undefined : wrap360(bearingDeg - variationDeg),
    magneticLetter: "M",
    distanceNm: rangeM / M_PER_NM,
    mileLetter: "N",
    name: ANCHOR_NAME,
    mode: "autonomous",
  };
}

function xdrOf(now: Bulletin): Sentence | undefined {
  const measurements = [
    { type: "D", value: now.rodeRequiredM, unit: "M", name: "RODEREQ", decimals: 1 },
    { type: "G", value: now.scope, unit: "", name: "SCOPE", decimals: 1 },
    { type: "A", value: now.pullDeg, unit: "D", name: "PULL", decimals: 1 },
  ].filter((measurement) => measurement.value !== undefined);
  return measurements.length === 0 ? undefined : { id: "XDR", talker: TALKER, measurements };
}
