/** What was heard on a port, counted: accepted and each reason of refusal. */
import type { Reason } from "./frame.ts";
import type { Piece } from "./table.ts";

export interface PortCounts {
  accepted: number;
  refused: Partial<Record<Reason, number>>;
  tagDropped: number;
  overLong: number;
}

export function noCounts(): PortCounts {
  return { accepted: 0, refused: {}, tagDropped: 0, overLong: 0 };
}

/** Adds these pieces to the counts, in place. */
export function count(counts: PortCounts, pieces: readonly Piece[], tagDropped: number): void {
  counts.tagDropped += tagDropped;
  for (const piece of pieces) {
    if (piece.kind === "refused") {
      counts.refused[piece.reason] = (counts.refused[piece.reason] ?? 0) + 1;
      continue;
    }
    counts.accepted++;
    if (piece.overLong) counts.overLong++;
  }
}

/** All ports together. */
export function sumOf(all: Readonly<Record<string, PortCounts>>): PortCounts {
  const sum = noCounts();
  for (const counts of Object.values(all)) {
    sum.accepted += counts.accepted;
    sum.tagDropped += counts.tagDropped;
    sum.overLong += counts.overLong;
    for (const [reason, n] of Object.entries(counts.refused)) {
      sum.refused[reason as Reason] = (sum.refused[reason as Reason] ?? 0) + n;
    }
  }
  return sum;
}
