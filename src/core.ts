/**
 * The whole pure path in one place: line or tick in; sentences out. `run`, `replay` and `rehearse` fold over it,
 * so there is one copy of the flow. No I/O, no clock: time comes in with the input.
 */

import { type Bulletin, type BulletinState, bulletinFor, NO_BULLETIN } from "./alerts/bulletin.ts";
import { type AlertCommand, handleAlertCommand } from "./alerts/commands.ts";
import { type Heartbeat, heartbeat } from "./alerts/heartbeat.ts";
import { type Alert, type Alerts, announcedAgain, NO_ALERTS, review } from "./alerts/life-cycle.ts";
import { announce, repeats } from "./alerts/sentences.ts";
import { inOneOrder, type Told } from "./instruments/one-order.ts";
import { type Instruments, noInstruments, observe, type Picture } from "./instruments/picture.ts";
import type { InstrumentSettings } from "./instruments/settings.ts";
import { count, noCounts, type PortCounts } from "./nmea/counts.ts";
import type { Line } from "./nmea/line.ts";
import type { Order } from "./nmea/sentences/own.ts";
import { decode, type Sentence } from "./nmea/table.ts";
import { HOUR_MS, SECOND_MS } from "./units/time.ts";
import { act } from "./watch/acts.ts";
import type { Figures } from "./watch/figures.ts";
import { nothingRemembered } from "./watch/memory.ts";
import type { WatchSettings } from "./watch/settings.ts";
import { soundDrag } from "./watch/sound.ts";
import { beginWatch, isDown, type Stay, type WatchState } from "./watch/state.ts";
import { step } from "./watch/step.ts";

export type Input = ({ kind: "line" } & Line) | { kind: "tick"; atMs: number };

export interface PortRule {
  /** May give PRDW acts. */
  operator: boolean;
  /** Its ACK and ACN are believed. */
  acknowledge: boolean;
  /** One of our own edges: may report facts. */
  internal: boolean;
  checksum: "required" | "optional";
}

export interface CoreSettings {
  instruments: InstrumentSettings;
  watch: WatchSettings;
  ports: Readonly<Record<string, PortRule>>;
  /** What the watch goes by once these are set in use, by key, as text; or why they cannot be. Pure. */
  inUse(values: Readonly<Record<string, string>>): WatchSettings | "format" | "range";
}

export type OutClass = "alerts" | "anchor" | "rode" | "acts";

export interface Out {
  class: OutClass;
  sentence: Sentence;
  atMs: number;
}

/** One second walked: what page, log and summary show. */
export interface Second {
  atMs: number;
  picture: Picture;
  figures: Figures;
  stay: Stay;
}

/** Plain data: it can be saved as JSON, restored, and gone on with. */
export interface Core {
  /** The last whole second walked. */
  atMs: number;
  /** Sentences of the second under way, in order of arrival. */
  heard: Told[];
  instruments: Instruments;
  last: Second;
  watch: WatchState;
  /** Settings changed in use since it began, and what the watch goes by since; undefined: all as configured. */
  tuned: { values: Readonly<Record<string, string>>; watch: WatchSettings } | undefined;
  alerts: Alerts;
  bulletin: BulletinState;
  counts: Record<string, PortCounts>;
}

export interface Advance {
  core: Core;
  /** What was taken in. */
  input: Input;
  out: Out[];
  seconds: Second[];
  /** Alerts that changed, with what they became. */
  changes: Alert[];
}

const UNKNOWN_PORT: PortRule = { operator: false, acknowledge: false, internal: false, checksum: "required" };

export function begin(settings: CoreSettings, atMs: number): Core {
  const startMs = Math.floor(atMs / SECOND_MS) * SECOND_MS;
  const { instruments, picture } = observe(noInstruments(), [], settings.instruments, startMs);
  const { state, figures } = step(beginWatch(startMs), picture, settings.watch);
  return {
    atMs: startMs,
    heard: [],
    instruments,
    last: { atMs: startMs, picture, figures, stay: state.stay },
    watch: state,
    tuned: undefined,
    alerts: NO_ALERTS,
    bulletin: NO_BULLETIN,
    counts: {},
  };
}

const LONGEST_GAP_MS = HOUR_MS;
/** What is walked of a longer gap: enough for every "lost" to be said. */
const GAP_WALKED_MS = 120 * SECOND_MS;

