/** Instruments fed second by second with sentences, as the core does it. */
import { noInstruments, observe, type Picture } from "../../src/instruments/picture.ts";
import type { InstrumentSettings } from "../../src/instruments/settings.ts";
import { seal } from "../../src/nmea/seal.ts";
import { encode } from "../../src/nmea/table.ts";
import { moved, type Position } from "../../src/units/position.ts";
import { sentenceIn } from "../nmea/sentence-in.ts";

/** 2026-06-15T20:00:00Z. */
export const EVENING_MS = 1_781_553_600_000;
export const ANCHORAGE: Position = { latDeg: 50.7605, lonDeg: -1.304 };

export const INSTRUMENTS: InstrumentSettings = {
  sources: { position: [], depth: [], wind: [], heading: [], fallBackMs: 10_000 },
  staleMs: { position: 5000, depth: 10_000, wind: 10_000, heading: 5000 },
  transducerBelowWaterM: 0.4,
  draughtM: 0.8,
  utc: "learn",
};

/** A body without its checksum, heard on port "bus" unless another is named: "mast>WIMWV,012.0,R,9.5,M,A". */
function heardOf(line: string) {
  const [body = "", port = "bus"] = line.split(">").reverse();
  return { sentence: sentenceIn(body.startsWith("$") ? body : seal(body)), port };
}

export interface Aboard {
  /** The picture at the end of second `atS`, in which these were heard. */
  second(atS: number, ...lines: string[]): Picture;
}

export function aboard(settings: Partial<InstrumentSettings> = {}): Aboard {
  let instruments = noInstruments();
  return {
    second(atS, ...lines) {
      const all = { ...INSTRUMENTS, ...settings };
      const seen = observe(instruments, lines.map(heardOf), all, EVENING_MS + atS * 1000);
      instruments = seen.instruments;
      return seen.picture;
    },
  };
}

export interface SentFix {
  northM?: number;
  eastM?: number;
  sogKn?: number | undefined;
  cogDeg?: number | undefined;
  talker?: string;
}

/** An RMC for second `atS`, so many metres from the anchorage. */
export function rmc(atS: number, fix: SentFix = {}): string {
  const { northM = 0, eastM = 0, sogKn = 0, cogDeg, talker = "GP" } = fix;
  return encode({
    id: "RMC",
    talker,
    timeOfDayS: (72_000 + atS) % 86_400,
    status: "valid",
    position: { ...moved(ANCHORAGE, { north: northM, east: eastM }), decimals: 5 },
    sogKn,
    cogDeg,
    date: { year: 2026, month: 6, day: 15 },
    variationDeg: undefined,
    mode: "autonomous",
    navigationalStatus: undefined,
  });
}
