/**
 * Sorts what the core does into nights. In: each advance; out: buffers that wait to be written. A night is one
 * stay, from let go to aweigh or slip, with the ten minutes before it and a few seconds after. No I/O.
 */
import type { Alert } from "../alerts/life-cycle.ts";
import type { Advance, Input } from "../core.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { createApproach, type Entry } from "./approach.ts";
import {
  type Act,
  bufferAlert,
  bufferLine,
  bufferSample,
  type Ending,
  type NightBuffer,
  newBuffer,
} from "./night-buffer.ts";
import type { RawLine } from "./raw-chunk.ts";
import { type Phase, type Sample, sampleOf } from "./sample.ts";

export interface Recorder {
  /** Takes one advance in. True when it should be on disk at once. */
  take(advanced: Advance): boolean;
  /** Nights with something to write; ended ones are handed over for the last time. */
  buffers(): readonly NightBuffer[];
  /** Forgets ended nights that are written. */
  drop(buffer: NightBuffer): void;
  /** The end of an imported log. */
  end(atMs: number, ending: Ending): void;
}

/** Alerts that ended with the stay are still seen to end. */
const TAIL_MS = 10 * SECOND_MS;
const UNDO_MS = MINUTE_MS;
/** After an event the track stays at one row a second for so long. */
const EVENTFUL_MS = MINUTE_MS;
/** Nearer to the circle than this share of its radius is an event too. */
const NEAR_CIRCLE = 0.9;

/**
 * @param keepRaw keep the lines too
 * @param resumed gives the night that a restarted watch goes on with
 */
export function createRecorder(
  keepRaw: boolean,
  resumed: (atMs: number, letGoMs: number) => NightBuffer | undefined,
): Recorder {
  const approach = createApproach();
  const done = new Set<NightBuffer>();
  let night: NightBuffer | undefined;
  let last: NightBuffer | undefined;
  let phase: Phase | undefined;
  let eventMs = Number.NEGATIVE_INFINITY;
  /** Status and priority each alert had, by key: a repetition is no change of state. */
  const known = new Map<string, string>();

  const place = (into: NightBuffer, entry: Entry): void => {
    if (entry.kind === "sample") bufferSample(into, entry.sample, isEventful(entry.sample));
    else if (entry.kind === "line") bufferLine(into, entry.line);
    else if (entry.kind === "alert") bufferAlert(into, entry.alert);
    else into.acts.push(entry.act);
  };
  const keep = (entry: Entry): void => {
    approach.push(entry);
    if (night !== undefined) place(night, entry);
  };
  const isEventful = ({ atMs, phase: now, rangeM, circleM, draggedM }: Sample): boolean => {
    if (now !== "riding" || atMs - eventMs <= EVENTFUL_MS || draggedM !== undefined) return true;
    return rangeM !== undefined && circleM !== undefined && rangeM > NEAR_CIRCLE * circleM;
  };

  const begin = (atMs: number, letGoMs: number): void => {
    const entries = approach.entries();
    const fromMs = entries[0]?.atMs ?? atMs;
    night = (phase === undefined ? resumed(fromMs, letGoMs) : undefined) ?? newBuffer(fromMs, letGoMs);
    for (const entry of entries) place(night, entry);
    done.add(night);
    last = night;
  };
  /** Aweigh was taken back: the night goes on, with what came after its tail. */
  const reopen = (ended: NightBuffer): void => {
    const wasOpen = night === ended;
    night = ended;
    ended.ended = undefined;
    done.add(ended);
    if (!wasOpen) for (const entry of approach.entries()) place(ended, entry);
  };
  const finish = (atMs: number, ending: Ending | "undone"): void => {
    if (night === undefined) return;
    if (ending === "undone") {
      night.undone = true;
      night = undefined;
      return;
    }
    night.ended = { atMs, ending };
    approach.clear();
  };
  const closeTail = (atMs: number): void => {
    if (night?.ended === undefined || atMs <= night.ended.atMs + TAIL_MS) return;
    night = undefined;
    approach.clear();
  };
  const goDown = (atMs: number, letGoMs: number, text: string): void => {
    const isUndo =
      last?.ended !== undefined && atMs - last.ended.atMs <= UNDO_MS && text.includes("PRDW,UNDO");
    if (isUndo && last !== undefined) reopen(last);
    else begin(atMs, letGoMs);
  };
  /** Letting go and aweigh come by acts, the rest by the clock. */
  const follow = (now: Phase, atMs: number, letGoMs: number, text: string): boolean => {
    if (now === phase) return false;
    const wasDown = phase !== undefined && phase !== "underway";
    const isDown = now !== "underway";
    if (isDown && !wasDown) goDown(atMs, letGoMs, text);
    if (wasDown || isDown) night?.phases.push({ atMs, phase: now });
    if (wasDown && !isDown) finish(atMs, endingOf(text, phase));
    phase = now;
    eventMs = atMs;
    return wasDown || isDown;
  };

  /** True when a state has changed. */
  const takeChanges = (changes: readonly Alert[]): boolean => {
    const news = changes.filter(({ key, status, priority }) => {
      const now = `${status} ${priority}`;
      if (known.get(key) === now) return false;
      known.set(key, now);
      return true;
    });
    for (const alert of news) {
      eventMs = Math.max(eventMs, alert.changedMs);
      keep({ kind: "alert", atMs: alert.changedMs, alert });
    }
    return news.length > 0;
  };

  return {
    take({ core, input, seconds, changes, out }) {
      for (const second of seconds) {
        closeTail(second.atMs);
        keep({ kind: "sample", atMs: second.atMs, sample: sampleOf(second) });
      }
      const atMs = Math.floor(Math.max(input.atMs, core.atMs));
      const line = lineOf(input, atMs);
      if (line !== undefined && keepRaw) keep({ kind: "line", atMs, line });
      const hasNews = takeChanges(changes);
      const act = line === undefined ? undefined : actOf(line, out);
      if (act !== undefined) {
        keep({ kind: "act", atMs, act });
        eventMs = atMs;
      }
      const { stay } = core.last;
      const turned = follow(stay.phase, atMs, stay.anchor?.sinceMs ?? atMs, line?.text ?? "");
      return turned || (night !== undefined && (hasNews || act !== undefined));
    },
    buffers: () => [...done],
    drop(buffer) {
      if (buffer !== night) done.delete(buffer);
    },
    end(atMs, ending) {
      finish(atMs, ending);
      night = undefined;
    },
  };
}

function lineOf(input: Input, atMs: number): RawLine | undefined {
  return input.kind === "line" ? { text: input.text, port: input.port, atMs } : undefined;
}

function actOf(line: RawLine, out: Advance["out"]): Act | undefined {
  const answer = out.find((one) => one.class === "acts")?.sentence;
  const order = answer?.id === "PRDW" ? answer.content?.order : undefined;
  if (order?.verb === "ACK") return { ...line, answer: "ACK" };
  return order?.verb === "NAK" ? { ...line, answer: `NAK ${order.reason ?? ""}`.trimEnd() } : undefined;
}

function endingOf(text: string, before: Phase | undefined): Ending | "undone" {
  if (text.includes("PRDW,SLIP")) return "slip";
  return text.includes("PRDW,UNDO") && before === "let-go" ? "undone" : "aweigh";
}
