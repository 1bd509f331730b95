/** Facts told by the edges (a port down, the log failing) as findings. */
import type { Picture } from "../instruments/picture.ts";
import { MINUTE_MS, SECOND_MS } from "../units/time.ts";
import type { AlertKey, Finding, Priority } from "./finding.ts";
import { isHeld } from "./latch.ts";
import { isDown, type WatchState } from "./state.ts";

const FACTS: Partial<Record<AlertKey, Priority>> = {
  "log-failing": "warning",
  "port-down": "caution",
  "supply-low": "warning",
};

const STEP_SHOWN_MS = 10 * MINUTE_MS;
const ROOM = 43;

/** A port that comes and goes makes one alert, not hundreds. */
const PORT_BACK = { onMs: 0, offMs: 30 * SECOND_MS };

/** The alert a fact key stands for: `port-down:bus` is a `port-down`. */
export function factAlert(key: string): AlertKey | undefined {
  const alert = (key.split(":")[0] ?? "") as AlertKey;
  return Object.hasOwn(FACTS, alert) || alert === "unheard" ? alert : undefined;
}

/** `state.latches` is brought up to date in place. */
export function factFindings(state: WatchState, picture: Picture): Finding[] {
  const findings = new Map<AlertKey, Finding>();
  for (const [key, fact] of Object.entries(state.facts)) {
    const alert = factAlert(key);
    if (alert === undefined || (alert === "unheard" && !isDown(state.stay.phase))) continue;
    const before = findings.get(alert)?.text;
    const text = (before === undefined ? fact.text : `${before}; ${fact.text}`).slice(0, ROOM);
    findings.set(alert, { key: alert, priority: FACTS[alert] ?? "warning", text, amount: undefined });
  }
  const portDown = findings.has("port-down");
  if (isHeld(state.latches, "port-down", portDown, PORT_BACK, picture.atMs) && !portDown) {
    const text = "Back, not steady yet";
    findings.set("port-down", { key: "port-down", priority: "caution", text, amount: undefined });
  }
  const steppedMs = picture.clockSteppedAtMs;
  if (steppedMs !== undefined && picture.atMs - steppedMs < STEP_SHOWN_MS) {
    findings.set("clock-stepped", {
      key: "clock-stepped",
      priority: "caution",
      text: "UTC was set anew by the receiver",
      amount: undefined,
    });
  }
  return [...findings.values()];
}
