/** Listening to a port under test, and waiting for what it should do. */
import { setTimeout as sleep } from "node:timers/promises";
import type { PortDeps, PortEvents } from "../../src/ports/port.ts";

export interface Ear {
  lines: string[];
  states: { up: boolean; why: string }[];
  events: PortEvents;
}

export function createEar(): Ear {
  const lines: string[] = [];
  const states: { up: boolean; why: string }[] = [];
  return {
    lines,
    states,
    events: {
      line: (text) => lines.push(text),
      state: (up, why) => states.push({ up, why }),
    },
  };
}

/** What was logged, as `level text`. */
export interface Journal {
  entries: { level: string; fields: object; text: string }[];
  deps: PortDeps;
}

/** Retries as soon as the jitter allows (random 0: the first after 375 ms). */
export function createJournal(): Journal {
  const entries: Journal["entries"] = [];
  const at = (level: string) => (fields: object, text: string) => {
    entries.push({ level, fields, text });
  };
  return {
    entries,
    deps: { log: { info: at("info"), warn: at("warn"), debug: at("debug") }, random: () => 0 },
  };
}

/** Waits until `met` holds; fails with what was waited for. */
export async function until(met: () => boolean, what: string, limitMs = 3000): Promise<void> {
  const endMs = performance.now() + limitMs;
  while (!met()) {
    if (performance.now() > endMs) throw new Error(`waited ${limitMs} ms in vain: ${what}`);
    await sleep(2);
  }
}

/** How many of each kind of thing keep this process alive (sockets and the like). */
export function keptAlive(): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const kind of process.getActiveResourcesInfo()) counts[kind] = (counts[kind] ?? 0) + 1;
  return counts;
}

/**
 * Follows every timer started from now on through the global `setTimeout` (the test runner's own do not go
 * through it), while they run as ever. `pending` says how many are neither over nor cleared.
 */
export function watchTimers(): { pending(): number; stop(): void } {
  const real = { setTimeout: globalThis.setTimeout, clearTimeout: globalThis.clearTimeout };
  const pending = new Set<unknown>();
  const start = (run: () => void, ms: number) => {
    const timer = real.setTimeout(() => {
      pending.delete(timer);
      run();
    }, ms);
    pending.add(timer);
    return timer;
  };
  const clear = (timer: NodeJS.Timeout) => {
    pending.delete(timer);
    real.clearTimeout(timer);
  };
  Object.assign(globalThis, { setTimeout: start, clearTimeout: clear });
  return { pending: () => pending.size, stop: () => Object.assign(globalThis, real) };
}

/** Bytes really in use, after collecting garbage. */
export async function usedBytes(): Promise<number> {
  const { setFlagsFromString } = await import("node:v8");
  const { runInNewContext } = await import("node:vm");
  setFlagsFromString("--expose-gc");
  const collect = runInNewContext("gc") as () => void;
  collect();
  await sleep(5);
  collect();
  const { heapUsed, external } = process.memoryUsage();
  return heapUsed + external;
}
