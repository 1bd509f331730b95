/**
 * What was learnt of each receiver, from the night log to a watch that begins with nothing saved, and back to the
 * log: each hour of a stay and at its end. A watch that is resumed has its own, which is newer.
 */
import type { Advance, Core } from "../core.ts";
import { HOUR_MS } from "../units/time.ts";
import { aNightOn, type ReceiverProfile, unknownReceiver } from "../watch/receiver.ts";
import { isSound } from "../watch/sound.ts";
import { isDown } from "../watch/state.ts";

interface ProfileLog {
  profiles(): unknown[];
  keepProfile(source: string, profile: unknown): void;
}

/** Gives a core that has just begun what the log knows. In place. */
export function teachReceivers(core: Core, { profiles }: Pick<ProfileLog, "profiles">): void {
  core.watch.drag.receivers.push(...profiles().filter(isProfile).map(aNightOn));
}

/** Of the shape that this version learns: one that an earlier version kept otherwise is learnt anew. */
function isProfile(value: unknown): value is ReceiverProfile {
  const { spread, velocity } = unknownReceiver("");
  if (!isRecord(value) || typeof value.source !== "string" || typeof value.nights !== "number") return false;
  return isSound(value) && hasAll(value.spread, spread) && hasAll(value.velocity, velocity);
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null;
}

/** Every key that holds something, with something of the same kind; lists as long. */
function hasAll(value: unknown, like: object): boolean {
  if (!isRecord(value)) return false;
  return Object.entries(like).every(([key, usual]) => {
    const own = value[key];
    if (usual === undefined) return true;
    if (Array.isArray(usual)) return Array.isArray(own) && own.length === usual.length;
    return typeof own === typeof usual && (!isRecord(usual) || hasAll(own, usual));
  });
}

export function createReceiverKeeper(log: ProfileLog): { take(advanced: Advance): void } {
  let wasDown = false;
  let keptMs: number | undefined;
  return {
    take({ core }) {
      const down = isDown(core.last.stay.phase);
      const ended = wasDown && !down;
      if (down) keptMs ??= core.atMs;
      wasDown = down;
      if (keptMs === undefined || (!ended && core.atMs - keptMs < HOUR_MS)) return;
      keptMs = down ? core.atMs : undefined;
      for (const profile of core.watch.drag.receivers) log.keepProfile(profile.source, profile);
    },
  };
}