/**
 * Walks every whole second up to the input, then takes it in. Extra ticks change nothing; stamps never go back.
 * The given core is used up: the returned one takes its place.
 */
export function advance(core: Core, input: Input, settings: CoreSettings): Advance {
  const atMs = Math.max(input.atMs, core.atMs);
  const result: Advance = { core, input, out: [], seconds: [], changes: [] };
  const gapMs = atMs - core.atMs;
  const untilMs = gapMs > LONGEST_GAP_MS ? core.atMs + GAP_WALKED_MS : atMs;
  while (core.atMs + SECOND_MS <= untilMs) walkSecond(core, settings, result);
  if (untilMs < atMs) core.atMs = Math.floor(atMs / SECOND_MS) * SECOND_MS;
  if (input.kind === "line") hear(core, { ...input, atMs }, settings, result);
  return result;
}

function walkSecond(core: Core, settings: CoreSettings, result: Advance): void {
  const atMs = core.atMs + SECOND_MS;
  core.atMs = atMs;
  const heard = inOneOrder(core.heard);
  core.heard = [];
  const seen = observe(core.instruments, heard, settings.instruments, atMs);
  core.instruments = seen.instruments;
  const watched = step(core.watch, seen.picture, core.tuned?.watch ?? settings.watch);
  core.watch = watched.state;
  core.last = { atMs, picture: seen.picture, figures: watched.figures, stay: watched.state.stay };
  result.seconds.push(core.last);
  const reviewed = review(core.alerts, watched.findings, atMs);
  core.alerts = reviewed.alerts;
  tellChanges(core, reviewed.changes, atMs, result);
  const repeated = repeats(core.alerts, atMs, seen.picture.utcOffsetMs);
  core.alerts = repeated.alerts;
  for (const sentence of repeated.out) result.out.push({ class: "alerts", sentence, atMs });
  const { state, told } = bulletinFor(core.bulletin, bulletinNow(core.last, core.watch), atMs);
  core.bulletin = state;
  for (const one of told) result.out.push({ ...one, atMs });
}

function tellChanges(core: Core, changes: readonly Alert[], atMs: number, result: Advance): void {
  if (changes.length === 0) return;
  const told = announce(core.alerts, changes, atMs, core.last.picture.utcOffsetMs);
  core.alerts = told.alerts;
  result.changes.push(...changes);
  for (const sentence of told.out) result.out.push({ class: "alerts", sentence, atMs });
}

function bulletinNow(last: Second, watch: WatchState): Bulletin {
  const { figures, picture } = last;
  const { stay } = watch;
  return {
    anchor: stay.anchor?.position ?? stay.slipped,
    down: isDown(stay.phase),
    rangeM: figures.circle?.rangeM,
    bearingDeg: figures.circle?.bearingDeg,
    variationDeg: picture.variationDeg,
    utcOffsetMs: picture.utcOffsetMs,
    rodeRequiredM: figures.scope.requiredM,
    scope: figures.scope.now,
    pullDeg: figures.tackle.pullDeg,
  };
}

/** Sentences heard in one second are kept to this many; a flood beyond it is counted and passed over. */
const MOST_A_SECOND = 20_000;

function hear(core: Core, line: Line, settings: CoreSettings, result: Advance): void {
  const rule = settings.ports[line.port] ?? UNKNOWN_PORT;
  const { pieces, tagDropped } = decode(line.text, rule);
  core.counts[line.port] ??= noCounts();
  const counts = core.counts[line.port] as PortCounts;
  count(counts, pieces, tagDropped);
  for (const [i, piece] of pieces.entries()) {
    if (piece.kind !== "sentence") continue;
    const { sentence } = piece;
    if (sentence.id === "PRDW") takeOrder(core, sentence, rule, line.atMs, result, settings);
    else if (sentence.id === "ACK" || sentence.id === "ACN")
      takeCommand(core, sentence, line.port, rule, line.atMs, result);
    else if (sentence.id === "HBT") takeHeartbeat(core, sentence, line.port, rule, line.atMs);
    else if (core.heard.length < MOST_A_SECOND)
      core.heard.push({ text: line.text, piece: i, sentence, port: line.port });
  }
}

type OwnSentence = Extract<Sentence, { id: "PRDW" }>;

