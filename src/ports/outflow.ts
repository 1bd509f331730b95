/**
 * Output to one TCP peer, with a bound. What the system does not take at once is queued up to OUTFLOW_BOUND
 * bytes; a peer that lets more pile up, or takes nothing for STALLED_MS, is to be given up.
 */
import type { Socket } from "node:net";

export const OUTFLOW_BOUND = 64 * 1024;
export const STALLED_MS = 30_000;

export interface OutflowCounts {
  sent(): void;
  dropped(count: number): void;
}

/**
 * A function that writes one line to the socket. It returns undefined, or why the peer is to be given up: then
 * that line was dropped, and the caller destroys the socket. Lines still queued in a destroyed socket count as
 * dropped.
 */
export function createOutflow(socket: Socket, counts: OutflowCounts): (line: Buffer) => string | undefined {
  let takenBytes = 0;
  let takenAtMs = performance.now();
  const settled = (error?: Error | null) => (error ? counts.dropped(1) : counts.sent());

  /** Has the peer taken anything since the last line? An empty queue counts as taken. */
  function stalledForMs(): number {
    const nowMs = performance.now();
    const nowBytes = socket.bytesWritten - socket.writableLength;
    if (socket.writableLength === 0 || nowBytes > takenBytes) takenAtMs = nowMs;
    takenBytes = nowBytes;
    return nowMs - takenAtMs;
  }

  return (line) => {
    if (!socket.writable) {
      counts.dropped(1);
      return "it is closed";
    }
    const full = socket.writableLength + line.length > OUTFLOW_BOUND;
    if (full || stalledForMs() >= STALLED_MS) {
      counts.dropped(1);
      return full ? "it reads too slowly" : "it takes nothing";
    }
    socket.write(line, settled);
    return undefined;
  };
}
