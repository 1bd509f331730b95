/** Sentences of one second in one order, whatever the order of their arrival. */
import type { Heard } from "./intake.ts";

/** A sentence heard, with the line it stood in and its place there. */
export interface Told extends Heard {
  text: string;
  piece: number;
}

/**
 * The sentences of one second in an order that does not depend on their arrival, repeats left out: so that
 * duplicated or reordered lines change nothing. The given row is sorted in place.
 */
export function inOneOrder(told: Told[]): Heard[] {
  told.sort(compare);
  return told.filter((one, i) => i === 0 || compare(told[i - 1] as Told, one) !== 0);
}

function compare(a: Told, b: Told): number {
  if (a.text !== b.text) return a.text < b.text ? -1 : 1;
  if (a.port !== b.port) return a.port < b.port ? -1 : 1;
  return a.piece - b.piece;
}
