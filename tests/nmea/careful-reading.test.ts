/** Where a hasty reader goes wrong: old forms, void states, missing units, no course. */
import { describe, expect, test } from "vitest";
import { refused } from "../../src/nmea/frame.ts";
import { seal } from "../../src/nmea/seal.ts";
import { decode } from "../../src/nmea/table.ts";
import { M_PER_FATHOM, M_PER_FT } from "../../src/units/length.ts";
import { sentenceIn } from "./sentence-in.ts";

const rmc = (fields: string) => sentenceIn(seal(`GPRMC,${fields}`));
const FIX = "5045.6120,N,00118.2340,W";

describe("position", () => {
  test("degrees and minutes: the two digits left of the point are minutes", () => {
    // "NMEA Revealed": 4533.35 is 45°33.35′ = 45°33′21″.
    const sentence = sentenceIn(seal("GPGLL,4533.35,N,00000.00,E,123519,A"));
    expect(sentence).toMatchObject({ position: { latDeg: expect.closeTo(45 + 33 / 60 + 21 / 3600, 10) } });
  });

  test("the equator and the prime meridian have no minus zero", () => {
    const sentence = sentenceIn(seal("GPGLL,0000.000,S,00000.000,W,123519,A"));
    expect(sentence).toMatchObject({ position: { latDeg: 0, lonDeg: 0, decimals: 3 } });
  });

  test("the poles and the date line are the last places there are", () => {
    expect(sentenceIn(seal("GPGLL,9000.00,S,18000.00,E,123519,A"))).toMatchObject({
      position: { latDeg: -90, lonDeg: 180 },
    });
    for (const beyond of ["9000.01,S,18000.00,E", "9000.00,S,18000.01,E"])
      expect(decode(seal(`GPGLL,${beyond},123519,A`), { checksum: "required" }).pieces).toEqual([
        refused("bad-position"),
      ]);
  });

  test.each([
    ["A", "present"],
    ["D", "present"],
    ["F", "present"],
    ["P", "present"],
    ["R", "present"],
    ["E", "absent"],
    ["M", "absent"],
    ["S", "absent"],
    ["N", "absent"],
    // Some makers' "caution" and "unsafe", and a letter nobody knows.
    ["C", "absent"],
    ["U", "absent"],
    ["X", "absent"],
  ])("the mode rules over the status: RMC and GLL with A, mode %s: fix %s", (letter, expected) => {
    for (const text of [
      `GPRMC,123519,A,${FIX},0.2,214.5,150626,,,${letter}`,
      `GPGLL,${FIX},123519,A,${letter}`,
    ])
      expect("position" in sentenceIn(seal(text)) && sentenceIn(seal(text))).toMatchObject({
        position: expected === "present" ? { decimals: 4 } : undefined,
      });
  });

  test("an empty mode, or none (before NMEA 2.3), leaves it to the status", () => {
    expect(rmc(`123519,A,${FIX},0.2,214.5,150626,,,`)).toMatchObject({ position: { decimals: 4 } });
    expect(rmc(`123519,A,${FIX},0.2,214.5,150626`)).toMatchObject({ position: { decimals: 4 } });
    expect(rmc(`123519,,${FIX},0.2,214.5,150626`)).toMatchObject({ position: undefined, sogKn: undefined });
  });

  test("navigational status V is normal and voids nothing", () => {
    expect(rmc(`123519,A,${FIX},0.2,214.5,150626,,,A,V`)).toMatchObject({
      position: { decimals: 4 },
      navigationalStatus: "not-reported",
    });
  });

  test("a void RMC keeps its date and time but no position, even a filled-in one", () => {
    // Recorded (gpsd-gnss-coldboot-corrupt).
    expect(rmc("235948.00,V,0000.0000,N,00000.0000,E,,,161206,,,N")).toMatchObject({
      timeOfDayS: 86388,
      date: { year: 2006, month: 12, day: 16 },
      position: undefined,
    });
  });

  test.each([
    ["", "present"],
    [",A", "present"],
    [",V", "absent"],
    [",X", "absent"],
  ])("GLL with %j behind its time: fix %s (NMEA 1.5 had no status)", (end, expected) => {
    expect(sentenceIn(seal(`GPGLL,${FIX},123519${end}`))).toMatchObject({
      position: expected === "present" ? { decimals: 4 } : undefined,
    });
  });

  test.each([0, 6, 7, 8, "", 9])("GGA quality %j is no fix", (quality) => {
    expect(sentenceIn(seal(`GPGGA,123519,${FIX},${quality},09,0.9,3.4,M,47.3,M,,`))).toMatchObject({
      position: undefined,
      hdop: undefined,
      altitudeM: undefined,
    });
  });

  test.each([1, 2, 3, 4, 5])("GGA quality %j is a fix", (quality) => {
    expect(sentenceIn(seal(`GPGGA,123519,${FIX},${quality},09,0.9,3.4,M,47.3,M,,`))).toMatchObject({
      position: { decimals: 4 },
      hdop: 0.9,
    });
  });

  test("GNS: any good letter is a fix; the copies of single constellations carry none", () => {
    const gns = (fields: string) => sentenceIn(seal(fields));
    expect(gns(`GNGNS,123519,${FIX},NND,15,0.8,3.4,47.3,,,V`)).toMatchObject({ position: { decimals: 4 } });
    expect(gns(`GNGNS,123519,${FIX},NNE,15,0.8,3.4,47.3,,`)).toMatchObject({ position: undefined });
    expect(gns("GPGNS,123519,,,,,,8,,,,1.0,23")).toMatchObject({
      position: undefined,
      satellites: undefined,
    });
  });
});

