/** Which sentence feeds which quantity. In: a decoded sentence with its port; out: readings in the channels. */
import type { Sentence, SentenceId } from "../nmea/table.ts";
import type { Position } from "../units/position.ts";
import { fromKn } from "../units/speed.ts";
import { type Channel, emptyChannel, keyOf, put } from "./channel.ts";
import { DEPTH_KINDS, depthsTogether, type RawDepth, rawDepthOf } from "./depth.ts";
import type { Fix } from "./fixes.ts";
import { headingsTogether, type RawHeading, rawHeadingsOf } from "./heading.ts";
import type { InstrumentSettings } from "./settings.ts";
import { type BowWind, bowWindTogether, type GroundWind, type Motion, STRONGEST_MPS } from "./wind.ts";

/** A decoded sentence and the port it came by. */
export interface Heard {
  sentence: Sentence;
  port: string;
}

/** The active waypoint of a plotter: where it is bound for. */
export interface Waypoint {
  position: Position;
  name: string | undefined;
}

export interface Channels {
  position: Channel<Fix>;
  motion: Channel<Motion>;
  heading: Channel<RawHeading>;
  variation: Channel<number>;
  depth: Channel<RawDepth>;
  apparentWind: Channel<BowWind>;
  groundWind: Channel<GroundWind>;
  waterWind: Channel<BowWind>;
  waterSpeed: Channel<number>;
  waterStarboard: Channel<number>;
  current: Channel<{ setDeg: number; driftMps: number }>;
  /** A shaft that turns backwards, or a pitch set so. */
  astern: Channel<boolean>;
  waypoint: Channel<Waypoint>;
  rode: Channel<number>;
  supply: Channel<number>;
}

export function noChannels(): Channels {
  return {
    position: emptyChannel(),
    motion: emptyChannel(),
    heading: emptyChannel(),
    variation: emptyChannel(),
    depth: emptyChannel(),
    apparentWind: emptyChannel(),
    groundWind: emptyChannel(),
    waterWind: emptyChannel(),
    waterSpeed: emptyChannel(),
    waterStarboard: emptyChannel(),
    current: emptyChannel(),
    astern: emptyChannel(),
    waypoint: emptyChannel(),
    rode: emptyChannel(),
    supply: emptyChannel(),
  };
}

/** Stale time of what the configuration names none for. */
export const OTHER_STALE_MS = 10_000;

interface Intake {
  channels: Channels;
  source: string;
  staleMs: InstrumentSettings["staleMs"];
  atMs: number;
}

type Taker<Id extends SentenceId> = (sentence: Extract<Sentence, { id: Id }>, to: Intake) => void;

const TAKERS: { readonly [Id in SentenceId]?: Taker<Id> } = {
  RMC: (s, to) => {
    // A hung receiver's speed is no more alive than its place.
    if (takeFix(s, 0, to)) takeMotion(s, 0, to);
    takeVariation(s, to);
  },
  GGA: (s, to) => void takeFix(s, 1, to),
  GNS: (s, to) => void takeFix(s, 1, to),
  GLL: (s, to) => void takeFix(s, 2, to),
  VTG: (s, to) => takeMotion(s, 1, to),
  MWV: (s, to) => {
    if (s.reference === "apparent") takeBowWind(to.channels.apparentWind, 0, s, to);
    if (s.reference === "theoretical") takeBowWind(to.channels.waterWind, 0, s, to);
  },
  VWR: (s, to) => takeBowWind(to.channels.apparentWind, 1, bySide(s), to),
  VWT: (s, to) => takeBowWind(to.channels.waterWind, 1, bySide(s), to),
  MWD: (s, to) => {
    const { fromDeg, speedMps } = { fromDeg: s.fromDeg, speedMps: bySide(s).speedMps };
    if (fromDeg === undefined || speedMps === undefined || speedMps > STRONGEST_MPS) return;
    put(to.channels.groundWind, to.source, 0, { fromDeg, speedMps }, to.atMs, to.staleMs.wind);
  },
  HDG: (s, to) => takeVariation(s, to),
  VHW: (s, to) => takeWaterSpeed(s.speedKn, 0, to),
  VBW: (s, to) => {
    if (s.waterStatus !== "valid") return;
    takeWaterSpeed(s.waterAheadKn, 1, to);
    if (s.waterStarboardKn === undefined) return;
    put(to.channels.waterStarboard, to.source, 0, fromKn(s.waterStarboardKn), to.atMs, OTHER_STALE_MS);
  },
  VDR: (s, to) => {
    if (s.setDeg === undefined || s.driftKn === undefined) return;
    const current = { setDeg: s.setDeg, driftMps: fromKn(s.driftKn) };
    put(to.channels.current, to.source, 0, current, to.atMs, OTHER_STALE_MS);
  },
  RPM: (s, to) => {
    if (s.revolutionsPerMin === undefined) return;
    const backwards = s.kind === "shaft" && s.revolutionsPerMin < 0;
    const astern = backwards || ((s.pitchPercent ?? 0) < 0 && s.revolutionsPerMin !== 0);
    // Of two engines, one astern is a turn: both are needed.
    put(to.channels.astern, to.source, 0, astern, to.atMs, OTHER_STALE_MS, both);
  },
  BWC: (s, to) => takeWaypoint(s, 1, to),
  RMB: (s, to) => takeWaypoint(s, 0, to),
  XDR: (s, to) => {
    for (const m of s.measurements ?? []) {
      if (m.value === undefined) continue;
      if (m.type === "D" && m.unit === "M" && m.name === "RODE")
        put(to.channels.rode, to.source, 0, m.value, to.atMs, OTHER_STALE_MS);
      // Several batteries in one second: the lowest.
      if (m.type === "U") put(to.channels.supply, to.source, 0, m.value, to.atMs, OTHER_STALE_MS, lowest);
    }
  },
};

