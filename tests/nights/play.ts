/**
 * One drawn night through the whole core, as sentences. In: what kind of night, a seed, perhaps a receiver's
 * profile; out: what was alarmed and when, against the truth that the core never sees.
 */

import { readConfig } from "../../src/config/read.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { advance, begin, type Core, type CoreSettings } from "../../src/core.ts";
import { seal } from "../../src/nmea/seal.ts";
import { type Night, type NightKind, nightOf } from "../../src/rehearsal/nights/night.ts";
import { papersText } from "../../src/rehearsal/nights/papers.ts";
import { rehearse, type Second } from "../../src/rehearsal/rehearsal.ts";
import { positionFields, SOURCE } from "../../src/rehearsal/sentences.ts";
import { distanceM } from "../../src/units/position.ts";
import type { ReceiverProfile } from "../../src/watch/receiver.ts";

export interface Raised {
  key: "dragging" | "outside-circle";
  atS: number;
  /** What the anchor had dragged by then, m. */
  movedM: number;
}

export interface NightResult {
  kind: NightKind;
  seed: number;
  hours: number;
  /** Alarms and early warnings while the anchor held; those within 15 min of each other once. */
  falseAlarms: Raised[];
  falseWarnings: Raised[];
  /** First alarm and first warning (or alarm) after the anchor began to move; undefined: missed, or no drag. */
  drag: { atS: number; wentM: number; alarm: Raised | undefined; early: Raised | undefined } | undefined;
  /** Of the fitted anchor at the end, before any drag; and how far round she had lain. */
  anchorErrorM: number | undefined;
  arcDeg: number;
  receiver: string;
  cpuS: number;
  /** What it taught of the receiver. */
  profile: ReceiverProfile | undefined;
}

/** Called once for each second walked. */
export type Onlooker = (core: Core, second: Second, settings: CoreSettings) => void;

const ANSWER_S = 600;
const ONCE_S = 900;
const ENOUGH_M = 190;

/** Further options: a profile of the receiver, configuration changed, sentences changed on the way in. */
export interface PlayOptions {
  profile?: ReceiverProfile | undefined;
  papers?: (text: string) => string;
  lines?: (lines: readonly string[], atS: number) => readonly string[];
  onlooker?: Onlooker;
  /** Ends the night early, seconds. */
  untilS?: number;
}

export function playNight(kind: NightKind, seed: number, options: PlayOptions = {}): NightResult {
  return play(nightOf(kind, seed), kind, seed, options).result;
}

export function play(night: Night, kind: NightKind, seed: number, options: PlayOptions) {
  const text = papersText(night.papers);
  const config = readConfig(options.papers?.(text) ?? text);
  if (!config.ok) throw new Error(config.problems.join("; "));
  const settings = coreSettings(config.config, { utc: "learn", ignoreOperator: false });
  settings.watch.receiverProfile = options.profile;
  const rehearsal = rehearse(night.scene, seed);
  const log = new NightLog(kind, seed);
  const began = process.cpuUsage();
  let core = begin(settings, rehearsal.startMs);
  for (let second = rehearsal.next(); second !== undefined; second = rehearsal.next()) {
    const atS = Math.round((second.atMs - rehearsal.startMs) / 1000);
    const lines = options.lines?.(second.lines, atS) ?? second.lines;
    for (const line of lines) {
      const stamp = Number(/c:(\d+)/.exec(line)?.[1] ?? second.atMs);
      core = advance(core, { kind: "line", text: line, port: SOURCE, atMs: stamp }, settings).core;
    }
    const answer = log.note(core, second, atS);
    if (answer !== undefined)
      core = advance(core, { kind: "line", text: answer, port: SOURCE, atMs: second.atMs }, settings).core;
    options.onlooker?.(core, second, settings);
    if (log.isOver(second) || atS === options.untilS) break;
  }
  const { user, system } = process.cpuUsage(began);
  return { core, result: log.result(core, (user + system) / 1e6) };
}

