/**
 * The strict frame layer: text → frames or refusals, never a throw. Nothing behind it sees a sentence whose
 * delimiter, length, characters, checksum or escapes are wrong. IEC 61162-1 clause 5 (frame) and the TAG
 * block of NMEA 4.x.
 */
import { checksumOf } from "./seal.ts";

/** Why a piece of input was refused. The list is closed: outsiders count on it. */
export const REASONS = [
  "no-start",
  "too-long",
  "bad-character",
  "no-checksum",
  "bad-checksum",
  "bad-escape",
  "trailing-text",
  "truncated",
  "bad-number",
  "bad-position",
  "too-few-fields",
] as const;
export type Reason = (typeof REASONS)[number];

export interface Refusal {
  kind: "refused";
  reason: Reason;
}

export interface Tag {
  atMs: number | undefined;
  source: string | undefined;
}

export interface Frame {
  kind: "frame";
  start: "$" | "!";
  /** Talker and formatter, or `P` + maker for a proprietary sentence. */
  address: string;
  /** Raw places after the address; escapes still in them. */
  places: readonly string[];
  overLong: boolean;
  tag: Tag | undefined;
}

export interface Framed {
  pieces: (Frame | Refusal)[];
  /** TAG blocks that were malformed or had a wrong checksum: dropped, the sentence kept. */
  tagDropped: number;
}

export interface FrameRule {
  checksum: "required" | "optional";
}

/** Longest sentence by the standard, start delimiter to LF inclusive. */
export const LONGEST = 82;
/** Real receivers exceed it; up to this we listen. */
const LONGEST_HEARD = 164;
const LINE_END = 2;
/** Talker (2) and formatter (3). */
export const ADDRESS_LENGTH = 5;
const BACKSLASH = 0x5c;

const refusals = Object.fromEntries(
  REASONS.map((reason) => [reason, { kind: "refused", reason }]),
) as Readonly<Record<Reason, Refusal>>;

export function refused(reason: Reason): Refusal {
  return refusals[reason];
}

export function isRefused(value: unknown): value is Refusal {
  return typeof value === "object" && value !== null && (value as { kind?: unknown }).kind === "refused";
}

/**
 * All sentences in one line: glued ones are cut apart at each start delimiter, text before the first is one
 * refusal. Blank lines, `#` comments and a TAG block on its own hold none.
 */
export function frames(line: string, rule: FrameRule): Framed {
  const text = withoutEnd(line);
  const out: Framed = { pieces: [], tagDropped: 0 };
  if (text === "" || text.startsWith("#")) return out;
  if (isSingle(text)) {
    out.pieces.push(frameOf(text, false, undefined, rule));
    return out;
  }
  let rest = text;
  while (rest !== "") {
    const { tag, after, dropped } = takeTags(rest);
    out.tagDropped += dropped;
    const start = after.search(/[$!]/);
    const noise = start < 0 ? after : after.slice(0, start);
    if (noise.trim() !== "") out.pieces.push(refused("no-start"));
    if (start < 0) break;
    const sentence = after.slice(start);
    const end = endOf(sentence);
    out.pieces.push(
      frameOf(sentence.slice(0, end), end < sentence.length, start === 0 ? tag : undefined, rule),
    );
    rest = sentence.slice(end);
  }
  return out;
}

/** Without CR, LF and blanks at its end. A loop: an expression would take quadratic time on a line of blanks. */
function withoutEnd(line: string): string {
  let end = line.length;
  while (end > 0 && "\r\n ".includes(line.charAt(end - 1))) end--;
  return line.slice(0, end);
}

function isStart(code: number): boolean {
  return code === 0x24 || code === 0x21;
}

function isSingle(text: string): boolean {
  return (
    isStart(text.charCodeAt(0)) &&
    text.indexOf("$", 1) < 0 &&
    text.indexOf("!", 1) < 0 &&
    text.indexOf("\\") < 0
  );
}

/** Where the first sentence of a text ends: at the next start delimiter, or at a TAG block in front of one. */
function endOf(sentence: string): number {
  const next = sentence.slice(1).search(/\\[^\\$!]*\\[$!\\]|[$!]/);
  return next < 0 ? sentence.length : next + 1;
}

function takeTags(text: string): { tag: Tag | undefined; after: string; dropped: number } {
  let tag: Tag | undefined;
  let dropped = 0;
  let at = 0;
  while (text.charCodeAt(at) === BACKSLASH) {
    const end = tagEnd(text, at + 1);
    if (end < 0) return { tag, after: text.slice(at + 1), dropped: dropped + 1 };
    const read = tagOf(text.slice(at + 1, end));
    if (read === undefined) dropped++;
    else tag = tag === undefined ? read : { atMs: read.atMs ?? tag.atMs, source: read.source ?? tag.source };
    at = end + 1;
  }
  return { tag, after: text.slice(at), dropped };
}

