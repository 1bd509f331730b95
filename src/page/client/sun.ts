/**
 * Altitude of the sun, for day, dusk and night by position. Low-precision formulas of the Astronomical Almanac
 * (section C): good to a hundredth of a degree in position until 2050, far finer than a screen's brightness needs.
 */

const rad = (deg: number): number => (deg * Math.PI) / 180;
const deg = (angle: number): number => (angle * 180) / Math.PI;

const J2000_MS = Date.UTC(2000, 0, 1, 12);
const DAY_MS = 86_400_000;

export function sunPlace(atMs: number): { rightAscensionDeg: number; declinationDeg: number } {
  const days = (atMs - J2000_MS) / DAY_MS;
  const meanLongitude = 280.46 + 0.9856474 * days;
  const anomaly = rad(357.528 + 0.9856003 * days);
  const longitude = rad(meanLongitude + 1.915 * Math.sin(anomaly) + 0.02 * Math.sin(2 * anomaly));
  const obliquity = rad(23.439 - 0.0000004 * days);
  const rightAscension = Math.atan2(Math.cos(obliquity) * Math.sin(longitude), Math.cos(longitude));
  return {
    rightAscensionDeg: (deg(rightAscension) + 360) % 360,
    declinationDeg: deg(Math.asin(Math.sin(obliquity) * Math.sin(longitude))),
  };
}

export function sunAltitudeDeg(atMs: number, latDeg: number, lonDeg: number): number {
  const { rightAscensionDeg, declinationDeg } = sunPlace(atMs);
  const days = (atMs - J2000_MS) / DAY_MS;
  const greenwichDeg = 280.4606 + 360.9856474 * days;
  const hourAngle = rad(greenwichDeg + lonDeg - rightAscensionDeg);
  const lat = rad(latDeg);
  const declination = rad(declinationDeg);
  return deg(
    Math.asin(
      Math.sin(lat) * Math.sin(declination) + Math.cos(lat) * Math.cos(declination) * Math.cos(hourAngle),
    ),
  );
}

/** Day while the sun is up, dusk in civil twilight, night below it. */
export function modeBySun(altitudeDeg: number): "day" | "dusk" | "night" {
  if (altitudeDeg > -0.8) return "day";
  return altitudeDeg > -6 ? "dusk" : "night";
}
