import { describe, expect, test } from "vitest";
import { modeBySun, sunAltitudeDeg, sunPlace } from "../../src/page/client/sun.ts";

describe("the sun", () => {
  // J. Meeus, Astronomical Algorithms (2nd ed.), example 25.a: 1992 October 13, 0 h TD. From memory of the book.
  test("stands where the published example has it", () => {
    const { rightAscensionDeg, declinationDeg } = sunPlace(Date.UTC(1992, 9, 13));
    expect(rightAscensionDeg).toBeCloseTo(198.38, 1);
    expect(declinationDeg).toBeCloseTo(-7.785, 1);
  });

  // By definition: at the equinox on the equator it is overhead at noon; midsummer's declination is the obliquity.
  test("is overhead at the equinox, and as high as the obliquity allows in June", () => {
    const noon = Date.UTC(2026, 2, 20, 12, 7, 30); // the equation of time is -7.5 min
    expect(sunAltitudeDeg(noon, 0, 0)).toBeGreaterThan(89);
    expect(sunPlace(Date.UTC(2026, 5, 21, 8)).declinationDeg).toBeCloseTo(23.44, 1);
  });

  test("is up by day and down by night, where the boat is", () => {
    expect(modeBySun(sunAltitudeDeg(Date.UTC(2026, 5, 15, 12), 54.5, 10.4))).toBe("day");
    expect(modeBySun(sunAltitudeDeg(Date.UTC(2026, 0, 15, 0), 54.5, 10.4))).toBe("night");
    expect(modeBySun(sunAltitudeDeg(Date.UTC(2026, 0, 15, 0), -40, 175))).toBe("day");
    expect([modeBySun(0), modeBySun(-3), modeBySun(-7)]).toEqual(["day", "dusk", "night"]);
  });
});
