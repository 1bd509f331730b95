/** A small boat's sentences, three a second, with a course of our own: quick to play, and known exactly. */
import type { Input } from "../../src/core.ts";
import { seal } from "../../src/nmea/seal.ts";

/** The core walks whole seconds: lines come a quarter later. */
export const START_MS = Date.parse("2026-06-14T20:00:00Z");
const LAT_DEG = 50.5;
const LON_DEG = -0.2;
const M_PER_DEG = 111_200;

export interface Course {
  seconds: number;
  /** Metres north of where she began, by second. */
  northM?: (second: number) => number;
  depthM?: (second: number) => number;
  windKn?: (second: number) => number;
  /** What true UTC is ahead of the stamps, s. */
  aheadS?: number;
  startMs?: number;
  acts?: Readonly<Record<number, readonly string[]>>;
}

/** The stay that most tests use: let go at 700 s, brought up, aweigh. */
export const STAY_ACTS = {
  700: ["PRDW,LETGO"],
  710: ["PRDW,RODE,40.0,M", "PRDW,BROUGHTUP"],
  1300: ["PRDW,WEIGH"],
  1320: ["PRDW,AWEIGH"],
} as const;

export function* boatInputs(course: Course): Generator<Input> {
  const { seconds, northM = wander, depthM = () => 5, windKn = () => 8, acts = {} } = course;
  const startMs = course.startMs ?? START_MS;
  for (let s = 0; s < seconds; s++) {
    const atMs = startMs + s * 1000 + 250;
    const line = (body: string, port = "rehearsal"): Input => ({
      kind: "line",
      text: seal(body),
      port,
      atMs,
    });
    const utc = new Date(startMs + (s + (course.aheadS ?? 0)) * 1000).toISOString();
    const time = utc.slice(11, 19).replaceAll(":", "");
    const date = utc.slice(8, 10) + utc.slice(5, 7) + utc.slice(2, 4);
    const lat = minutes(LAT_DEG + northM(s) / M_PER_DEG, 2);
    const lon = minutes(-LON_DEG, 3);
    yield line(`GPRMC,${time}.00,A,${lat},N,${lon},W,0.1,,${date},,,A`);
    yield line(`SDDPT,${depthM(s).toFixed(2)},0.4`);
    yield line(`IIMWV,30.0,R,${windKn(s).toFixed(1)},N,A`);
    yield line("IIHDT,20.0,T");
    for (const body of acts[s] ?? []) yield line(body, "shell");
  }
}

/** Within a metre, and never the same twice running: a frozen fix is no fix. */
export function wander(second: number): number {
  return Math.sin(second * 0.7) * 0.8;
}

function minutes(deg: number, width: number): string {
  const whole = Math.floor(deg);
  return String(whole).padStart(width, "0") + ((deg - whole) * 60).toFixed(5).padStart(8, "0");
}
