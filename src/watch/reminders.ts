/**
 * Reminders that cost no sleep. In: stay, picture, guidance so far; out: those that stand now. Each stands for a
 * while from when it is due, and comes again only where the thing it minds does.
 */
import type { Picture } from "../instruments/picture.ts";
import { aboardM } from "../tackle/rode.ts";
import { toVeer } from "../tackle/veer-length.ts";
import { turnDeg } from "../units/angle.ts";
import { toKn } from "../units/speed.ts";
import { HOUR_MS, MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { rodeForWindM } from "./approach.ts";
import { type Candidate, candidate } from "./callout.ts";
import type { CalloutKey } from "./callout-texts.ts";
import type { Heights } from "./ground.ts";
import type { Memory } from "./memory.ts";
import { isCramped, type Room } from "./room.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay } from "./state.ts";
import { SETS_AT_DEG, sunAltitudeDeg } from "./sun.ts";

/** When each was last begun, how long it stands, how soon it may come again. */
interface Timing {
  standsMs: number;
  againMs: number;
}

const SUN: Timing = { standsMs: 10 * MINUTE_MS, againMs: 6 * HOUR_MS };
const CHAFE: Timing = { standsMs: 15 * MINUTE_MS, againMs: 3 * HOUR_MS };
const ONCE: Timing = { standsMs: 10 * MINUTE_MS, againMs: Number.POSITIVE_INFINITY };
const BRIEFLY: Timing = { standsMs: 2 * MINUTE_MS, againMs: Number.POSITIVE_INFINITY };
const UNDER_HULL: Timing = { standsMs: 10 * MINUTE_MS, againMs: 6 * HOUR_MS };

/** `memory.reminded` is kept. Only while riding. */
export function remindersNow(
  stay: Stay,
  memory: Memory,
  picture: Picture,
  heights: Heights,
  room: Room | undefined,
  settings: WatchSettings,
): Candidate[] {
  if (stay.phase !== "riding") return [];
  // Whether one falls due is looked at each ten seconds: they cost no sleep, and should cost no time.
  const looks = picture.atMs % LOOK_EVERY_MS === 0;
  const due: Due = (key, isDue, timing) =>
    isStanding(memory, key, looks ? isDue : undefined, timing, picture);
  const found: Candidate[] = [];
  const add = (key: CalloutKey, isDue: () => boolean, timing: Timing, why: string) => {
    if (due(key, isDue, timing)) found.push(candidate(key, [], why));
  };
  if (due("tonight", () => tonightOf(stay, heights, room, settings) !== undefined, ONCE))
    found.push(...(tonightOf(stay, heights, room, settings) ?? []));
  add(
    "ask-tonight",
    () => stay.expectMps === undefined,
    BRIEFLY,
    "Say it now, veer now, and nobody veers at 3 a.m.",
  );
  add(
    "cleat",
    () => true,
    BRIEFLY,
    "Load off the windlass; figure-eights that come off under load, no locked hitch",
  );
  add(
    "chafe",
    () => picture.wind !== undefined && (picture.windMean?.gustMps ?? 0) > settings.gustLimitMps,
    CHAFE,
    "Engine in neutral, hands clear of the bight; shift the nip, renew the guard",
  );
  add(
    "under-hull",
    () => isWindAgainstTide(picture),
    UNDER_HULL,
    "Wind against tide: engine and drive clear of it before starting",
  );
  return [...found, ...sunReminders(memory, picture, looks, due), ...fogReminder(settings, due)].filter(
    ({ key }) => key !== "ask-tonight" || stay.expectMps === undefined,
  );
}

const LOOK_EVERY_MS = 10 * SECOND_MS;

type Due = (key: string, isDue: () => boolean, timing: Timing) => boolean;

/** @param isDue undefined: not looked at this second */
function isStanding(
  memory: Memory,
  key: string,
  isDue: (() => boolean) | undefined,
  { standsMs, againMs }: Timing,
  { atMs }: Picture,
): boolean {
  const begunMs = memory.reminded[key];
  const mayBegin = begunMs === undefined || atMs - begunMs >= againMs;
  if (mayBegin && isDue?.() === true) {
    memory.reminded[key] = atMs;
    return true;
  }
  return begunMs !== undefined && atMs - begunMs < standsMs;
}

/** Veer now what tonight asks for, as far as the rode aboard goes; undefined when it is out already. */
function tonightOf(
  stay: Stay,
  heights: Heights,
  room: Room | undefined,
  settings: WatchSettings,
): [Candidate] | undefined {
  const { expectMps } = stay;
  const wantedM = expectMps === undefined ? undefined : rodeForWindM(expectMps, heights, settings);
  const outM = stay.rode?.lengthM;
  if (expectMps === undefined || wantedM === undefined || outM === undefined) return undefined;
  const haveM = settings.rode === undefined ? wantedM : aboardM(settings.rode);
  const toM = Math.min(wantedM, haveM);
  if (outM >= toM - ROUNDING_M) return undefined;
  if (isCramped(room, toM))
    return [candidate("no-room", [], `Tonight asks for ${toVeer(toM, settings.units).text}`)];
  const figures = [`${Math.round(toKn(expectMps))} kn`, toVeer(toM, settings.units).text];
  const why = wantedM > haveM ? `${FORWARD}; it is all there is aboard, less than wanted` : FORWARD;
  return [candidate("tonight", figures, why)];
}

const ROUNDING_M = 0.5;
const FORWARD = "Lifejacket, clip on; engine ahead slow until the rode hangs slack, then off the cleat";

const SMALL_M = 12;
const GONG_M = 100;

/**
 * Nothing aboard tells fog, so it is never said that there is any: only, once a stay, which signal her length asks
 * for in it (COLREGs rule 35, the two minutes under 12 m from memory). Not without her length.
 */
function fogReminder({ boat: { lengthM } }: WatchSettings, due: Due): Candidate[] {
  if (lengthM === undefined || lengthM >= GONG_M || !due("fog-signal", () => true, ONCE)) return [];
  return lengthM < SMALL_M
    ? [candidate("fog-signal", ["sound each 2 minutes"], "Some efficient sound, or the bell")]
    : [candidate("fog-signal", ["bell each minute"], "Rung rapidly for 5 seconds, forward")];
}

const AGAINST_DEG = 100;
const LEAST_WIND_MPS = 3;

/** She lies with her stern to the wind: what holds her so is the stream. */
function isWindAgainstTide({ wind, windMean, headingDeg }: Picture): boolean {
  const fromDeg = wind === undefined ? undefined : windMean?.fromDeg;
  if (fromDeg === undefined || headingDeg === undefined || windMean === undefined) return false;
  return windMean.speedMps >= LEAST_WIND_MPS && Math.abs(turnDeg(headingDeg.value, fromDeg)) > AGAINST_DEG;
}

/** Anchor light from sunset to sunrise, the day shape by day (COLREGs rules 20 and 30). Needs UTC. */
function sunReminders(memory: Memory, picture: Picture, looks: boolean, due: Due): Candidate[] {
  if (looks) {
    const isDay = isDayNow(picture);
    // Each again only after the other: dusk and dawn, not the clock.
    if (isDay !== false) delete memory.reminded["anchor-light"];
    if (isDay !== true) delete memory.reminded["day-shape"];
  }
  if (due("anchor-light", () => isDayNow(picture) === false, SUN))
    return [candidate("anchor-light", [], "From sunset to sunrise, where it is best seen all round")];
  if (due("day-shape", () => isDayNow(picture) === true, SUN))
    return [candidate("day-shape", [], "One ball forward, by day")];
  return [];
}

/** Undefined without UTC or place. */
function isDayNow({ utcOffsetMs, lastFix, atMs }: Picture): boolean | undefined {
  if (utcOffsetMs === undefined || lastFix === undefined) return undefined;
  return sunAltitudeDeg(lastFix.position, atMs + utcOffsetMs) > SETS_AT_DEG;
}
