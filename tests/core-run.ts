/** Inputs run through the core, for tests of the whole path. */
import { advance, begin, type Core, type Input } from "../src/core.ts";
import { seal } from "../src/nmea/seal.ts";
import { encode } from "../src/nmea/table.ts";
import { EVENING_MS } from "./instruments/aboard.ts";
import { CORE } from "./watch/night.ts";

export interface Ran {
  core: Core;
  out: string[];
  alerts: string[];
}

/** Runs inputs from the beginning, or from a core; every sentence out is written. */
export function run(inputs: readonly Input[], from: Core = begin(CORE, EVENING_MS)): Ran {
  let core = from;
  const out: string[] = [];
  const alerts: string[] = [];
  for (const input of inputs) {
    const advanced = advance(core, input, CORE);
    core = advanced.core;
    for (const one of advanced.out) out.push(`${one.atMs} ${one.class} ${encode(one.sentence)}`);
    for (const { changedMs, key, priority, status } of advanced.changes)
      alerts.push(`${changedMs} ${key} ${priority} ${status}`);
  }
  return { core, out, alerts };
}

export const line = (atMs: number, text: string, port = "bus"): Input => ({ kind: "line", atMs, text, port });
export const tick = (atS: number): Input => ({ kind: "tick", atMs: EVENING_MS + atS * 1000 });

/** The lines of a second, stamped within it. */
export const second = (s: number, texts: readonly string[], port = "bus"): Input[] =>
  texts.map((text, i) => line(EVENING_MS + (s - 1) * 1000 + 100 + i, text, port));

export const act = (s: number, body: string): Input =>
  line(EVENING_MS + s * 1000, seal(`PRDW,${body}`), "wheel");
