/**
 * Passing sentences on from port to port. In: every line heard and every sentence of ours that goes out; out:
 * sentences to send on other ports, each with a sound frame, never an echo, never twice. Our own orders (PRDW)
 * are never passed on: given on one port they must not become acts on another.
 */
import { type Frame, type FrameRule, frames } from "../nmea/frame.ts";
import { checksumOf } from "../nmea/seal.ts";
import { createEchoes, OWN, WINDOW_MS } from "./echoes.ts";
import { subjectOf } from "./queue-subject.ts";
import { createRings, type RingTold } from "./rings.ts";

/** What one port passes on. */
export interface ForwardPlan {
  to: string;
  from: readonly string[];
  /** Sentences ("RMC"), talkers ("GP") or whole addresses ("GPRMC"); empty: all. */
  only: readonly string[];
  /** The same, left out. */
  not: readonly string[];
  /** Of one kind no more than one in this time; undefined: all. */
  everyMs: number | undefined;
}

export interface ForwardCounts {
  passed: number;
  echoes: number;
  duplicates: number;
  thinned: number;
}

export interface Forwarding {
  /** Is all of this line what we sent ourselves? Then nobody should take it in. */
  isEcho(text: string, port: string, nowMs: number): boolean;
  /** Passes a heard line on to where it is wanted. */
  pass(text: string, port: string, nowMs: number): void;
  /** Notes a sentence of our own that goes out on a port. */
  sent(text: string, to: string, nowMs: number): void;
  counts(): ForwardCounts;
}

/** These come with the same text from different people, and each means it. */
const MEANT_EACH_TIME = /^(?:..AC[KN]|PRDW),/;
const OWN_ADDRESS = "PRDW";
/** Receivers are not punctual: a sentence a tenth early is still this second's. */
const EARLY = 0.9;
const MOST_KINDS = 1024;

interface ForwardingParts {
  plans: readonly ForwardPlan[];
  /** Ports whose sentences need no checksum. */
  checksumOptional: ReadonlySet<string>;
  /** Gives one sentence to the port of that name. */
  send(to: string, text: string): void;
  /**
   * Told when what goes out on `to` is found to come back on `from`, so that nothing is passed on from there any
   * more, and (`closed` false) when that is tried again.
   */
  ring?: RingTold;
}

/** No sender says the same so soon again; a ring does. */
const STORM_MS = 90;

export function createForwarding({ plans, checksumOptional, send, ring }: ForwardingParts): Forwarding {
  const echoes = createEchoes();
  const counts: ForwardCounts = { passed: 0, echoes: 0, duplicates: 0, thinned: 0 };
  const sources = new Set(plans.flatMap((plan) => plan.from));
  const outlets = plans.map((plan) => ({ plan, isDue: createThinner(plan.everyMs) }));
  const rings = createRings(plans, ring);

  const passOne = (frame: Frame, port: string, nowMs: number): void => {
    const body = bodyOf(frame);
    const withinMs = isMeantEachTime(body) ? WINDOW_MS : STORM_MS;
    if (echoes.isDuplicate(body, port, nowMs) || echoes.hasJustGone(body, nowMs, withinMs)) {
      counts.duplicates += 1;
      return;
    }
    const text = `${frame.start}${body}*${checksumOf(body)}`;
    let sent = false;
    for (const { plan, isDue } of outlets) {
      if (!isWanted(plan, frame.address) || !rings.isOpen(plan, port, nowMs)) continue;
      if (!isDue(text, nowMs)) {
        counts.thinned += 1;
        continue;
      }
      send(plan.to, text);
      sent = true;
      counts.passed += 1;
    }
    echoes.note(body, port, sent, nowMs);
  };

  return {
    isEcho(text, port, nowMs) {
      if (echoes.kept() === 0) return false;
      const bodies = bodiesOf(text);
      const isOne = (body: string) => !isMeantEachTime(body) && echoes.isEcho(body, port, nowMs);
      for (const body of bodies) rings.heard(echoes.wentTo(body, nowMs), port, nowMs);
      if (bodies.length === 0 || !bodies.every(isOne)) return false;
      counts.echoes += bodies.length;
      return true;
    },
    pass(text, port, nowMs) {
      if (!sources.has(port)) return;
      const rule: FrameRule = { checksum: checksumOptional.has(port) ? "optional" : "required" };
      for (const piece of frames(text, rule).pieces) {
        if (piece.kind === "frame" && piece.address !== OWN_ADDRESS) passOne(piece, port, nowMs);
      }
    },
    sent(text, to, nowMs) {
      for (const body of bodiesOf(text)) echoes.note(body, OWN, true, nowMs, to);
    },
    counts: () => ({ ...counts }),
  };
}

function isMeantEachTime(body: string): boolean {
  return MEANT_EACH_TIME.test(body) && !isAnswer(body);
}

/** What an order was answered with is ours alone. */
function isAnswer(body: string): boolean {
  return /^PRDW,(?:ACK|NAK),/.test(body);
}

function bodyOf({ address, places }: Frame): string {
  return [address, ...places].join(",");
}

/** Between start and checksum, of each sentence in a line; the usual line is one sentence and nothing else. */
function bodiesOf(text: string): string[] {
  if (/^[$!][^$!\\*]*\*[0-9A-Fa-f]{2}\s*$/.test(text)) return [text.slice(1, text.indexOf("*"))];
  return frames(text, { checksum: "optional" }).pieces.flatMap((piece) =>
    piece.kind === "frame" ? [bodyOf(piece)] : [],
  );
}

function isWanted({ only, not }: ForwardPlan, address: string): boolean {
  const fits = (pattern: string) => isLike(address, pattern);
  return (only.length === 0 || only.some(fits)) && !not.some(fits);
}

/** A proprietary address has no talker: only its beginning can be named. */
function isLike(address: string, pattern: string): boolean {
  if (address.startsWith("P") || pattern.length > 3) return address.startsWith(pattern);
  return pattern.length === 2 ? address.startsWith(pattern) : address.slice(2) === pattern;
}

/**
 * Lets one of a kind through in `everyMs`. What comes in parts, or stands for one of many (AIS, satellites),
 * is let through: thinned out it would be of no use.
 */
function createThinner(everyMs: number | undefined): (text: string, nowMs: number) => boolean {
  if (everyMs === undefined) return () => true;
  const lastMs = new Map<string, number>();
  return (text, nowMs) => {
    const matter = subjectOf(text)?.matter;
    if (matter === undefined) return true;
    const before = lastMs.get(matter);
    if (before !== undefined && nowMs - before < EARLY * everyMs) return false;
    if (lastMs.size >= MOST_KINDS) lastMs.clear();
    lastMs.set(matter, nowMs);
    return true;
  };
}
