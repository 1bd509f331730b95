/**
 * The table of sentences: text ⇄ typed values. In: one line of text; out: frames decoded, refused or passed
 * over, each counted by whoever called. Adding a sentence is one row in `sentences/`.
 */
import {
  ADDRESS_LENGTH,
  type Frame,
  type FrameRule,
  frames,
  isRefused,
  LONGEST,
  type Refusal,
  type Tag,
} from "./frame.ts";
import { type AnyRow, type ReadingOf, readRow, writeFields } from "./row.ts";
import { seal } from "./seal.ts";
import { alertSentences } from "./sentences/alert.ts";
import { depthSentences } from "./sentences/depth.ts";
import { headingSentences } from "./sentences/heading.ts";
import { ownSentences } from "./sentences/own.ts";
import { positionSentences } from "./sentences/position.ts";
import { transducerSentences } from "./sentences/transducer.ts";
import { waypointSentences } from "./sentences/waypoint.ts";
import { windSentences } from "./sentences/wind.ts";

export const TABLE = [
  ...positionSentences,
  ...depthSentences,
  ...windSentences,
  ...headingSentences,
  ...waypointSentences,
  ...transducerSentences,
  ...alertSentences,
  ...ownSentences,
] as const;

export type Sentence = ReadingOf<(typeof TABLE)[number]>;
export type SentenceId = Sentence["id"];

/** Known and passed over: not for a watch at anchor, so not to be counted as strange. */
const IGNORED = new Set(
  (
    "AAM ALM APA APB BOD BWR BWW DCN DTM EVE FSI GBS GLC GRS GSV HSC HVD HVM ITS LCD MDA MSK MSS OSD PASHR PFEC " +
    "R00 RMA RSA RSD RTE SFI STN TLL TTM TRF VLW VPW VTA WCV WDC WDR WNC XTE XTR VDM VDO"
  ).split(" "),
);

const rows: ReadonlyMap<string, AnyRow> = new Map(
  TABLE.map((row): [string, AnyRow] => [row.id, row as AnyRow]),
);

export interface Decoded {
  kind: "sentence";
  sentence: Sentence;
  tag: Tag | undefined;
  overLong: boolean;
}

export interface PassedOver {
  kind: "ignored" | "unknown";
  address: string;
  tag: Tag | undefined;
  overLong: boolean;
}

export type Piece = Decoded | PassedOver | Refusal;

export interface DecodedLine {
  pieces: Piece[];
  tagDropped: number;
}

/**
 * Lines decoded lately that came twice. Instruments repeat themselves: of some boats over half the lines at anchor
 * are letter by letter among the last few hundred. What is returned is shared, so it is never to be changed.
 */
const lately: Readonly<Record<FrameRule["checksum"], Map<string, DecodedLine>>> = {
  required: new Map(),
  optional: new Map(),
};
const LATELY = 512;

/** Marks of lines seen once: what never comes again (it holds the time) must not be kept alive for its sake. */
const seenOnce = new Int32Array(2048);

/** Every sentence in a line of text. Never throws; what cannot be read is a refusal with its reason. */
export function decode(text: string, rule: FrameRule): DecodedLine {
  const mark = markOf(text);
  const slot = mark & (seenOnce.length - 1);
  if (seenOnce[slot] !== mark) {
    seenOnce[slot] = mark;
    return decodeLine(text, rule);
  }
  const memo = lately[rule.checksum];
  const before = memo.get(text);
  if (before !== undefined) return before;
  const decoded = decodeLine(text, rule);
  if (memo.size >= LATELY) memo.clear();
  memo.set(text, decoded);
  return decoded;
}

function decodeLine(text: string, rule: FrameRule): DecodedLine {
  const { pieces, tagDropped } = frames(text, rule);
  return {
    pieces: pieces.map((piece) => (piece.kind === "frame" ? decodeFrame(piece) : piece)),
    tagDropped,
  };
}

/** A hash of the text (the multiplier of FNV-1a). */
function markOf(text: string): number {
  let mark = text.length;
  for (let i = 0; i < text.length; i++) mark = Math.imul(mark ^ text.charCodeAt(i), 0x01000193);
  return mark ^ (mark >>> 15);
}

function decodeFrame(frame: Frame): Piece {
  const { address, tag, overLong } = frame;
  const own = address.startsWith("P");
  const formatter = own ? address : address.slice(2);
  // Two letters and three, or a proprietary one: `$IIPRDW` is nobody's, least of all ours.
  const whole = own || address.length === ADDRESS_LENGTH;
  const row = frame.start === "$" && whole ? rows.get(formatter) : undefined;
  if (row === undefined)
    return { kind: IGNORED.has(formatter) ? "ignored" : "unknown", address, tag, overLong };
  const values = readRow(row, own ? "P" : address.slice(0, 2), frame.places);
  if (isRefused(values)) return values;
  return { kind: "sentence", sentence: values as unknown as Sentence, tag, overLong };
}

/**
 * A sentence as text, without line end. Throws when it would exceed 82 characters: what we send is ours to
 * keep short, so that is a mistake in the program.
 */
export function encode(sentence: Sentence): string {
  const row = rows.get(sentence.id);
  if (row === undefined) throw new Error(`no sentence "${sentence.id}"`);
  const address = sentence.id.startsWith("P") ? sentence.id : sentence.talker + sentence.id;
  const text = seal([address, ...writeFields(row.fields, sentence)].join(","));
  if (text.length + 2 > LONGEST) throw new Error(`${text} is longer than ${LONGEST} characters`);
  return text;
}
