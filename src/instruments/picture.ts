/**
 * The picture of the boat: each quantity with value, source and time, absent when stale. In: the sentences of
 * one second (in any order, already freed of repeats); out: the picture at the end of it. Whole seconds only,
 * so that duplicated or reordered lines within one change nothing.
 */
import type { Position } from "../units/position.ts";
import { type Choice, choose, type Known } from "./channel.ts";
import { type ClockState, hearClock, NO_CLOCK } from "./clock.ts";
import { type Depth, depthFrom, type EchoState, judgeEcho, NO_ECHOES } from "./depth.ts";
import { type Disagreement, disagreementOf } from "./disagreement.ts";
import { type AcceptedFix, type FixState, judgeFix, NO_FIXES } from "./fixes.ts";
import { type RawHeading, trueHeading } from "./heading.ts";
import { type Channels, type Heard, noChannels, OTHER_STALE_MS, takeIn, type Waypoint } from "./intake.ts";
import type { InstrumentSettings } from "./settings.ts";
import { hungSinceMs, type Standing, standingNow } from "./standing.ts";
import {
  apparentFrom,
  type BowWind,
  type GroundWind,
  groundWind,
  type Motion,
  meanWind,
  NO_WIND,
  recordWind,
  type WindHistory,
  type WindMean,
} from "./wind.ts";

export interface Picture {
  atMs: number;
  /** Add to a stamp for true UTC; undefined until it is known. */
  utcOffsetMs: number | undefined;
  clockSteppedAtMs: number | undefined;
  /** The accepted fix, when fresh. */
  position: Known<Position> | undefined;
  /** The last accepted fix, however old. */
  lastFix: AcceptedFix | undefined;
  heldBack: { sinceMs: number } | undefined;
  /** The place stands to the last digit while its own speed says it moves. */
  hung: { sinceMs: number } | undefined;
  /** Another source tells another place. */
  disagreement: Disagreement | undefined;
  newLevelMs: number | undefined;
  motion: Known<Motion> | undefined;
  headingDeg: Known<number> | undefined;
  variationDeg: number | undefined;
  depth: Known<Depth> | undefined;
  apparentWind: Known<BowWind> | undefined;
  wind: Known<GroundWind> | undefined;
  windMean: WindMean | undefined;
  waterSpeedMps: number | undefined;
  waterStarboardMps: number | undefined;
  current: Known<{ setDeg: number; driftMps: number }> | undefined;
  /** Engines going astern; undefined where none tells. */
  astern: boolean | undefined;
  waypoint: Known<Waypoint> | undefined;
  rodeCountedM: Known<number> | undefined;
  supplyV: Known<number> | undefined;
  /** Readings held back as implausible since the start. */
  held: { fixes: number; depths: number };
}

export interface Instruments {
  channels: Channels;
  fixes: FixState;
  standing: Standing | undefined;
  echoes: EchoState;
  windHistory: WindHistory;
  clock: ClockState;
  variationDeg: number | undefined;
}

export function noInstruments(): Instruments {
  return {
    channels: noChannels(),
    fixes: NO_FIXES,
    standing: undefined,
    echoes: NO_ECHOES,
    windHistory: NO_WIND,
    clock: NO_CLOCK,
    variationDeg: undefined,
  };
}

/**
 * Takes in the sentences of the second that ends at `atMs` and draws the picture at that instant. The given
 * instruments are used up: the returned ones take their place.
 */
export function observe(
  instruments: Instruments,
  heard: readonly Heard[],
  settings: InstrumentSettings,
  atMs: number,
): { instruments: Instruments; picture: Picture } {
  let clock = instruments.clock;
  for (const one of heard) {
    takeIn(instruments.channels, one, settings, atMs);
    if (settings.utc === "learn") clock = hearClock(clock, one.sentence, atMs);
  }
  instruments.clock = clock;
  return { instruments, picture: drawn(instruments, settings, atMs) };
}