/** Keeps count through a night. */
class NightLog {
  private readonly raised = { alarm: [] as Raised[], warning: [] as Raised[] };
  private readonly on = new Set<string>();
  private answerS: number | undefined;
  private readonly bearings = new Set<number>();
  private anchorErrorM: number | undefined;
  private movingS: number | undefined;
  private lastS = 0;
  private wentM = 0;
  private readonly kind: NightKind;
  private readonly seed: number;

  constructor(kind: NightKind, seed: number) {
    this.kind = kind;
    this.seed = seed;
  }

  /** The operator's answer to a false alarm, ten minutes after it: the anchor is where it was. */
  note(core: Core, { truth }: Second, atS: number): string | undefined {
    this.lastS = atS;
    this.wentM = truth.draggedM;
    if (truth.draggedM > 0.01) this.movingS ??= atS;
    for (const key of ["dragging", "outside-circle"] as const) {
      const active = core.alerts.active[key];
      const priority = active !== undefined && isStanding(active.status) ? active.priority : undefined;
      this.edge(`${key}/alarm`, priority === "alarm", { key, atS, movedM: truth.draggedM });
      if (key === "dragging")
        this.edge(`${key}/warning`, priority === "warning", { key, atS, movedM: truth.draggedM });
    }
    this.follow(core, truth);
    if (this.movingS !== undefined || this.answerS === undefined || atS < this.answerS) return undefined;
    this.answerS = undefined;
    const anchor = core.watch.stay.anchor;
    return anchor && seal(`PRDW,PLACE,${positionFields(anchor.position, 4)}`);
  }

  private edge(what: string, on: boolean, raised: Raised): void {
    if (on && !this.on.has(what)) {
      const alarm = what.endsWith("alarm");
      this.raised[alarm ? "alarm" : "warning"].push(raised);
      if (alarm && this.movingS === undefined) this.answerS ??= raised.atS + ANSWER_S;
    }
    if (on) this.on.add(what);
    else this.on.delete(what);
  }

  private follow(core: Core, truth: Second["truth"]): void {
    if (this.movingS !== undefined || truth.anchor === undefined) return;
    const { anchor } = core.last.figures.drag;
    if (anchor !== undefined) this.anchorErrorM = distanceM(anchor, truth.anchor);
    const bearing = core.last.figures.circle?.bearingDeg;
    if (bearing !== undefined) this.bearings.add(Math.floor(bearing / 10));
  }

  isOver({ truth }: Second): boolean {
    if (this.movingS === undefined) return false;
    const movingS = this.movingS;
    return truth.draggedM > ENOUGH_M || this.raised.alarm.some(({ atS }) => atS >= movingS);
  }

  result(core: Core, cpuS: number): NightResult {
    const untilS = this.movingS ?? Number.POSITIVE_INFINITY;
    const before = (all: Raised[]) => once(all.filter(({ atS }) => atS < untilS));
    const after = (all: Raised[]) => all.find(({ atS }) => atS >= untilS);
    const alarm = after(this.raised.alarm);
    const warning = after(this.raised.warning);
    const early = [alarm, warning].filter((one) => one !== undefined).sort((a, b) => a.atS - b.atS)[0];
    const { receiver } = core.last.figures.drag;
    return {
      kind: this.kind,
      seed: this.seed,
      hours: Math.min(this.lastS, untilS) / 3600,
      falseAlarms: before(this.raised.alarm),
      falseWarnings: before(this.raised.warning),
      drag: this.movingS === undefined ? undefined : { atS: this.movingS, wentM: this.wentM, alarm, early },
      anchorErrorM: this.anchorErrorM,
      arcDeg: this.bearings.size * 10,
      receiver: receiver === undefined ? "" : `${receiver.velocity} ${receiver.wanderM.toFixed(1)} m`,
      cpuS,
      profile: core.watch.drag.receivers.find(({ source }) => source === core.watch.drag.source),
    };
  }
}

function isStanding(status: string): boolean {
  return status !== "rectified" && status !== "normal";
}

function once(all: readonly Raised[]): Raised[] {
  const kept: Raised[] = [];
  for (const one of [...all].sort((a, b) => a.atS - b.atS)) {
    const last = kept.at(-1);
    if (last === undefined || one.atS - last.atS >= ONCE_S) kept.push(one);
  }
  return kept;
}
