/** What was heard on a port, counted: accepted and each reason of refusal. */
import type { Reason } from "./frame.ts";
import type { Piece } from "./table.ts";

export interface PortCounts {
  accepted: number;
  refused: Partial<Record<Reason, number>>;
  tagDropped: number;
  overLong: number;
}

export const NO_COUNTS: PortCounts = { accepted: 0, refused: {}, tagDropped: 0, overLong: 0 };

/** The same counts with these pieces added. */
export function count(before: PortCounts, pieces: readonly Piece[], tagDropped: number): PortCounts {
  const counts = { ...before, tagDropped: before.tagDropped + tagDropped };
  for (const piece of pieces) {
    if (piece.kind === "refused") {
      counts.refused = { ...counts.refused, [piece.reason]: (counts.refused[piece.reason] ?? 0) + 1 };
      continue;
    }
    counts.accepted++;
    if (piece.overLong) counts.overLong++;
  }
  return counts;
}

/** All ports together. */
export function sumOf(all: Readonly<Record<string, PortCounts>>): PortCounts {
  const sum: PortCounts = { ...NO_COUNTS, refused: {} };
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