function drawn(instruments: Instruments, settings: InstrumentSettings, atMs: number): Picture {
  const { channels, clock } = instruments;
  const { sources, staleMs } = settings;
  const choice = (order: readonly string[], stale: number) => ({
    order,
    staleMs: stale,
    fallBackMs: sources.fallBackMs,
  });
  const motion = choose(channels.motion, choice(sources.position, staleMs.position), atMs);
  const fix = choose(channels.position, choice(sources.position, staleMs.position), atMs);
  // The variation hardly changes: the last one heard stands until another comes.
  const variation = choose(channels.variation, choice(sources.heading, OTHER_STALE_MS), atMs);
  instruments.variationDeg = variation?.value ?? instruments.variationDeg;
  const headingDeg = headingIn(instruments, choice(sources.heading, staleMs.heading), atMs);
  const windChoice = choice(sources.wind, staleMs.wind);
  const seen = windIn(instruments, windChoice, headingDeg, motion, atMs);
  if (fix !== undefined && fix.atMs === atMs) {
    const told: AcceptedFix = {
      position: { latDeg: fix.value.latDeg, lonDeg: fix.value.lonDeg },
      atMs,
      source: fix.source,
    };
    instruments.fixes = judgeFix(instruments.fixes, told, motion?.value.sogMps);
    instruments.standing = standingNow(instruments.standing, fix.value, motion?.value, atMs);
  }
  if (seen.wind !== undefined && seen.wind.atMs === atMs) {
    instruments.windHistory = recordWind(instruments.windHistory, seen.wind.value, atMs);
  }
  const { accepted, held, newLevelMs } = instruments.fixes;
  const fresh = accepted !== undefined && atMs - accepted.atMs <= staleMs.position;
  // Doubt ends with the fixes that made it: none at all are lost, not doubtful.
  const doubted = held !== undefined && atMs - held.lastMs <= staleMs.position;
  const other = choice([], OTHER_STALE_MS);
  return {
    atMs,
    utcOffsetMs: settings.utc === "given" ? 0 : clock.offsetMs,
    clockSteppedAtMs: clock.steppedAtMs,
    position: fresh ? { value: accepted.position, source: accepted.source, atMs: accepted.atMs } : undefined,
    lastFix: accepted,
    hung: hungSinceMs(instruments.standing, fix?.value.decimals ?? 0),
    heldBack: doubted ? { sinceMs: held.firstMs } : undefined,
    disagreement: disagreementOf(channels.position, fix, staleMs.position, motion?.value.sogMps ?? 0, atMs),
    newLevelMs,
    motion,
    headingDeg,
    variationDeg: instruments.variationDeg,
    depth: depthIn(instruments, settings, choice(sources.depth, staleMs.depth), atMs),
    apparentWind: seen.apparent,
    wind: seen.wind,
    windMean: meanWind(instruments.windHistory, atMs),
    waterSpeedMps: choose(channels.waterSpeed, other, atMs)?.value,
    waterStarboardMps: choose(channels.waterStarboard, other, atMs)?.value,
    current: choose(channels.current, other, atMs),
    astern: choose(channels.astern, other, atMs)?.value,
    waypoint: choose(channels.waypoint, other, atMs),
    rodeCountedM: choose(channels.rode, other, atMs),
    supplyV: choose(channels.supply, other, atMs),
    held: { fixes: instruments.fixes.heldCount, depths: instruments.echoes.heldCount },
  };
}

function headingIn(instruments: Instruments, choice: Choice, atMs: number): Known<number> | undefined {
  const trueOf = (heading: RawHeading) => trueHeading(heading, instruments.variationDeg);
  const raw = choose(instruments.channels.heading, choice, atMs, (heading) => trueOf(heading) !== undefined);
  const deg = raw === undefined ? undefined : trueOf(raw.value);
  return raw === undefined || deg === undefined ? undefined : { ...raw, value: deg };
}

function depthIn(
  instruments: Instruments,
  settings: InstrumentSettings,
  choice: Choice,
  atMs: number,
): Known<Depth> | undefined {
  const raw = choose(instruments.channels.depth, choice, atMs);
  if (raw === undefined) return undefined;
  if (raw.atMs === atMs) instruments.echoes = judgeEcho(instruments.echoes, raw.value, atMs);
  const { accepted, acceptedMs } = instruments.echoes;
  if (accepted === undefined || atMs - acceptedMs > choice.staleMs) return undefined;
  return { value: depthFrom(accepted, settings), source: raw.source, atMs: acceptedMs };
}

/** Ground wind as told, else from the apparent, else from the wind relative to the water; and the apparent. */
function windIn(
  instruments: Instruments,
  choice: Choice,
  headingDeg: Known<number> | undefined,
  motion: Known<Motion> | undefined,
  atMs: number,
): { wind: Known<GroundWind> | undefined; apparent: Known<BowWind> | undefined } {
  const { channels } = instruments;
  const told = choose(channels.groundWind, choice, atMs);
  const apparent = choose(channels.apparentWind, choice, atMs);
  const water = choose(channels.waterWind, choice, atMs);
  if (told !== undefined) {
    const felt =
      headingDeg === undefined ? undefined : apparentFrom(told.value, headingDeg.value, motion?.value);
    return { wind: told, apparent: apparent ?? (felt === undefined ? undefined : { ...told, value: felt }) };
  }
  if (apparent !== undefined) {
    return {
      wind: { ...apparent, value: groundWind(apparent.value, headingDeg?.value, motion?.value) },
      apparent,
    };
  }
  if (water === undefined) return { wind: undefined, apparent: undefined };
  // At anchor wind over the water differs from wind over the ground by the current: near enough to be told.
  const fromDeg = headingDeg === undefined ? undefined : (headingDeg.value + water.value.angleDeg) % 360;
  return { wind: { ...water, value: { speedMps: water.value.speedMps, fromDeg } }, apparent: undefined };
}
