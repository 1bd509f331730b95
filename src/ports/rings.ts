/**
 * Rings of gateways: what we made ourselves and sent on one port only is heard on another, from which we pass on to
 * the first. So somebody out there passes the first on to the other, and all that is passed on goes round: the last
 * word of a dead instrument would live for ever. In: where our own went and where it is heard; out: whether a way is
 * open.
 */
import type { ForwardPlan } from "./forwarding.ts";

/** `closed` true: what goes out on `to` comes back on `from`, and no more is passed on; false: it is tried again. */
export type RingTold = (to: string, from: string, closed: boolean) => void;

/** So long a way stays closed. */
export const RING_MS = 10 * 60_000;

type Way = Pick<ForwardPlan, "to" | "from">;

export function createRings(ways: readonly Way[], told: RingTold = () => {}) {
  const closedMs = new Map<string, number>();
  const keyOf = (to: string, from: string) => `${to}\n${from}`;
  return {
    /** A sentence of ours, sent to these ports, was heard on `port`. */
    heard(wentTo: ReadonlySet<string> | undefined, port: string, nowMs: number): void {
      // One that went out on several ports may have come by any of them: no proof against this one.
      if (wentTo?.size !== 1 || wentTo.has(port)) return;
      for (const { to, from } of ways) {
        if (!wentTo.has(to) || !from.includes(port)) continue;
        const key = keyOf(to, port);
        const isNew = !closedMs.has(key);
        closedMs.set(key, nowMs);
        if (isNew) told(to, port, true);
      }
    },
    /** Is anything passed on from `port` this way, now? */
    isOpen({ to, from }: Way, port: string, nowMs: number): boolean {
      if (!from.includes(port)) return false;
      const sinceMs = closedMs.get(keyOf(to, port));
      if (sinceMs === undefined) return true;
      if (nowMs - sinceMs < RING_MS) return false;
      closedMs.delete(keyOf(to, port));
      told(to, port, false);
      return true;
    },
  };
}
