/**
 * Lines as they were heard, in little room and without loss: sentences of one kind are laid in columns, one for
 * each place between commas, and sound checksums are left out and made anew. Then brotli. In: lines; out: bytes,
 * and back. Measured on recorded and simulated nights: 2 to 6 % of the text.
 */
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

/** Off the main thread, but for laying the columns. */
export function packed(lines: readonly RawLine[]): Promise<Buffer> {
  return compress(Buffer.from(columnsOf(lines), "latin1"), { params: PARAMS });
}

/** Throws when the bytes are not what `packed` made. */
export function unpacked(data: Uint8Array): RawLine[] {
  return linesOf(brotliDecompressSync(data).toString("latin1"));
}

/** Text of one kind: the same port, the same head, as many places. */
interface Kind {
  number: number;
  places: string[][];
}

const SOUND = /^\$([^*]*)\*([0-9A-F]{2})$/;

/** Head line (kinds as JSON), kinds line, times line, then each kind's places, a value a line. */
function columnsOf(lines: readonly RawLine[]): string {
  const kinds = new Map<string, Kind>();
  const order: number[] = [];
  const steps: number[] = [];
  let lastMs = 0;
  for (const { text, port, atMs } of lines) {
    const sound = SOUND.exec(text);
    const body = sound !== null && checksumOf(sound[1] ?? "") === sound[2] ? sound[1] : undefined;
    const [head = "", ...places] = (body ?? text).split(",");
    const kind = kindOf(kinds, JSON.stringify([port, body === undefined ? 0 : 1, head, places.length]));
    for (const [i, place] of places.entries()) kind.places[i]?.push(place);
    order.push(kind.number);
    steps.push(atMs - lastMs);
    lastMs = atMs;
  }
  const columns = [...kinds.values()].flatMap(({ places }) => places.map((column) => column.join("\n")));
  // A text holds no line end, so a line end can part the values.
  return [`[${[...kinds.keys()].join(",")}]`, order.join(","), steps.join(","), ...columns].join("\n");
}

function kindOf(kinds: Map<string, Kind>, key: string): Kind {
  const known = kinds.get(key);
  if (known !== undefined) return known;
  const count = (JSON.parse(key) as [string, number, string, number])[3];
  const kind = { number: kinds.size, places: Array.from({ length: count }, () => []) };
  kinds.set(key, kind);
  return kind;
}

function linesOf(text: string): RawLine[] {
  const values = text.split("\n");
  const heads = JSON.parse(values[0] ?? "[]") as [
    port: string,
    sound: number,
    head: string,
    places: number,
  ][];
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
