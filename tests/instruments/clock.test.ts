import { describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { encode } from "../../src/nmea/table.ts";
import { aboard, EVENING_MS, rmc } from "./aboard.ts";

/** ZDA for a second of the evening; `offS` off true. */
function zda(atS: number, offS = 0, year = 2026): string {
  return encode({
    id: "ZDA",
    talker: "GP",
    timeOfDayS: 72_000 + atS + offS,
    day: 15,
    month: 6,
    year,
    zoneHours: 0,
    zoneMinutes: 0,
  });
}

describe("true UTC", () => {
  test("is not known before three seconds in a row agree, and then offset from the stamps", () => {
    const boat = aboard();
    expect(boat.second(1, rmc(1 + 3600)).utcOffsetMs).toBeUndefined();
    expect(boat.second(2, rmc(2 + 3600)).utcOffsetMs).toBeUndefined();
    expect(boat.second(3, rmc(3 + 3600)).utcOffsetMs).toBe(3_600_000);
  });

  test("three sentences of one second are one second", () => {
    const boat = aboard();
    const seconds = [1, 2, 3].map((s) => boat.second(s, rmc(s), rmc(s, { talker: "GN" }), zda(s)));
    expect(seconds.map((picture) => picture.utcOffsetMs)).toEqual([undefined, undefined, 0]);
  });

  test("is not taken from a void sentence, nor from dates that cannot be", () => {
    const boat = aboard();
    for (let s = 1; s <= 20; s++) {
      const clock = `2000${String(s).padStart(2, "0")}.00`;
      // A void RMC; the GPS week roll-over (7168 days early); a receiver's first day of all.
      const lines = [
        `GPRMC,${clock},V,,,,,,,150626,,,N`,
        `GPRMC,${clock},A,5045.6120,N,00118.2340,W,0.2,,301006,,,A`,
        zda(s, 0, 1980),
      ];
      expect(boat.second(s, ...lines).utcOffsetMs).toBeUndefined();
    }
  });

  test("a receiver that hangs, its time with it, moves nothing", () => {
    const boat = aboard();
    for (let s = 1; s <= 10; s++) boat.second(s, rmc(s), zda(s));
    for (let s = 11; s <= 600; s++) {
      const picture = boat.second(s, rmc(10), zda(10));
      expect(picture.utcOffsetMs).toBe(0);
      expect(picture.clockSteppedAtMs).toBeUndefined();
    }
  });

  test("one wrong sentence moves nothing; a step that stays is taken, and said", () => {
    const boat = aboard();
    for (let s = 1; s <= 10; s++) boat.second(s, zda(s));
    expect(boat.second(11, zda(11, 900)).utcOffsetMs).toBe(0);
    expect(boat.second(12, zda(12)).utcOffsetMs).toBe(0);
    for (let s = 13; s <= 14; s++) expect(boat.second(s, zda(s, 18)).utcOffsetMs).toBe(0);
    const stepped = boat.second(15, zda(15, 18));
    expect(stepped.utcOffsetMs).toBe(18_000);
    expect(stepped.clockSteppedAtMs).toBe(EVENING_MS + 15_000);
  });

  test("in a replay the stamps are UTC already", () => {
    const boat = aboard({ utc: "given" });
    for (let s = 1; s <= 5; s++) expect(boat.second(s, rmc(s + 3600)).utcOffsetMs).toBe(0);
  });

  test("the sentences of this test are the day they say", () => {
    expect(zda(5)).toBe(seal("GPZDA,200005.00,15,06,2026,00,00"));
    expect(rmc(5)).toMatch(/^\$GPRMC,200005\.00,A,5045\.63000,N,00118\.24000,W,0\.0,,150626,/);
  });
});
