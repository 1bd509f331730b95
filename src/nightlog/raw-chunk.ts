/**
 * Lines as they were heard, in little room and without loss: sentences of one kind are laid in columns, one for
 * each place between commas, and sound checksums are left out and made anew. Then brotli. In: lines; out: bytes,
 * and back. Measured on recorded and simulated nights: 2 to 6 % of the text.
 */
import { setImmediate as turn } from "node:timers/promises";
import { promisify } from "node:util";
import { brotliCompress, brotliDecompressSync, constants } from "node:zlib";
import { checksumOf } from "../nmea/seal.ts";

export interface RawLine {
  /** latin1, without line end. */
  text: string;
  port: string;
  /** Whole milliseconds. */
  atMs: number;
}

const compress = promisify(brotliCompress);
/** 11 saves a sixth more and takes five times as long. */
const QUALITY = 9;
const PARAMS = { [constants.BROTLI_PARAM_QUALITY]: QUALITY, [constants.BROTLI_PARAM_LGWIN]: 22 };

/** Lines in so many turns of the loop: the compressing is another thread's, the laying of columns is not. */
const SLICE = 100;

/** Lines are taken a few at a time, with pauses in which others get their turn. */
export async function packed(lines: readonly RawLine[]): Promise<Buffer> {
  const columns = createColumns();
  for (const [i, line] of lines.entries()) {
    if (i % SLICE === SLICE - 1) await turn();
    columns.add(line);
  }
  const parts: Buffer[] = [];
  for (const text of columns.texts()) {
    parts.push(Buffer.from(text, "latin1"));
    await turn();
  }
  return compress(Buffer.concat(parts), { params: PARAMS });
}

/** Throws when the bytes are not what `packed` made. */
export function unpacked(data: Uint8Array): RawLine[] {
  return linesOf(brotliDecompressSync(data).toString("latin1"));
}

/** `[port, 1 where the checksum is left out, what stands before the first comma, places after it]` */
type Head = [port: string, sound: 0 | 1, head: string, places: number];

/** Texts of one kind: the same port, the same head, as many places. */
interface Kind {
  number: number;
  head: Head;
  places: string[][];
}

/** The heads as JSON, the kind of each line, the time of each, then each kind's places, a value a line. */
function createColumns() {
  const kinds = new Map<string, Kind>();
  const order: number[] = [];
  const steps: number[] = [];
  let lastMs = 0;
  const kindOf = (head: Head): Kind => {
    const key = head.join("\n");
    const known = kinds.get(key);
    if (known !== undefined) return known;
    const kind = { number: kinds.size, head, places: Array.from({ length: head[3] }, () => []) };
    kinds.set(key, kind);
    return kind;
  };
  return {
    add({ text, port, atMs }: RawLine): void {
      const body = soundBody(text);
      const [first = "", ...places] = (body ?? text).split(",");
      const kind = kindOf([port, body === undefined ? 0 : 1, first, places.length]);
      for (let i = 0; i < places.length; i++) kind.places[i]?.push(places[i] ?? "");
      order.push(kind.number);
      steps.push(atMs - lastMs);
      lastMs = atMs;
    },
    // A text holds no line end, so a line end can part the values.
    *texts(): Generator<string> {
      const all = [...kinds.values()];
      yield [JSON.stringify(all.map(({ head }) => head)), order.join(","), steps.join(",")].join("\n");
      for (const { places } of all)
        if (places.length > 0) yield `\n${places.map((column) => column.join("\n")).join("\n")}`;
    },
  };
}

/** Between `$` and `*`, where the checksum is right and written as we write it; else undefined. */
function soundBody(text: string): string | undefined {
  const star = text.length - 3;
  if (text.charCodeAt(0) !== 0x24 || text.charCodeAt(star) !== 0x2a) return undefined;
  const body = text.slice(1, star);
  return checksumOf(body) === text.slice(star + 1) ? body : undefined;
}

function linesOf(text: string): RawLine[] {
  const values = text.split("\n");
  const heads = JSON.parse(values[0] ?? "[]") as Head[];
  if (values[1] === "") return [];
  const order = (values[1] ?? "").split(",").map(Number);
  const steps = (values[2] ?? "").split(",").map(Number);
  const uses = heads.map(() => 0);
  for (const number of order) uses[number] = (uses[number] ?? 0) + 1;
  let at = 3;
  // Where each kind's first column begins; a column is as long as the kind was used.
  const starts = heads.map(([, , , places], number) => {
    const start = at;
    at += places * (uses[number] ?? 0);
    return start;
  });
  const taken = heads.map(() => 0);
  let atMs = 0;
  return order.map((number, i) => {
    const [port, sound, head, count] = heads[number] ?? ["", 0, "", 0];
    const nth = taken[number] ?? 0;
    taken[number] = nth + 1;
    const places = Array.from(
      { length: count },
      (_, place) => values[(starts[number] ?? 0) + place * (uses[number] ?? 0) + nth] ?? "",
    );
    const body = [head, ...places].join(",");
    atMs += steps[i] ?? 0;
    return { port, text: sound === 1 ? `$${body}*${checksumOf(body)}` : body, atMs };
  });
}

/** Lines not yet in a chunk: `stamp port text` each. */
export function plainText(lines: readonly RawLine[]): string {
  return lines.map(({ text, port, atMs }) => `${atMs} ${port} ${text}`).join("\n");
}

export function plainLines(text: string): RawLine[] {
  return text.split("\n").flatMap((line) => {
    const match = /^(\d+) (\S+) (.*)$/s.exec(line);
    return match === null ? [] : [{ atMs: Number(match[1]), port: match[2] ?? "", text: match[3] ?? "" }];
  });
}
