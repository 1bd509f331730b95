/**
 * Sentences with known contents. Layouts after "NMEA Revealed" (E. S. Raymond, gpsd project) and IEC 61162-1 as
 * documented by SwiftNMEA; published sentences are marked with who published them, the others are the example
 * night that the project's handbook of standards works out (its sections in the titles). `len` counts `$` to LF.
 */
import { describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { decode } from "../../src/nmea/table.ts";
import { sentenceIn } from "./sentence-in.ts";

type Example = readonly [text: string, len: number | undefined, values: Readonly<Record<string, unknown>>];

const about = (value: number, digits = 9) => expect.closeTo(value, digits);
const NOON = 12 * 3600 + 35 * 60;
const at123519 = { timeOfDayS: NOON + 19 };
/** 50°45.6120′N 001°18.2340′W, and the anchor 50°45.6310′N 001°18.2090′W. */
const BOAT = { latDeg: about(50.7602), lonDeg: about(-1.3039), decimals: 4 };
const ANCHOR = { latDeg: about(50 + 45.631 / 60), lonDeg: about(-(1 + 18.209 / 60)), decimals: 4 };

const EXAMPLES: Readonly<Record<string, readonly Example[]>> = {
  "B1 depth": [
    ["$SDDPT,6.3,0.5,100.0*54", 25, { depthM: 6.3, offsetM: 0.5, rangeM: 100 }],
    ["$SDDPT,6.3,-1.4,100.0*79", 26, { depthM: 6.3, offsetM: -1.4, rangeM: 100 }],
    // NMEA Revealed: two fields, the old form.
    ["$INDPT,2.3,0.0*46", undefined, { depthM: 2.3, offsetM: 0, rangeM: undefined }],
    // NOAA NCEI, scs_dpt: recorded by a research vessel.
    ["$SDDPT,0006.29,002.40*6C", undefined, { depthM: 6.29, offsetM: 2.4, rangeM: undefined }],
    ["$SDDPT,,0.5,*50", undefined, { depthM: undefined, offsetM: 0.5, rangeM: undefined }],
    [seal("SDDBT,,f,22.5,M,,F"), undefined, { feet: undefined, depthM: 22.5, fathoms: undefined }],
    ["$SDDBT,32.8,f,10.0,M,5.5,F*0E", 31, { feet: 32.8, depthM: 10, fathoms: 5.5 }],
    ["$SDDBT,7.8,f,2.4,M,1.3,F*0D", undefined, { feet: 7.8, depthM: 2.4, fathoms: 1.3 }],
    ["$SDDBK,16.4,f,5.0,M,2.7,F*2A", 30, { feet: 16.4, depthM: 5, fathoms: 2.7 }],
    ["$SDDBS,36.1,f,11.0,M,6.0,F*03", 31, { feet: 36.1, depthM: 11, fathoms: 6 }],
  ],
  "B2 position and motion": [
    [
      "$GPRMC,123519.00,A,5045.6120,N,00118.2340,W,0.2,214.5,150626,1.1,W,A,S*4D",
      75,
      {
        ...at123519,
        status: "valid",
        position: BOAT,
        sogKn: 0.2,
        cogDeg: 214.5,
        date: { year: 2026, month: 6, day: 15 },
        variationDeg: -1.1,
        mode: "autonomous",
        navigationalStatus: "safe",
      },
    ],
    [
      "$GPRMC,123520.00,V,,,,,,,150626,,,N,V*06",
      42,
      { status: "void", position: undefined, sogKn: undefined, cogDeg: undefined, timeOfDayS: NOON + 20 },
    ],
    // NMEA Revealed, recorded: course null when slow.
    [
      "$GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,100117,,,A*7B",
      undefined,
      {
        position: { latDeg: about(44 + 4.13993 / 60), lonDeg: about(-(121 + 18.86023 / 60)), decimals: 5 },
        sogKn: 0.146,
        cogDeg: undefined,
        variationDeg: undefined,
        date: { year: 2017, month: 1, day: 10 },
      },
    ],
    [
      "$GPGGA,123519.00,5045.6120,N,00118.2340,W,2,09,0.9,3.4,M,47.3,M,4.0,0120*52",
      77,
      {
        ...at123519,
        position: BOAT,
        quality: "differential",
        satellites: 9,
        hdop: 0.9,
        altitudeM: 3.4,
        geoidM: 47.3,
        correctionAgeS: 4,
        station: "0120",
      },
    ],
    [
      "$GPGGA,123521.00,,,,,0,00,99.9,,M,,M,,*59",
      43,
      { quality: "none", position: undefined, satellites: undefined, hdop: undefined },
    ],
    [
      "$GPGLL,5045.6120,N,00118.2340,W,123519.00,A,A*7A",
      50,
      { ...at123519, position: BOAT, status: "valid", mode: "autonomous" },
    ],
    [
      "$GNGNS,123519.00,5045.6120,N,00118.2340,W,AAN,15,0.8,3.4,47.3,,,S*71",
      70,
      {
        ...at123519,
        position: BOAT,
        modes: "AAN",
        satellites: 15,
        hdop: 0.8,
        altitudeM: 3.4,
        geoidM: 47.3,
        correctionAgeS: undefined,
        station: undefined,
        navigationalStatus: "safe",
      },
    ],
    [
      "$GNGSA,A,3,03,06,09,11,17,19,22,,,,,,1.6,0.9,1.3,1*3F",
      55,
      { selection: "automatic", fix: "3d", satellite1: "03", satellite7: "22", satellite8: undefined },
    ],
    ["$GNGSA,A,3,03,06,09,11,17,19,22,,,,,,1.6,0.9,1.3,1*3F", 55, { pdop: 1.6, hdop: 0.9, vdop: 1.3 }],
    [
      "$GPGST,123519.00,1.8,1.4,0.9,37.0,1.3,1.0,2.1*6B",
      50,
      { rangeRmsM: 1.8, semiMajorM: 1.4, semiMinorM: 0.9, orientationDeg: 37, latitudeM: 1.3, longitudeM: 1 },
    ],
    [
      "$GPVTG,214.5,T,215.6,M,0.2,N,0.4,K,A*27",
      41,
      { cogDeg: 214.5, cogMagneticDeg: 215.6, sogKn: 0.2, sogKmh: 0.4, mode: "autonomous" },
    ],
    ["$GPZDA,123519.00,15,06,2026,00,00*6F", 38, { ...at123519, day: 15, month: 6, year: 2026 }],
    [
      "$VDVBW,0.6,0.1,A,0.0,0.0,A,0.1,A,0.0,A*57",
      43,
      { waterAheadKn: 0.6, waterStarboardKn: 0.1, waterStatus: "valid", groundAheadKn: 0, sternWaterKn: 0.1 },
    ],
    ["$VWVDR,065.0,T,066.1,M,0.6,N*3C", 33, { setDeg: 65, setMagneticDeg: 66.1, driftKn: 0.6 }],
  ],
  "B3 heading": [
    ["$HCHDG,215.3,0.4,E,1.1,W*51", 29, { sensorDeg: 215.3, deviationDeg: 0.4, variationDeg: -1.1 }],
    ["$HEHDT,214.6,T*2E", 19, { headingDeg: 214.6 }],
    ["$HCHDM,215.7,M*28", 19, { headingDeg: 215.7 }],
    ["$HETHS,214.6,A*2C", 19, { headingDeg: 214.6, mode: "autonomous" }],
    // A dynamic-positioning system's sensor appendix; its HDG is printed with a wrong checksum (frame.test.ts).
    ["$HETHS,316.70,E*1A", undefined, { headingDeg: 316.7, mode: "estimated" }],
    ["$HEHDM,311.40,M*18", undefined, { headingDeg: 311.4 }],
    ["$HEHDG,311.2,1.7,W,0.0,E*51", undefined, { sensorDeg: 311.2, deviationDeg: -1.7, variationDeg: 0 }],
    [
      "$VWVHW,214.6,T,215.7,M,0.6,N,1.1,K*52",
      39,
      { headingDeg: 214.6, headingMagneticDeg: 215.7, speedKn: 0.6, speedKmh: 1.1 },
    ],
    ["$TIROT,-3.5,A*10", 18, { rateDegPerMin: -3.5, status: "valid" }],
  ],
  "B4 wind": [
    // 18.4 kn = 9.4658 m/s (1 kn = 1852/3600 m/s by definition).
    [
      "$WIMWV,012.0,R,18.4,N,A*1D",
      28,
      { angleDeg: 12, reference: "apparent", speedMps: about(9.4658, 4), status: "valid" },
    ],
    [
      "$WIMWV,348.0,T,9.5,M,A*25",
      27,
      { angleDeg: 348, reference: "theoretical", speedMps: 9.5, status: "valid" },
    ],
    [
      "$WIMWV,,R,,N,V*34",
      undefined,
      { angleDeg: undefined, speedMps: undefined, status: "void", reference: "apparent" },
    ],
    [
      "$WIMWD,226.6,T,227.7,M,18.3,N,9.4,M*6D",
      40,
      { fromDeg: 226.6, fromMagneticDeg: 227.7, speedKn: 18.3, speedMps: 9.4 },
    ],
    // NMEA Revealed.
    [
      "$WIMWD,302.4,T,289.6,M,10.5,N,5.4,M*6F",
      undefined,
      { fromDeg: 302.4, fromMagneticDeg: 289.6, speedKn: 10.5, speedMps: 5.4 },
    ],
    [
      "$WIVWR,12.0,R,18.4,N,9.5,M,34.1,K*63",
      38,
      { angleDeg: 12, speedKn: 18.4, speedMps: 9.5, speedKmh: 34.1 },
    ],
    [
      "$WIVWT,12.0,L,18.3,N,9.4,M,33.9,K*72",
      38,
      { angleDeg: 348, speedKn: 18.3, speedMps: 9.4, speedKmh: 33.9 },
    ],
  ],
  "B5 others": [
    ["$YXMTW,17.9,C*1D", 18, { celsius: 17.9 }],
    [
      "$WIXDR,P,1.0132,B,BARO,C,18.2,C,AIRT*58",
      41,
      {
        measurements: [
          { type: "P", value: 1.0132, unit: "B", name: "BARO", decimals: 4 },
          { type: "C", value: 18.2, unit: "C", name: "AIRT", decimals: 1 },
        ],
      },
    ],
    // NMEA Revealed.
    [
      "$HCXDR,A,171,D,PITCH,A,-37,D,ROLL,G,367,,MAGX,G,2420,,MAGY,G,-8984,,MAGZ*41",
      77,
      {
        measurements: [
          { type: "A", value: 171, unit: "D", name: "PITCH", decimals: 0 },
          { type: "A", value: -37, unit: "D", name: "ROLL", decimals: 0 },
          { type: "G", value: 367, unit: "", name: "MAGX", decimals: 0 },
          { type: "G", value: 2420, unit: "", name: "MAGY", decimals: 0 },
          { type: "G", value: -8984, unit: "", name: "MAGZ", decimals: 0 },
        ],
      },
    ],
    [
      "$IIXDR,D,35.0,M,RODE*43",
      25,
      { measurements: [{ type: "D", value: 35, unit: "M", name: "RODE", decimals: 1 }] },
    ],
    [
      "$IIXDR,D,42.5,M,RODEREQ,G,5.2,,SCOPE,A,6.1,D,PULL*0D",
      54,
      { measurements: [{ value: 42.5 }, { value: 5.2, unit: "" }, { value: 6.1, name: "PULL" }] },
    ],
    ["$IIWPL,5045.6310,N,00118.2090,W,ANCHOR*54", 43, { position: ANCHOR, name: "ANCHOR" }],
    [
      "$IIBWC,123519.00,5045.6310,N,00118.2090,W,039.8,T,040.9,M,0.02,N,ANCHOR,A*6F",
      78,
      { ...at123519, position: ANCHOR, bearingDeg: 39.8, bearingMagneticDeg: 40.9, distanceNm: 0.02 },
    ],
    [
      "$IIBWC,123519.00,5045.6310,N,00118.2090,W,039.8,T,040.9,M,0.025,N,ANCHOR,A*5A",
      79,
      { distanceNm: 0.025, name: "ANCHOR", mode: "autonomous" },
    ],
    [
      "$IIRMB,A,0.00,L,,ANCHOR,5045.6310,N,00118.2090,W,0.0,039.8,-0.1,V,A,S*15",
      74,
      {
        crossTrackNm: 0,
        steer: "port",
        origin: undefined,
        name: "ANCHOR",
        position: ANCHOR,
        closingKn: -0.1,
      },
    ],
    ["$IITXT,01,01,01,SCOPE 4.1 TARGET 5*3C", 39, { total: 1, number: 1, text: "SCOPE 4.1 TARGET 5" }],
    ["$IITXT,01,01,02,CIRCLE^2C 35 M*2C", 35, { identifier: 2, text: "CIRCLE, 35 M" }],
    ["$IIHBT,30,A,0*00", 18, { intervalS: 30, status: "normal", sequence: 0 }],
    // go-nmea's tests.
    ["$HCHBT,1.5,A,1*23", undefined, { intervalS: 1.5, status: "normal", sequence: 1 }],
  ],
};

describe.each(Object.entries(EXAMPLES))("%s", (_, examples) => {
  test.each(examples)("%s", (text, len, values) => {
    if (len !== undefined) expect(text.length + 2).toBe(len);
    expect(sentenceIn(text)).toMatchObject(values);
  });
});

test.each([
  "$IIEVE,123519.00,RDW,ANCHOR LET GO*54",
  "$FREVE,000001,DZ00513,Fire Alarm On: TEST DZ201 Name*0A",
  "$GPAPB,A,A,0.10,R,N,V,V,011,M,DEST,011,M,011,M*3C",
])("known and passed over: %s", (text) => {
  expect(decode(text, { checksum: "required" }).pieces).toMatchObject([{ kind: "ignored" }]);
});
