/**
 * A night again under other settings: its sentences through the same core. In: lines and settings; out: the alerts
 * that would have come, next to those that did.
 */
import { setImmediate as turn } from "node:timers/promises";
import { advance, begin, type Core, type CoreSettings } from "../core.ts";
import type { RawLine } from "../nightlog/raw-chunk.ts";
import type { NightAlert } from "../nightlog/review.ts";
import type { Compared } from "../page/night-state.ts";
import { MINUTE_MS, parseInstant, SECOND_MS } from "../units/time.ts";
import { createSummary, type Summary } from "./summary.ts";

export interface RerunOptions {
  /** Lines there are, for the progress. */
  total: number;
  progress: (percent: number) => void;
  /** Ends it early, with what was found so far. */
  signal?: AbortSignal;
}

const SLICE = 2000;

/** The summary of the night as it would have been. Undefined when it was ended early or holds no lines. */
export async function rerun(
  lines: Iterable<RawLine>,
  settings: CoreSettings,
  { total, progress, signal }: RerunOptions,
): Promise<Summary | undefined> {
  const maker = createSummary();
  let core: Core | undefined;
  let firstMs: number | undefined;
  let lastMs = 0;
  let done = 0;
  for (const { text, port, atMs } of lines) {
    core ??= begin(settings, atMs);
    firstMs ??= atMs;
    lastMs = atMs;
    const advanced = advance(core, { kind: "line", text, port, atMs }, settings);
    core = advanced.core;
    maker.take(advanced);
    if (++done % SLICE !== 0) continue;
    progress(Math.min(100, Math.round((100 * done) / Math.max(1, total))));
    await turn();
    if (signal?.aborted === true) return undefined;
  }
  if (core === undefined) return undefined;
  maker.take(advance(core, { kind: "tick", atMs: lastMs + SECOND_MS }, settings));
  return maker.summary(core, firstMs, lastMs);
}

/** Raisings of one key this near in time are the same event. */
const SAME_MS = 2 * MINUTE_MS;

/** Both lists paired, in order of time. Only what came from let go on is compared: before, nothing was kept. */
export function compared(was: readonly NightAlert[], now: Summary["alerts"], fromMs: number): Compared[] {
  const left = now
    .map((alert) => ({ ...alert, raisedMs: parseInstant(alert.raisedAt) ?? 0 }))
    .filter(({ raisedMs, clearedAt }) => raisedMs >= fromMs || clearedAt === null);
  const pairs: Compared[] = was.map((one) => {
    const i = left.findIndex(
      ({ key, raisedMs }) => key === one.key && Math.abs(raisedMs - one.raisedMs) <= SAME_MS,
    );
    const [match] = i < 0 ? [] : left.splice(i, 1);
    return { key: one.key, was: raising(one), now: match === undefined ? null : raising(match) };
  });
  const added = left.map((one) => ({ key: one.key, was: null, now: raising(one) }));
  const timeOf = ({ was: a, now: b }: Compared): number => a?.raisedMs ?? b?.raisedMs ?? 0;
  return [...pairs, ...added].sort((a, b) => timeOf(a) - timeOf(b));
}

function raising({ priority, raisedMs, text }: NonNullable<Compared["was"]>): Compared["was"] {
  return { priority, raisedMs, text };
}
