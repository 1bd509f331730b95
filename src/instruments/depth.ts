/**
 * Depth: from the surface and under the keel, whatever the sentence refers to. In: depth sentences; out: both
 * figures, each on the safe side where the reference is not known; false echoes held back.
 */
import type { Sentence } from "../nmea/table.ts";
import { M_PER_FATHOM, M_PER_FT } from "../units/length.ts";
import type { InstrumentSettings } from "./settings.ts";

export type DepthReference = "surface" | "keel" | "transducer";

export interface RawDepth {
  from: keyof typeof DEPTH_KINDS;
  depthM: number;
  reference: DepthReference;
}

export interface Depth {
  surfaceM: number | undefined;
  underKeelM: number | undefined;
  /** False: the reference is not known, so the two figures are the safe ends of what it may mean. */
  referenceKnown: boolean;
}

/** Order of preference among depth sentences of one source. */
export const DEPTH_KINDS = { DPT: 0, DBS: 1, DBT: 2, DBK: 3 } as const;

/** What a depth sentence says; undefined for none, and for 0.0, which sounders send when they lose the bottom. */
export function rawDepthOf(sentence: Sentence): RawDepth | undefined {
  switch (sentence.id) {
    case "DPT":
      return fromDpt(sentence.depthM, sentence.offsetM, sentence.rangeM);
    case "DBS":
      return raw("DBS", inMetres(sentence), "surface");
    case "DBK":
      return raw("DBK", inMetres(sentence), "keel");
    case "DBT":
      return raw("DBT", inMetres(sentence), "transducer");
    default:
      return undefined;
  }
}

/** Depths of one second together: the shallowest, so that one deep false echo in each second hides nothing. */
export function depthsTogether(before: RawDepth, next: RawDepth): RawDepth {
  return before.reference === next.reference && before.depthM < next.depthM ? before : next;
}

function raw(
  from: RawDepth["from"],
  depthM: number | undefined,
  reference: DepthReference,
): RawDepth | undefined {
  return depthM === undefined || depthM <= 0 ? undefined : { from, depthM, reference };
}

/** A keel stands so far in soft ground (a judgement), and that is not "no depth"; deeper it is a false echo. */
const IN_MUD_M = 0.5;

/** IEC 61162-1: a positive offset is transducer to waterline, a negative one transducer to keel. */
function fromDpt(
  depthM: number | undefined,
  offsetM: number | undefined,
  rangeM: number | undefined,
): RawDepth | undefined {
  if (depthM === undefined || depthM <= 0) return undefined;
  if (rangeM !== undefined && rangeM > 0 && depthM > rangeM) return undefined;
  if (offsetM === undefined || offsetM === 0) return raw("DPT", depthM, "transducer");
  const referredM = depthM + offsetM;
  if (referredM < -IN_MUD_M) return undefined;
  return { from: "DPT", depthM: referredM, reference: offsetM > 0 ? "surface" : "keel" };
}

/** Metres before feet before fathoms: a tenth of a fathom resolves only 0.18 m. */
function inMetres(s: {
  depthM: number | undefined;
  feet: number | undefined;
  fathoms: number | undefined;
}): number | undefined {
  if (s.depthM !== undefined) return s.depthM;
  if (s.feet !== undefined) return s.feet * M_PER_FT;
  return s.fathoms === undefined ? undefined : s.fathoms * M_PER_FATHOM;
}

/**
 * Both figures from one reading. With an unknown reference, scope gets the deeper meaning (as if from the
 * keel) and the keel gets the shallower (as if from the surface).
 */
export function depthFrom(reading: RawDepth, settings: InstrumentSettings): Depth {
  const { draughtM, transducerBelowWaterM } = settings;
  const { depthM } = reading;
  if (reading.reference === "keel")
    return { surfaceM: plus(depthM, draughtM), underKeelM: depthM, referenceKnown: true };
  const belowWaterM = reading.reference === "surface" ? 0 : transducerBelowWaterM;
  if (belowWaterM === undefined) {
    return {
      surfaceM: depthM + (draughtM ?? 0),
      underKeelM: plus(depthM, negative(draughtM)),
      referenceKnown: false,
    };
  }
  return {
    surfaceM: depthM + belowWaterM,
    underKeelM: plus(depthM + belowWaterM, negative(draughtM)),
    referenceKnown: true,
  };
}

function plus(a: number, b: number | undefined): number | undefined {
  return b === undefined ? undefined : a + b;
}

function negative(a: number | undefined): number | undefined {
  return a === undefined ? undefined : -a;
}

export interface EchoState {
  accepted: RawDepth | undefined;
  acceptedMs: number;
  other: { depthM: number; sinceMs: number; lastMs: number } | undefined;
  heldCount: number;
}

export const NO_ECHOES: EchoState = { accepted: undefined, acceptedMs: 0, other: undefined, heldCount: 0 };

/** A shallower one may be the ground coming up; a deeper one endangers nobody for a minute. */
const SHALLOWER_HOLD_MS = 5_000;
const DEEPER_HOLD_MS = 60_000;
const ECHO_GAP_MS = 10_000;

function alike(aM: number, bM: number): boolean {
  return Math.abs(aM - bM) <= Math.max(1.5, 0.25 * Math.min(aM, bM));
}

/**
 * Holds back a depth unlike the last one until readings like it have lasted: 5 s for a shallower, a minute for a
 * deeper one. Sounders over a still boat give 2.5, 61.7, 61.7, 2.7 m in consecutive readings, and 41 to 60 m for
 * 20 s in 3 m of water (both recorded). While held back there is soon no depth, and that is said. No water under
 * the keel is believed only after little: under way in 17 m echoes of 0.8 to 1.4 m come in rows (recorded).
 */
export function judgeEcho(state: EchoState, reading: RawDepth, atMs: number): EchoState {
  const { accepted, other } = state;
  const changed = accepted !== undefined && accepted.reference !== reading.reference;
  if (reading.depthM <= 0 && (accepted === undefined || !alike(accepted.depthM, reading.depthM)))
    return { ...state, heldCount: state.heldCount + 1 };
  const stale = atMs - state.acceptedMs > ECHO_GAP_MS && other === undefined;
  if (accepted === undefined || changed || stale || alike(accepted.depthM, reading.depthM)) {
    return { ...state, accepted: reading, acceptedMs: atMs, other: undefined };
  }
  const heldCount = state.heldCount + 1;
  const persists =
    other !== undefined && alike(other.depthM, reading.depthM) && atMs - other.lastMs <= ECHO_GAP_MS;
  if (!persists)
    return { ...state, heldCount, other: { depthM: reading.depthM, sinceMs: atMs, lastMs: atMs } };
  const holdMs = reading.depthM < accepted.depthM ? SHALLOWER_HOLD_MS : DEEPER_HOLD_MS;
  if (atMs - other.sinceMs < holdMs) {
    return { ...state, heldCount, other: { depthM: reading.depthM, sinceMs: other.sinceMs, lastMs: atMs } };
  }
  return { ...state, accepted: reading, acceptedMs: atMs, other: undefined };
}
