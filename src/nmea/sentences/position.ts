/** Position, course and speed over the ground, time, and how good they are. */
import {
  code,
  decimal,
  direction,
  eastward,
  type Field,
  integer,
  letter,
  mode,
  modeIsGood,
  status,
  text,
} from "../field.ts";
import { position } from "../position-field.ts";
import { row, simple } from "../row.ts";
import { type CalendarDay, date, timeOfDay } from "../time-field.ts";

const sogKn = decimal(1, { min: 0 });
/** "Not reported" by most leisure receivers: it must not void a fix, so it is read and left alone. */
const navigationalStatus = code({ S: "safe", C: "caution", U: "unsafe", V: "not-reported" });

const QUALITIES = {
  "0": "none",
  "1": "autonomous",
  "2": "differential",
  "3": "precise",
  "4": "fixed",
  "5": "float",
  "6": "estimated",
  "7": "manual",
  "8": "simulated",
} as const;
const quality = code(QUALITIES);

/** One mode letter for each constellation (GNS). The fix is good when any of them is. */
const constellationModes: Field<string> = text;

function anyGood(letters: string | undefined): boolean {
  return letters !== undefined && /[ADFPR]/.test(letters);
}

export function calendarDay(values: {
  day: number | undefined;
  month: number | undefined;
  year: number | undefined;
}): CalendarDay | undefined {
  const { day, month, year } = values;
  return day === undefined || month === undefined || year === undefined ? undefined : { day, month, year };
}

export const positionSentences = [
  row(
    "RMC",
    "recommended minimum: fix, course, speed, date",
    {
      timeOfDayS: timeOfDay,
      status,
      position,
      sogKn,
      cogDeg: direction,
      date,
      variationDeg: eastward,
      mode,
      navigationalStatus,
    },
    {
      least: 9,
      voidWhen: (v) => v.status !== "valid" || !modeIsGood(v.mode),
      kept: ["timeOfDayS", "status", "date", "variationDeg", "mode"],
      example: "$GPRMC,123519.00,A,5045.6120,N,00118.2340,W,0.2,214.5,150626,1.1,W,A,S*4D",
    },
  ),
  row(
    "GGA",
    "fix and its quality",
    {
      timeOfDayS: timeOfDay,
      position,
      quality,
      satellites: integer({ pad: 2, min: 0 }),
      hdop: decimal(1, { min: 0 }),
      altitudeM: decimal(1),
      altitudeUnit: letter("M"),
      geoidM: decimal(1),
      geoidUnit: letter("M"),
      correctionAgeS: decimal(1, { min: 0 }),
      station: text,
    },
    {
      least: 8,
      voidWhen: (v) => v.quality === undefined || v.quality === "none" || !modeIsGood(v.quality),
      kept: ["timeOfDayS", "quality"],
      example: "$GPGGA,123519.00,5045.6120,N,00118.2340,W,2,09,0.9,3.4,M,47.3,M,4.0,0120*52",
    },
  ),
  row(
    "GLL",
    "fix",
    { position, timeOfDayS: timeOfDay, status, mode },
    {
      least: 5,
      // Before NMEA 2.0 there was no status; one that is there and not valid voids.
      voidWhen: (v) => v.status === "void" || !modeIsGood(v.mode),
      kept: ["timeOfDayS", "status", "mode"],
      example: "$GPGLL,5045.6120,N,00118.2340,W,123519.00,A,A*7A",
    },
  ),
  row(
    "GNS",
    "fix of several constellations",
    {
      timeOfDayS: timeOfDay,
      position,
      modes: constellationModes,
      satellites: integer({ pad: 2, min: 0 }),
      hdop: decimal(1, { min: 0 }),
      altitudeM: decimal(1),
      geoidM: decimal(1),
      correctionAgeS: decimal(1, { min: 0 }),
      station: text,
      navigationalStatus,
    },
    {
      least: 8,
      voidWhen: (v) => !anyGood(v.modes),
      kept: ["timeOfDayS", "modes"],
      example: "$GNGNS,123519.00,5045.6120,N,00118.2340,W,AAN,15,0.8,3.4,47.3,,,S*71",
    },
  ),
  simple(
    "GSA",
    "satellites in use and dilution of precision",
    {
      selection: code({ M: "manual", A: "automatic" }),
      fix: code({ "1": "none", "2": "2d", "3": "3d" }),
      satellite1: text,
      satellite2: text,
      satellite3: text,
      satellite4: text,
      satellite5: text,
      satellite6: text,
      satellite7: text,
      satellite8: text,
      satellite9: text,
      satellite10: text,
      satellite11: text,
      satellite12: text,
      pdop: decimal(1, { min: 0 }),
      hdop: decimal(1, { min: 0 }),
      vdop: decimal(1, { min: 0 }),
      system: text,
    },
    {
      least: 17,
      library: { pdop: "PDOP", hdop: "HDOP", vdop: "VDOP" },
      example: "$GNGSA,A,3,03,06,09,11,17,19,22,,,,,,1.6,0.9,1.3,1*3F",
    },
  ),
  row(
    "GST",
    "expected error of the fix, one sigma",
    {
      timeOfDayS: timeOfDay,
      rangeRmsM: decimal(1, { min: 0 }),
      semiMajorM: decimal(1, { min: 0 }),
      semiMinorM: decimal(1, { min: 0 }),
      orientationDeg: decimal(1, { min: 0, max: 360 }),
      latitudeM: decimal(1, { min: 0 }),
      longitudeM: decimal(1, { min: 0 }),
      altitudeM: decimal(1, { min: 0 }),
    },
    { least: 7, example: "$GPGST,123519.00,1.8,1.4,0.9,37.0,1.3,1.0,2.1*6B" },
  ),
  row(
    "VTG",
    "course and speed over the ground",
    {
      cogDeg: direction,
      trueLetter: letter("T"),
      cogMagneticDeg: direction,
      magneticLetter: letter("M"),
      sogKn,
      knotLetter: letter("N"),
      sogKmh: decimal(1, { min: 0 }),
      kmhLetter: letter("K"),
      mode,
    },
    {
      least: 4,
      // The old form has four places and no letters, so every place means something else: nothing is taken.
      voidWhen: (v) => v.trueLetter !== "T" || !modeIsGood(v.mode),
      kept: ["mode"],
      example: "$GPVTG,214.5,T,215.6,M,0.2,N,0.4,K,A*27",
    },
  ),
  row(
    "ZDA",
    "time and date",
    {
      timeOfDayS: timeOfDay,
      day: integer({ pad: 2, min: 1, max: 31 }),
      month: integer({ pad: 2, min: 1, max: 12 }),
      year: integer({ pad: 4, min: 0, max: 9999 }),
      zoneHours: integer({ pad: 2, min: -13, max: 13 }),
      zoneMinutes: integer({ pad: 2, min: -59, max: 59 }),
    },
    { least: 4, example: "$GPZDA,123519.00,15,06,2026,00,00*6F" },
  ),
] as const;
