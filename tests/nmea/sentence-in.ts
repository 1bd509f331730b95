import { expect } from "vitest";
import { decode, type Sentence } from "../../src/nmea/table.ts";

/** The one sentence in a text; a failed test when there is none or another piece beside it. */
export function sentenceIn(text: string): Sentence {
  const [piece, ...others] = decode(text, { checksum: "required" }).pieces;
  expect(others).toEqual([]);
  if (piece?.kind !== "sentence") throw new Error(`${text}: ${JSON.stringify(piece)}`);
  return piece.sentence;
}
