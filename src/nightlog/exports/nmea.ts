/** A night's lines with a TAG block each, so that `replay` reads the times and ports they were heard with. */
import { tagBlock } from "../../nmea/seal.ts";
import type { RawLine } from "../raw-chunk.ts";

/** A recorder's own block gives way: the stamp and the port are what the watch went by. */
const OWN_BLOCKS = /^(?:\\[^\\$!]*\\)+/;

export function* nmeaOf(lines: Iterable<RawLine>): Generator<string> {
  for (const { atMs, port, text } of lines)
    yield `${tagBlock(atMs, port)}${text.replace(OWN_BLOCKS, "")}\r\n`;
}
