/** A boat to give orders on: sentences written by hand, second by second, through the whole core. */
import { advance, begin, type Core, type CoreSettings } from "../../src/core.ts";
import { seal } from "../../src/nmea/seal.ts";
import { moved, type Position } from "../../src/units/position.ts";
import { boatSettings } from "./stays.ts";

export const START_MS = Date.UTC(2026, 5, 14, 12);
export const PLACE: Position = { latDeg: 50.4731, lonDeg: -0.2107 };

export interface Seen {
  /** The antenna, metres north and east of PLACE. */
  north: number;
  east: number;
  headingDeg: number | undefined;
  depthM: number | undefined;
  sogKn: number;
  cogDeg: number | undefined;
  wind: { fromDeg: number; kn: number } | undefined;
}

export const LYING: Seen = {
  north: 0,
  east: 0,
  headingDeg: 0,
  depthM: 6,
  sogKn: 0,
  cogDeg: undefined,
  wind: { fromDeg: 0, kn: 12 },
};

export interface Deck {
  core: () => Core;
  /** So many seconds of instruments. */
  live(seconds: number, seen?: Partial<Seen>): void;
  /** The answer's verb and reason: `ACK`, or `NAK phase`. */
  give(act: string): string;
  /** A sentence as it comes in, without `$` and checksum. */
  hear(body: string): void;
}

function arc(deg: number, digits: number): string {
  const whole = Math.floor(Math.abs(deg));
  const minutes = ((Math.abs(deg) - whole) * 60).toFixed(5).padStart(8, "0");
  return `${String(whole).padStart(digits, "0")}${minutes}`;
}

export function placeOf(north: number, east: number): string {
  const { latDeg, lonDeg } = moved(PLACE, { north, east });
  return `${arc(latDeg, 2)},N,${arc(lonDeg, 3)},W`;
}

function bodies(seen: Seen, atMs: number): string[] {
  const clock = new Date(atMs).toISOString().slice(11, 19).replaceAll(":", "");
  const cog = seen.cogDeg?.toFixed(1) ?? "";
  const lines = [
    `GPRMC,${clock}.00,A,${placeOf(seen.north, seen.east)},${seen.sogKn.toFixed(2)},${cog},140626,,,A,V`,
  ];
  if (seen.headingDeg !== undefined) lines.push(`HCHDT,${seen.headingDeg.toFixed(1)},T`);
  if (seen.depthM !== undefined) lines.push(`SDDPT,${(seen.depthM - 0.4).toFixed(1)},0.4,50.0`);
  const { wind } = seen;
  if (wind !== undefined)
    lines.push(
      `WIMWD,${wind.fromDeg.toFixed(1)},T,,M,${wind.kn.toFixed(1)},N,${(wind.kn * 0.514444).toFixed(1)},M`,
    );
  return lines;
}

export function deck(settings: CoreSettings = boatSettings(false)): Deck {
  let core = begin(settings, START_MS);
  let atMs = START_MS;
  let seen = LYING;
  const heard = (body: string) => {
    const step = advance(core, { kind: "line", text: seal(body), port: "rehearsal", atMs }, settings);
    core = step.core;
    return step.out;
  };
  return {
    core: () => core,
    live(seconds, change = {}) {
      seen = { ...seen, ...change };
      for (let i = 0; i < seconds; i++) {
        for (const body of bodies(seen, atMs)) heard(body);
        atMs += 1000;
        core = advance(core, { kind: "tick", atMs }, settings).core;
      }
    },
    hear: (body) => void heard(body),
    give(act) {
      const out = heard(`PRDW,${act}`).find((one) => one.class === "acts");
      const order = out?.sentence.id === "PRDW" ? out.sentence.content?.order : undefined;
      if (order?.verb === "ACK") return "ACK";
      return order?.verb === "NAK" ? `NAK ${order.reason}` : "nothing";
    },
  };
}