/** Place of the backslash that closes a TAG block; -1 where a sentence or the end comes first. */
function tagEnd(text: string, from: number): number {
  for (let i = from; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === BACKSLASH) return i;
    if (isStart(code)) return -1;
  }
  return -1;
}

/** The TAG block in front of a line, without reading the rest; undefined when there is no sound one. */
export function peekTag(line: string): Tag | undefined {
  return line.startsWith("\\") ? takeTags(line).tag : undefined;
}

const SECONDS_BELOW = 1e11;

function tagOf(block: string): Tag | undefined {
  const star = block.lastIndexOf("*");
  if (star < 0) return undefined;
  const body = block.slice(0, star);
  if (checksumOf(body) !== block.slice(star + 1).toUpperCase()) return undefined;
  const tag: Tag = { atMs: undefined, source: undefined };
  for (const part of body.split(",")) {
    const value = part.slice(2);
    if (part.startsWith("s:") && /^[\x21-\x7e]{1,15}$/.test(value)) tag.source = value;
    if (part.startsWith("c:") && /^\d{1,14}(\.\d+)?$/.test(value)) {
      const number = Number(value);
      // Unix time in seconds or milliseconds, told apart by magnitude.
      tag.atMs = number < SECONDS_BELOW ? number * 1000 : number;
    }
  }
  return tag;
}

function frameOf(text: string, cut: boolean, tag: Tag | undefined, rule: FrameRule): Frame | Refusal {
  if (text.length + LINE_END > LONGEST_HEARD) return refused("too-long");
  const star = starOf(text);
  if (star === "bad") return refused("bad-character");
  if (star === undefined && (cut || text.length < 2)) return refused("truncated");
  if (star === undefined && rule.checksum === "required") return refused("no-checksum");
  const problem = star === undefined ? undefined : checksumProblem(text, star.at, star.sum);
  if (problem !== undefined) return refused(problem);
  const { address, places } = partsOf(text, star?.at ?? text.length);
  const addressProblem = addressOf(address);
  if (addressProblem !== undefined) return refused(addressProblem);
  if (text.includes("^") && /\^(?![0-9A-Fa-f]{2})/.test(text)) return refused("bad-escape");
  return {
    kind: "frame",
    start: text.charCodeAt(0) === 0x21 ? "!" : "$",
    address,
    places,
    overLong: text.length + LINE_END > LONGEST,
    tag,
  };
}

/** Between start and `end`: the address up to the first comma, and the places after it. */
function partsOf(text: string, end: number): { address: string; places: string[] } {
  const comma = text.indexOf(",");
  if (comma < 0 || comma >= end) return { address: text.slice(1, end), places: [] };
  return { address: text.slice(1, comma), places: text.slice(comma + 1, end).split(",") };
}

/** Place of the `*` and the sum before it; "bad" on an unprintable character, or a backslash used as data. */
function starOf(text: string): { at: number; sum: number } | "bad" | undefined {
  let sum = 0;
  let star: { at: number; sum: number } | undefined;
  for (let i = 1; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code < 0x20 || code > 0x7e || (code === BACKSLASH && star === undefined)) return "bad";
    if (code === 0x2a && star === undefined) star = { at: i, sum };
    sum ^= code;
  }
  return star;
}

function checksumProblem(text: string, starAt: number, sum: number): Reason | undefined {
  if (text.length < starAt + 3) return "truncated";
  const high = hexDigit(text.charCodeAt(starAt + 1));
  const low = hexDigit(text.charCodeAt(starAt + 2));
  if (high < 0 || low < 0) return "bad-checksum";
  if (text.length > starAt + 3) return "trailing-text";
  return high * 16 + low === sum ? undefined : "bad-checksum";
}

/** Value of a hex digit of either case; -1 for anything else. */
function hexDigit(code: number): number {
  if (code >= 0x30 && code <= 0x39) return code - 0x30;
  const upper = code & ~0x20;
  return upper >= 0x41 && upper <= 0x46 ? upper - 0x37 : -1;
}

function addressOf(address: string): Reason | undefined {
  if (!/^[A-Z0-9]*$/.test(address)) return "bad-character";
  const least = address.startsWith("P") ? 4 : ADDRESS_LENGTH;
  return address.length < least ? "truncated" : undefined;
}
