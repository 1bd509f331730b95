/**
 * What a sender's TAG blocks say of lines that have been lost: line counts (`n:`) and groups (`g:`). In: the text
 * of each line in its order; out: how many are missing. IEC 61162-450 uses the TAG block of NMEA 0183 4.x; the
 * line count runs to 999 and begins again (from memory: whether at 0 or 1 differs, so both are taken).
 */
import { checksumOf } from "../nmea/seal.ts";

export interface TagNews {
  source: string | undefined;
  /** Lines that the sender counted and that did not come. */
  missing: number;
  /** Why the block itself is not as the standard wants it; undefined: it is. */
  problem: string | undefined;
}

export interface TagAccount {
  take(line: string): TagNews;
}

const WRAP = 999;
/** A sender that begins anew counts from the beginning: more missing than this is no loss. */
const MOST_MISSING = 100;
const MOST_SOURCES = 256;

export function createTagAccount(): TagAccount {
  const counts = new Map<string, number>();
  const groups = new Map<string, { next: number; total: number; id: string }>();

  const missingByCount = (source: string, count: number): number => {
    const before = counts.get(source);
    remember(counts, source, count);
    if (before === undefined) return 0;
    const wrapped = before >= WRAP && count <= 1;
    const missing = wrapped ? 0 : (count - before - 1 + WRAP + 1) % (WRAP + 1);
    return missing > MOST_MISSING ? 0 : missing;
  };
  const missingByGroup = (source: string, group: string): number => {
    const [number = 0, total = 0] = group.split("-").map(Number);
    const id = group.split("-")[2] ?? "";
    const open = groups.get(source);
    const same = open !== undefined && open.id === id && open.total === total;
    let missing = 0;
    if (open !== undefined && !same) missing += open.total - open.next + 1;
    missing += number - (same ? open.next : 1);
    if (number < total) remember(groups, source, { next: number + 1, total, id });
    else groups.delete(source);
    return Math.max(0, missing);
  };

  return {
    take(line) {
      const block = /^\\([^\\]*)\\/.exec(line)?.[1];
      if (block === undefined) return wrong("a line without a TAG block");
      const fields = fieldsOf(block);
      if (fields === undefined) return wrong("a TAG block with a wrong checksum");
      const source = fields.get("s") ?? "";
      if (source === "") return wrong("a TAG block without its source");
      const count = fields.get("n");
      const group = fields.get("g");
      const isCount = count !== undefined && /^\d{1,3}$/.test(count);
      const isGroup = group !== undefined && /^\d{1,2}-\d{1,2}-\d+$/.test(group);
      const byCount = isCount ? missingByCount(source, Number(count)) : 0;
      const byGroup = isGroup ? missingByGroup(source, group) : 0;
      // The same loss, told twice.
      return { source, missing: Math.max(byCount, byGroup), problem: undefined };
    },
  };
}

function wrong(problem: string): TagNews {
  return { source: undefined, missing: 0, problem };
}

/** A wire can invent sources without end. */
function remember<T>(known: Map<string, T>, source: string, value: T): void {
  if (known.size >= MOST_SOURCES && !known.has(source)) known.clear();
  known.set(source, value);
}

/** `g:1-2-7,s:GP0001*hh` by letter; undefined when the checksum is wrong. */
function fieldsOf(block: string): Map<string, string> | undefined {
  const star = block.lastIndexOf("*");
  const body = block.slice(0, Math.max(star, 0));
  if (star < 0 || checksumOf(body) !== block.slice(star + 1).toUpperCase()) return undefined;
  return new Map(
    body.split(",").map((field) => [field.slice(0, field.indexOf(":")), field.slice(field.indexOf(":") + 1)]),
  );
}
