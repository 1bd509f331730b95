import { describe, expect, test } from "vitest";
import { aboard } from "./aboard.ts";

const headingAfter = (...lines: string[]) => aboard().second(0, ...lines).headingDeg?.value;

// Rule and figures: gpsd's "NMEA Revealed"; east is added: magnetic = sensor + deviation, true = magnetic + variation.
describe("heading, true", () => {
  test("215.3°, deviation 0.4° E, variation 1.1° W: 215.7° magnetic, 214.6° true", () => {
    expect(headingAfter("$HCHDG,215.3,0.4,E,1.1,W*51")).toBeCloseTo(214.6, 9);
  });

  test.each([
    ["$HEHDT,214.6,T*2E", 214.6],
    ["$HETHS,214.6,A*2C", 214.6],
    ["$HETHS,316.70,E*1A", 316.7],
    ["HCHDG,1.0,3.0,W,2.0,W", 356],
    ["HCHDG,359.0,,,3.0,E", 2],
    ["VWVHW,214.6,T,,M,0.6,N,1.1,K", 214.6],
  ])("%s → %d°", (line, deg) => expect(headingAfter(line)).toBeCloseTo(deg, 9));

  test.each([
    ["HCHDG,215.3,0.4,E,,", "magnetic, and no variation"],
    ["$HCHDM,215.7,M*28", "magnetic, and no variation"],
    ["HETHS,214.6,V", "not valid"],
    ["HETHS,214.6,M", "set by hand"],
    ["HEHDT,,T", "empty"],
    ["VWVHW,,T,,M,0.6,N,1.1,K", "empty"],
  ])("%s is none (%s)", (line) => expect(headingAfter(line)).toBeUndefined());

  test("a variation from another sentence serves, and stands after that falls silent", () => {
    const boat = aboard();
    const rmc = "$GPRMC,123519.00,A,5045.6120,N,00118.2340,W,0.2,214.5,150626,1.1,W,A,S*4D";
    expect(boat.second(0, "$HCHDM,215.7,M*28", rmc).headingDeg?.value).toBeCloseTo(214.6, 9);
    expect(boat.second(3600, "$HCHDM,215.7,M*28").headingDeg?.value).toBeCloseTo(214.6, 9);
  });

  test("a magnetic one without a variation does not hide a true one of less rank, before or after it", () => {
    expect(headingAfter("HCHDG,215.3,0.4,E,,", "VWVHW,214.6,T,,M,0.6,N,1.1,K")).toBe(214.6);
    const boat = aboard();
    expect(boat.second(0, "VWVHW,214.6,T,,M,0.6,N,1.1,K").headingDeg?.value).toBe(214.6);
    for (let s = 1; s <= 60; s++) boat.second(s, "HCHDG,215.3,0.4,E,,", "VWVHW,200.0,T,,M,0.6,N,1.1,K");
    const after = boat.second(61, "HCHDG,215.3,0.4,E,,", "VWVHW,200.0,T,,M,0.6,N,1.1,K");
    expect(after.headingDeg?.value).toBe(200);
  });

  test("true before magnetic where one compass sends both", () => {
    expect(headingAfter("HCHDG,10.0,,,1.0,E", "HCHDT,12.5,T")).toBe(12.5);
  });
});

test("of several headings in one second the mean is taken, over north too", () => {
  expect(headingAfter("HEHDT,352.0,T", "HEHDT,358.0,T", "HEHDT,4.0,T", "HEHDT,10.0,T")).toBeCloseTo(1, 6);
});