describe("course, speed, heading", () => {
  test("old VTG, four places without letters: nothing is taken from it", () => {
    expect(sentenceIn(seal("GPVTG,054.7,034.4,005.5,010.2"))).toMatchObject({
      cogDeg: undefined,
      cogMagneticDeg: undefined,
      sogKn: undefined,
      sogKmh: undefined,
    });
  });

  test("VTG at rest has speed and no course", () => {
    // Recorded (pynmeagps-bad-checksum-digit, its checksum mended).
    expect(sentenceIn(seal("GNVTG,,T,,M,0.145,N,0.269,K,A"))).toMatchObject({
      cogDeg: undefined,
      sogKn: 0.145,
      sogKmh: 0.269,
    });
  });

  test("HDG: variation without its letter, or none at all, is missing", () => {
    expect(sentenceIn("$IIHDG,038,,,,*5C")).toMatchObject({ sensorDeg: 38, variationDeg: undefined });
    expect(sentenceIn("$IIHDG,030,,,01,E*10")).toMatchObject({ deviationDeg: undefined, variationDeg: 1 });
    expect(sentenceIn(seal("HCHDG,215.3,0.4,E,1.1,"))).toMatchObject({ variationDeg: undefined });
    const west0 = sentenceIn(seal("HCHDG,215.3,,,0.0,W"));
    expect(west0.id === "HDG" && Object.is(west0.variationDeg, 0)).toBe(true);
  });

  test("THS and ROT give nothing when they say so", () => {
    for (const letter of ["V", "M", "S", "", "X"])
      expect(sentenceIn(seal(`HETHS,214.6,${letter}`))).toMatchObject({ headingDeg: undefined });
    expect(sentenceIn(seal("TIROT,-3.5,V"))).toMatchObject({ rateDegPerMin: undefined });
  });

  test("VBW: each pair stands under its own status", () => {
    expect(sentenceIn(seal("VDVBW,0.6,0.1,V,0.4,-0.2,A,0.1,V,0.3,A"))).toMatchObject({
      waterAheadKn: undefined,
      waterStarboardKn: undefined,
      groundAheadKn: 0.4,
      groundStarboardKn: -0.2,
      sternWaterKn: undefined,
      sternGroundKn: 0.3,
    });
    expect(sentenceIn(seal("VDVBW,0.6,0.1,A,,,V"))).toMatchObject({
      waterAheadKn: 0.6,
      groundAheadKn: undefined,
      sternWaterKn: undefined,
    });
  });
});

describe("units", () => {
  test.each([
    ["N", 10 * (1852 / 3600)],
    ["M", 10],
    ["K", 10 / 3.6],
    // The statute mile is 1609.344 m by definition.
    ["S", (10 * 1609.344) / 3600],
  ])("MWV in %s", (unit, mps) => {
    const sentence = sentenceIn(seal(`WIMWV,012.0,R,10.0,${unit},A`));
    expect(sentence).toMatchObject({ speedMps: expect.closeTo(mps, 12) });
  });

  test.each(["", "X", "n", "constructor"])(
    "MWV with unit %j has no speed, it is never taken for knots",
    (unit) => {
      expect(sentenceIn(seal(`WIMWV,012.0,R,10.0,${unit},A`))).toMatchObject({
        angleDeg: 12,
        speedMps: undefined,
      });
    },
  );

  test("MWV with an unknown reference says neither apparent nor theoretical", () => {
    expect(sentenceIn(seal("WIMWV,012.0,,10.0,N,A"))).toMatchObject({ reference: undefined });
  });

  test("a wrong unit letter takes its number away; a missing one does not", () => {
    const swapped = sentenceIn(seal("SDDBT,10.0,M,32.8,f,5.5,F"));
    expect(swapped).toMatchObject({ feet: undefined, depthM: undefined, fathoms: 5.5 });
    expect(sentenceIn(seal("SDDBT,32.8,,10.0,,5.5,"))).toMatchObject({
      feet: 32.8,
      depthM: 10,
      fathoms: 5.5,
    });
    expect(sentenceIn(seal("HEHDT,214.6,M"))).toMatchObject({ headingDeg: undefined });
    expect(sentenceIn(seal("HCHDM,215.7,T"))).toMatchObject({ headingDeg: undefined });
    expect(sentenceIn(seal("YXMTW,64.2,F"))).toMatchObject({ celsius: undefined });
    expect(sentenceIn(seal("VWVHW,214.6,M,215.7,M,0.6,K,,"))).toMatchObject({
      headingDeg: undefined,
      headingMagneticDeg: 215.7,
      speedKn: undefined,
    });
  });

  test("DBT with feet only: metres are missing, not 0; the feet say how deep", () => {
    const sentence = sentenceIn(seal("SDDBT,32.8,f,,M,,F"));
    expect(sentence).toMatchObject({ feet: 32.8, depthM: undefined, fathoms: undefined });
    // 32.8 ft = 9.997 m = 5.467 fathoms.
    expect(32.8 * M_PER_FT).toBeCloseTo(9.99744, 10);
    expect(32.8 * M_PER_FT).toBeCloseTo((32.8 / 6) * M_PER_FATHOM, 10);
  });

  test("VWR by side: dead ahead and astern from either", () => {
    const angle = (fields: string) => sentenceIn(seal(`WIVWR,${fields},18.4,N,,,,`));
    expect(angle("153,R")).toMatchObject({ angleDeg: 153 });
    expect(angle("153,L")).toMatchObject({ angleDeg: 207 });
    expect(angle("000,L")).toMatchObject({ angleDeg: 0 });
    expect(angle("180,L")).toMatchObject({ angleDeg: 180 });
    expect(angle("153,")).toMatchObject({ angleDeg: undefined });
  });
});
