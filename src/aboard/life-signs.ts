/**
 * Signs of life to the service manager, and an eye on the event loop. A sign is given only while the loop turns,
 * every second has been walked and every line that came has been handled to its end; a bus that is quiet is no
 * fault of the daemon (`position-lost` speaks of it). In: the daemon's health; out: signs, or the lack of them.
 */
import { SECOND_MS } from "../units/time.ts";
import type { ServiceManager } from "./service-manager.ts";

export interface Health {
  ok: boolean;
  why: string;
}

export interface LifeSigns {
  close(): void;
}

interface LifeSignsPlan {
  manager: ServiceManager;
  health: () => Health;
  /** One line of how she lies, for `systemctl status`. */
  status: () => string;
  log: { warn(fields: object, text: string): void };
}

const LOOK_MS = 500;
/** Far above what a busy small board is late by, far below what an alarm may wait. */
const STALL_MS = 2 * SECOND_MS;
/** Two may be lost, and the third is in time. */
const SIGNS_A_LIMIT = 3;
/** Timers waver: a look that comes this much before a sign is due gives it, rather than the next look. */
const EARLY_SHARE = 0.5;

export function openLifeSigns({ manager, health, status, log }: LifeSignsPlan): LifeSigns {
  const everyMs = (manager.limitMs ?? Number.POSITIVE_INFINITY) / SIGNS_A_LIMIT;
  const lookEachMs = Math.min(LOOK_MS, everyMs);
  let lookedAtMs = performance.now();
  let signedAtMs = lookedAtMs;
  let isIll = false;

  const look = (): void => {
    const nowMs = performance.now();
    const lateMs = nowMs - lookedAtMs - lookEachMs;
    lookedAtMs = nowMs;
    if (lateMs > STALL_MS)
      log.warn({ stalledS: Math.round(lateMs / 100) / 10 }, "the watch stood still: nothing was handled");
    if (nowMs - signedAtMs < everyMs - EARLY_SHARE * lookEachMs) return;
    const { ok, why } = health();
    if (!ok && !isIll) log.warn({ why }, "no sign of life is given to the service manager");
    isIll = !ok;
    if (ok && manager.alive(status())) signedAtMs = nowMs;
  };
  const looking = setInterval(look, lookEachMs);
  return { close: () => clearInterval(looking) };
}
