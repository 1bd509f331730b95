/**
 * Orders (PRDW) that come by two ways: a gateway that serves one port by TCP and another by UDP gives each of them
 * twice. An anchor moved 20 m would be moved 40, and UNDO would undo the copy. In: lines and the time; no I/O.
 */
import { frames } from "../nmea/frame.ts";

/** Two people who mean the same do not say it on two ports within this. */
export const SECOND_HAND_MS = 2_000;
const MOST_KEPT = 64;

export interface SecondHand {
  /** Is this an order that has just been heard on another port? */
  isSecondHand(text: string, port: string, nowMs: number): boolean;
}

export function createSecondHand(): SecondHand {
  const heard = new Map<string, { port: string; atMs: number }>();
  const isKnown = (order: string, port: string, nowMs: number): boolean => {
    const before = heard.get(order);
    if (before !== undefined && nowMs - before.atMs <= SECOND_HAND_MS && before.port !== port) return true;
    heard.delete(order);
    heard.set(order, { port, atMs: nowMs });
    const [oldest] = heard.keys();
    if (heard.size > MOST_KEPT && oldest !== undefined) heard.delete(oldest);
    return false;
  };
  return {
    isSecondHand(text, port, nowMs) {
      if (!text.includes("PRDW,")) return false;
      // Sound ones only: the core refuses a damaged copy, and it must not take the good one with it.
      const { pieces } = frames(text, { checksum: "required" });
      const orders = pieces.flatMap((piece) =>
        piece.kind === "frame" && piece.address === "PRDW" ? [piece.places.join(",")] : [],
      );
      if (orders.length === 0 || orders.length < pieces.length) return false;
      // Each is looked at, so that each is remembered.
      return orders.map((order) => isKnown(order, port, nowMs)).every((known) => known);
    },
  };
}
