import { expect, test } from "vitest";
import { SETS_AT_DEG, sunAltitudeDeg } from "../../src/watch/sun.ts";

test("NREL/TP-560-34302 (solar position algorithm) worked example: zenith 50.11162, refraction 0.016 in it", () => {
  const at = Date.UTC(2003, 9, 17, 19, 30, 30);
  const altitude = sunAltitudeDeg({ latDeg: 39.742476, lonDeg: -105.1786 }, at);
  expect(altitude + 0.016).toBeCloseTo(90 - 50.11162, 1);
  expect(Math.abs(altitude + 0.016 - (90 - 50.11162))).toBeLessThan(0.02);
});

test("Meeus example 25.a, 1992 October 13 at 0 h: declination -7.78507, so the noon height at 40 N is 42.21", () => {
  const at = Date.UTC(1992, 9, 13);
  const heights = Array.from({ length: 3600 }, (_, i) =>
    sunAltitudeDeg({ latDeg: 40, lonDeg: i / 10 - 180 }, at),
  );
  expect(Math.abs(Math.max(...heights) - (90 - 40 - 7.78507))).toBeLessThan(0.005);
});

test("no sunset at midsummer beyond the circle, no sunrise at midwinter", () => {
  const day = (month: number) =>
    Array.from({ length: 48 }, (_, i) =>
      sunAltitudeDeg({ latDeg: 70, lonDeg: 20 }, Date.UTC(2026, month, 21) + i * 1_800_000),
    );
  expect(Math.min(...day(5))).toBeGreaterThan(SETS_AT_DEG);
  expect(Math.max(...day(11))).toBeLessThan(SETS_AT_DEG);
});
