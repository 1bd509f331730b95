/**
 * One second of the boat's instruments as NMEA 0183 sentences. Written out by hand here and not through the
 * daemon's own writers, so that a mistake in those shows.
 */
import { seal, tagBlock } from "../nmea/seal.ts";
import { wrap360 } from "../units/angle.ts";
import type { Position } from "../units/position.ts";
import { formatInstant } from "../units/time.ts";
import type { Fix } from "./receiver.ts";
import type { Readings } from "./sensors.ts";

/** The `s:` of every TAG block, and the name of the port in the rehearsal's configuration. */
export const SOURCE = "rehearsal";

export interface Decimals {
  minute: number;
  speed: number;
}

/** `llll.ll,a,yyyyy.yy,a` to so many decimals of a minute. */
export function positionFields(position: Position, decimals: number): string {
  const lat = arc(Math.abs(position.latDeg), 2, decimals);
  const lon = arc(Math.abs(position.lonDeg), 3, decimals);
  return `${lat},${position.latDeg < 0 ? "S" : "N"},${lon},${position.lonDeg < 0 ? "W" : "E"}`;
}

/** Rounded once, in the last place shown: so 59.99996 minutes become the next degree. */
function arc(deg: number, degreeDigits: number, decimals: number): string {
  const perMinute = 10 ** decimals;
  const steps = Math.round(deg * 60 * perMinute);
  const whole = Math.floor(steps / (60 * perMinute));
  const minutes = ((steps - whole * 60 * perMinute) / perMinute).toFixed(decimals);
  return `${String(whole).padStart(degreeDigits, "0")}${minutes.padStart(decimals === 0 ? 2 : decimals + 3, "0")}`;
}

/** A direction to a tenth of a degree; one that rounds to 360 is written as 0. */
function direction(deg: number): string {
  const tenths = Math.round(wrap360(deg) * 10) % 3600;
  return `${Math.floor(tenths / 10)}.${tenths % 10}`;
}

function clock(atMs: number): { time: string; date: string } {
  const text = formatInstant(Math.floor(atMs / 1000) * 1000);
  return {
    time: `${text.slice(11, 13)}${text.slice(14, 16)}${text.slice(17, 19)}.00`,
    date: `${text.slice(8, 10)}${text.slice(5, 7)}${text.slice(2, 4)}`,
  };
}

/** RMC, GGA and VTG of one fix; `fixMs` is the receiver's own time. */
export function fixBodies(
  fix: Fix,
  fixMs: number,
  position: Position,
  variationDeg: number,
  decimals: Decimals,
): string[] {
  const { time, date } = clock(fixMs);
  const variation = `${Math.abs(variationDeg).toFixed(1)},${variationDeg < 0 ? "W" : "E"}`;
  if (!fix.valid) {
    return [
      `GPRMC,${time},V,,,,,,,${date},${variation},N,V`,
      `GPGGA,${time},,,,,0,00,99.9,,M,,M,,`,
      "GPVTG,,T,,M,,N,,K,N",
    ];
  }
  const place = positionFields(position, decimals.minute);
  const speed = fix.speedKn.toFixed(decimals.speed);
  const course = fix.courseDeg === undefined ? "" : direction(fix.courseDeg);
  const magnetic = fix.courseDeg === undefined ? "" : direction(fix.courseDeg - variationDeg);
  const satellites = String(fix.satellites).padStart(2, "0");
  const kmh = (fix.speedKn * 1.852).toFixed(decimals.speed);
  return [
    `GPRMC,${time},A,${place},${speed},${course},${date},${variation},A,V`,
    `GPGGA,${time},${place},1,${satellites},${fix.hdop.toFixed(1)},2.8,M,46.9,M,,`,
    `GPVTG,${course},T,${magnetic},M,${speed},N,${kmh},K,A`,
  ];
}

/** Compass, wind, depth and log. */
export function sensorBodies(readings: Readings): string[] {
  const { variationDeg, waterSpeedKn } = readings;
  const magnetic = direction(readings.headingMagneticDeg);
  const heading = direction(readings.headingMagneticDeg + variationDeg);
  const variation = `${Math.abs(variationDeg).toFixed(1)},${variationDeg < 0 ? "W" : "E"}`;
  const kmh = (waterSpeedKn * 1.852).toFixed(1);
  return [
    `HCHDG,${magnetic},,,${variation}`,
    `WIMWV,${direction(readings.apparentDeg)},R,${readings.apparentKn.toFixed(1)},N,A`,
    `SDDPT,${readings.belowTransducerM.toFixed(1)},${readings.transducerM.toFixed(1)},50.0`,
    `VWVHW,${heading},T,${magnetic},M,${waterSpeedKn.toFixed(1)},N,${kmh},K`,
  ];
}

const APART_MS = 60;

/** Whole lines, sealed and stamped, spread over the second so that no two share a stamp. */
export function stamped(bodies: readonly string[], secondMs: number): string[] {
  const apartMs = Math.max(1, Math.min(APART_MS, Math.floor(999 / Math.max(1, bodies.length))));
  return bodies.map((body, i) => tagBlock(secondMs + i * apartMs, SOURCE) + seal(body));
}
