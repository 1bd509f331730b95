/**
 * Bytes in, lines out. No clock, no I/O, and at most LONGEST_LINE bytes kept, whatever arrives: at a wrong baud
 * rate there may never be a line end.
 */

/** Far above the 82 of a sentence, with TAG blocks before it and a few glued together. */
export const LONGEST_LINE = 1024;

const LF = 10;
const CR = 13;

export interface SplitterStats {
  bytes: number;
  lines: number;
  /** Bytes (line ends apart) that were received and never handed over. */
  overrunBytes: number;
}

export interface LineSplitter {
  push(chunk: Uint8Array): void;
  /** The input is complete (end of a file, of a datagram): what is left over is a line. */
  flush(): void;
  /** The connection was lost: what is left over may have lost digits, so it is no line. */
  discard(): void;
  readonly stats: Readonly<SplitterStats>;
}

/**
 * A line ends at LF, CR or CR LF. Empty lines are not handed over. A line of more than LONGEST_LINE bytes is
 * dropped up to its end and counted. Text is latin1: one character a byte, nothing lost.
 */
export function createSplitter(onLine: (text: string) => void): LineSplitter {
  const held = Buffer.alloc(LONGEST_LINE);
  let heldLength = 0;
  let overrunning = false;
  const stats: SplitterStats = { bytes: 0, lines: 0, overrunBytes: 0 };

  /** Keeps a piece of a line whose end has not come yet. */
  function hold(piece: Uint8Array): void {
    if (!overrunning && heldLength + piece.length <= LONGEST_LINE) {
      held.set(piece, heldLength);
      heldLength += piece.length;
      return;
    }
    stats.overrunBytes += heldLength + piece.length;
    heldLength = 0;
    overrunning = true;
  }

  function endLine(): void {
    const text = held.toString("latin1", 0, heldLength);
    heldLength = 0;
    overrunning = false;
    if (text === "") return;
    stats.lines += 1;
    onLine(text);
  }

  return {
    stats,
    push(chunk) {
      stats.bytes += chunk.length;
      let start = 0;
      for (let i = 0; i < chunk.length; i++) {
        const byte = chunk[i];
        if (byte !== LF && byte !== CR) continue;
        if (i > start) hold(chunk.subarray(start, i));
        start = i + 1;
        endLine();
      }
      if (start < chunk.length) hold(chunk.subarray(start));
    },
    flush: endLine,
    discard() {
      stats.overrunBytes += heldLength;
      heldLength = 0;
      overrunning = false;
    },
  };
}