function both(a: boolean, b: boolean): boolean {
  return a && b;
}

function lowest(a: number, b: number): number {
  return Math.min(a, b);
}

const sources = new Map<string, Map<string, string>>();
const MOST_SOURCES = 256;

/** `port/talker`, joined once. */
function sourceOf(port: string, talker: string): string {
  let ofPort = sources.get(port);
  if (ofPort === undefined || ofPort.size >= MOST_SOURCES) {
    ofPort = new Map();
    sources.set(port, ofPort);
  }
  let source = ofPort.get(talker);
  if (source === undefined) {
    source = `${port}/${talker}`;
    ofPort.set(talker, source);
  }
  return source;
}

/** Feeds one sentence, heard in the second that ends at `atMs`, to the channels it is for. */
export function takeIn(channels: Channels, heard: Heard, settings: InstrumentSettings, atMs: number): void {
  const { sentence } = heard;
  const to: Intake = {
    channels,
    source: sourceOf(heard.port, sentence.talker),
    staleMs: settings.staleMs,
    atMs,
  };
  // The key and the sentence are of one id by construction; the table cannot say so to the compiler.
  (TAKERS[sentence.id] as Taker<SentenceId> | undefined)?.(sentence, to);
  const depth = rawDepthOf(sentence);
  if (depth !== undefined)
    put(channels.depth, to.source, DEPTH_KINDS[depth.from], depth, atMs, to.staleMs.depth, depthsTogether);
  for (const { heading, kind } of rawHeadingsOf(sentence)) {
    put(channels.heading, to.source, kind, heading, atMs, to.staleMs.heading, headingsTogether);
  }
}

const HALF_DAY_S = 43_200;

/**
 * A fix with the time and place of the one before is a repeat, not a fix: a hung receiver sends the same valid
 * RMC for half an hour. It is passed over, so that the reading grows stale. False: such a repeat.
 */
function takeFix(
  s: Pick<Fix, "timeOfDayS"> & { position: Omit<Fix, "timeOfDayS"> | undefined },
  kind: number,
  to: Intake,
): boolean {
  if (s.position === undefined) return true;
  const before = to.channels.position.readings[keyOf(to.source, kind)];
  const fix: Fix = { ...s.position, timeOfDayS: s.timeOfDayS };
  if (before !== undefined && fix.timeOfDayS !== undefined && before.value.timeOfDayS !== undefined) {
    const same = before.value.latDeg === fix.latDeg && before.value.lonDeg === fix.lonDeg;
    if (same && before.value.timeOfDayS === fix.timeOfDayS) return false;
    // Within one second the later fix stands, in whatever order they came.
    const aheadS = (fix.timeOfDayS - before.value.timeOfDayS + 86_400) % 86_400;
    if (before.atMs === to.atMs && aheadS > HALF_DAY_S) return true;
  }
  put(to.channels.position, to.source, kind, fix, to.atMs, to.staleMs.position);
  return true;
}

function takeMotion(
  s: { sogKn: number | undefined; cogDeg: number | undefined },
  kind: number,
  to: Intake,
): void {
  if (s.sogKn === undefined) return;
  const motion = { sogMps: fromKn(s.sogKn), cogDeg: s.cogDeg };
  put(to.channels.motion, to.source, kind, motion, to.atMs, to.staleMs.position);
}

function takeVariation(s: { variationDeg: number | undefined }, to: Intake): void {
  if (s.variationDeg !== undefined)
    put(to.channels.variation, to.source, 0, s.variationDeg, to.atMs, OTHER_STALE_MS);
}

/** What the daemon sends itself: its own anchor coming back is no waypoint. */
const OWN_WAYPOINT = "ANCHOR";

function takeWaypoint(
  { position, name }: { position: Position | undefined; name: string | undefined },
  kind: number,
  to: Intake,
): void {
  if (position === undefined || name === OWN_WAYPOINT) return;
  const { latDeg, lonDeg } = position;
  const waypoint = { position: { latDeg, lonDeg }, name };
  put(to.channels.waypoint, to.source, kind, waypoint, to.atMs, OTHER_STALE_MS);
}

function takeWaterSpeed(speedKn: number | undefined, kind: number, to: Intake): void {
  if (speedKn !== undefined)
    put(to.channels.waterSpeed, to.source, kind, fromKn(speedKn), to.atMs, OTHER_STALE_MS);
}

interface SentBowWind {
  angleDeg: number | undefined;
  speedMps: number | undefined;
}

function bySide(s: {
  speedMps: number | undefined;
  speedKn: number | undefined;
  angleDeg?: number | undefined;
}): SentBowWind {
  return {
    angleDeg: s.angleDeg,
    speedMps: s.speedMps ?? (s.speedKn === undefined ? undefined : fromKn(s.speedKn)),
  };
}

function takeBowWind(channel: Channel<BowWind>, kind: number, s: SentBowWind, to: Intake): void {
  if (s.angleDeg === undefined || s.speedMps === undefined || s.speedMps > STRONGEST_MPS) return;
  const wind = { angleDeg: s.angleDeg, speedMps: s.speedMps };
  put(channel, to.source, kind, wind, to.atMs, to.staleMs.wind, bowWindTogether);
}
