/**
 * Height of the sun, for the anchor light and the day shape. In: a place and an instant (UTC); out: degrees above
 * the horizon. Formulas: NOAA's solar calculator, after Meeus, Astronomical Algorithms (low accuracy, chapter
 * 25): good to about 0.01 degrees, without refraction.
 */
import { toDeg, toRad, wrap180, wrap360 } from "../units/angle.ts";
import type { Position } from "../units/position.ts";
import { DAY_MS } from "../units/time.ts";

/** Julian day of 1970-01-01T00:00Z, and of the epoch J2000. */
const UNIX_JD = 2440587.5;
const J2000_JD = 2451545;
const CENTURY_DAYS = 36525;

/** Upper limb on the horizon with the refraction usually taken: the sun sets (NOAA, Meeus ch. 15). */
export const SETS_AT_DEG = -0.833;

export function sunAltitudeDeg({ latDeg, lonDeg }: Position, utcMs: number): number {
  const days = utcMs / DAY_MS + UNIX_JD - J2000_JD;
  const t = days / CENTURY_DAYS;
  const meanLongitude = wrap360(280.46646 + t * (36000.76983 + t * 0.0003032));
  const anomaly = toRad(357.52911 + t * (35999.05029 - 0.0001537 * t));
  const centre =
    Math.sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t)) +
    Math.sin(2 * anomaly) * (0.019993 - 0.000101 * t) +
    Math.sin(3 * anomaly) * 0.000289;
  const node = toRad(125.04 - 1934.136 * t);
  const apparent = toRad(meanLongitude + centre - 0.00569 - 0.00478 * Math.sin(node));
  const obliquity = toRad(
    23 + (26 + (21.448 - t * (46.815 + t * (0.00059 - t * 0.001813))) / 60) / 60 + 0.00256 * Math.cos(node),
  );
  const declination = Math.asin(Math.sin(obliquity) * Math.sin(apparent));
  const rightAscension = toDeg(Math.atan2(Math.cos(obliquity) * Math.sin(apparent), Math.cos(apparent)));
  // Greenwich mean sidereal time, Meeus eq. 12.4.
  const sidereal = 280.46061837 + 360.98564736629 * days + 0.000387933 * t * t;
  const hourAngle = toRad(wrap180(sidereal + lonDeg - rightAscension));
  const lat = toRad(latDeg);
  return toDeg(
    Math.asin(
      Math.sin(lat) * Math.sin(declination) + Math.cos(lat) * Math.cos(declination) * Math.cos(hourAngle),
    ),
  );
}