function takeOrder(
  core: Core,
  sentence: OwnSentence,
  rule: PortRule,
  atMs: number,
  result: Advance,
  settings: CoreSettings,
): void {
  const content = sentence.content;
  const verb = content?.order?.verb ?? (content?.problem === undefined ? "" : content.verb);
  // Our own answers coming back are echoes.
  if (verb === "ACK" || verb === "NAK") return;
  const internalOnly = verb === "FACT" || verb === "SET";
  const allowed = internalOnly ? rule.internal : rule.operator;
  let reason: string | undefined;
  if (!allowed) reason = "port";
  else if (content?.order === undefined) reason = "format";
  else reason = carryOut(core, content.order, settings);
  if (verb === "FACT" && reason === undefined) return;
  const order: Order =
    reason === undefined ? { verb: "ACK", answered: verb } : { verb: "NAK", answered: verb, reason };
  result.out.push({
    class: "acts",
    sentence: { id: "PRDW", talker: "P", content: { order, problem: undefined } },
    atMs,
  });
}

/** Returns why it is refused. */
function carryOut(core: Core, order: Order, settings: CoreSettings): string | undefined {
  if (order.verb === "SET") {
    const values = { ...core.tuned?.values, [order.key ?? ""]: order.value ?? "" };
    const watch = settings.inUse(values);
    if (typeof watch === "string") return watch;
    core.tuned = { values, watch };
    return undefined;
  }
  const answer = act(core.watch, order, core.last.picture, core.tuned?.watch ?? settings.watch);
  if (!answer.ok) return answer.reason;
  core.watch = answer.state;
  core.last = { ...core.last, stay: answer.state.stay };
  return undefined;
}

function takeCommand(
  core: Core,
  sentence: AlertCommand,
  port: string,
  rule: PortRule,
  atMs: number,
  result: Advance,
): void {
  if (!rule.acknowledge) return;
  const handled = handleAlertCommand(core.alerts, sentence, port, atMs, core.last.picture.utcOffsetMs);
  core.alerts = handled.alerts;
  for (const answer of handled.out) result.out.push({ class: "alerts", sentence: answer, atMs });
  tellChanges(core, handled.changes, atMs, result);
}

/** Only a display whose commands are believed can answer for an alert. */
function takeHeartbeat(core: Core, sentence: Heartbeat, port: string, rule: PortRule, atMs: number): void {
  if (!rule.acknowledge) return;
  core.alerts = { ...core.alerts, heartbeats: heartbeat(core.alerts.heartbeats, port, sentence, atMs) };
}

/** What a restart resumes from. The instruments are left out: what they knew is stale by then. */
export interface SavedWatch {
  atMs: number;
  watch: WatchState;
  alerts: Alerts;
}

export function savedFrom(core: Core): SavedWatch {
  return { atMs: core.atMs, watch: core.watch, alerts: core.alerts };
}

/** Goes on with a saved watch. Time off is not walked, nor lost data; each active alert is announced anew. */
export function resume(saved: SavedWatch, settings: CoreSettings, atMs: number): Core {
  const core = begin(settings, Math.max(atMs, saved.atMs));
  const seen = (beforeMs: number | undefined) => (beforeMs === undefined ? undefined : core.atMs);
  const { depth, wind, heading } = saved.watch.seenMs;
  const { undo } = saved.watch;
  core.watch = {
    ...saved.watch,
    drag: soundDrag(saved.watch.drag),
    undo: undo && { ...undo, drag: undo.drag && soundDrag(undo.drag) },
    // What an older daemon did not know yet begins empty.
    memory: { ...nothingRemembered(), ...saved.watch.memory },
    startedMs: core.atMs,
    seenMs: { depth: seen(depth), wind: seen(wind), heading: seen(heading) },
    latches: unturned(saved.watch.latches),
    facts: {},
    shallows: { seconds: 0, heard: 0 },
    still: undefined,
    closing: undefined,
  };
  core.alerts = announcedAgain(saved.alerts, core.atMs);
  core.last = { ...core.last, stay: core.watch.stay };
  return core;
}

function unturned(latches: WatchState["latches"]): WatchState["latches"] {
  return Object.fromEntries(
    Object.entries(latches).map(([key, latch]) => [key, { on: latch.on, turningSinceMs: undefined }]),
  );
}
