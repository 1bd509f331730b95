/** On fully filled sentences our rows and nmea-simple read the same, for every sentence that both know. */
import fc from "fast-check";
import { parseNmeaSentence } from "nmea-simple";
import { expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { MPS_PER_KMH, MPS_PER_KN } from "../../src/units/speed.ts";
import { sentenceIn } from "./sentence-in.ts";

type Values = Readonly<Record<string, unknown>>;

interface Agreement {
  id: string;
  /** The places of a fully filled sentence. */
  places: fc.Arbitrary<readonly string[]>;
  /** For each of our values, theirs, both brought to one form. */
  pairs: (ours: Values, theirs: Values) => Record<string, readonly [unknown, unknown]>;
}

const whole = (min: number, max: number, digits = 1) =>
  fc.integer({ min, max }).map((n) => String(n).padStart(digits, "0"));
const decimal = (max: number, digits: number, decimals: number) =>
  fc
    .tuple(whole(0, max - 1, digits), whole(0, 10 ** decimals - 1, decimals))
    .map(([a, b]) => (decimals === 0 ? a : `${a}.${b}`));
const signed = (max: number) =>
  fc.tuple(fc.constantFrom("", "-", "+"), decimal(max, 1, 1)).map(([sign, n]) => sign + n);
const direction = fc.integer({ min: 0, max: 2 }).chain((decimals) => decimal(360, 3, decimals));
const number = fc.integer({ min: 0, max: 3 }).chain((decimals) => decimal(99, 1, decimals));
const is = fc.constant;
const one = (letters: string) => fc.constantFrom(...letters);
const minutes = fc.integer({ min: 1, max: 6 }).chain((decimals) => decimal(60, 2, decimals));
const lat = fc.tuple(whole(0, 89, 2), minutes).map((parts) => parts.join(""));
const lon = fc.tuple(whole(0, 179, 3), minutes).map((parts) => parts.join(""));
const clock = fc.tuple(whole(0, 23, 2), whole(0, 59, 2), decimal(60, 2, 2)).map((parts) => parts.join(""));
const station = whole(0, 1023, 4);
const goodMode = one("ADFPR");
const places = (...kinds: fc.Arbitrary<string>[]) => fc.tuple(...kinds);

/** Seconds of the UTC day; the day itself it takes from the wall clock. */
const secondOfDay = (value: unknown) =>
  value instanceof Date ? (value.getTime() % 86400_000) / 1000 : Number.NaN;

const eastward = (value: unknown, side: unknown) => Number(value) * (side === "W" ? -1 : 1);

function fix(ours: Values, theirs: Values, lat = "latitude", lon = "longitude") {
  const { latDeg, lonDeg } = ours.position as Values;
  return { latDeg: [latDeg, theirs[lat]] as const, lonDeg: [lonDeg, theirs[lon]] as const };
}

/** Same under both names. */
function same(ours: Values, theirs: Values, names: Readonly<Record<string, string>>) {
  return Object.fromEntries(
    Object.entries(names).map(([our, their]) => [our, [ours[our], theirs[their]] as const]),
  );
}

function timed(ours: Values, theirs: Values, property = "time"): Record<string, readonly [unknown, unknown]> {
  return { timeOfDayS: [ours.timeOfDayS, secondOfDay(theirs[property])] };
}

const MODE_LETTERS: Values = { autonomous: "A", differential: "D", float: "F", precise: "P", fixed: "R" };
const QUALITY: Values = {
  autonomous: "fix",
  differential: "delta",
  precise: "pps",
  fixed: "rtk",
  float: "frtk",
};
const SPEED_UNIT: Readonly<Record<string, number>> = { N: MPS_PER_KN, M: 1, K: MPS_PER_KMH };

const modeOf = (ours: Values, theirs: Values) => ({
  mode: [MODE_LETTERS[String(ours.mode)], theirs.faaMode] as const,
});

const AGREEMENTS: readonly Agreement[] = [
  {
    id: "RMC",
    // Years on which both pivots agree.
    places: fc
      .tuple(
        places(clock, is("A"), lat, one("NS"), lon, one("EW"), number, direction),
        fc.tuple(whole(1, 28, 2), whole(1, 12, 2), fc.oneof(whole(0, 72, 2), whole(80, 99))),
        places(decimal(180, 1, 1), one("EW"), goodMode),
      )
      .map(([before, date, after]) => [...before, date.join(""), ...after]),
    pairs: (ours, theirs) => {
      const day = ours.date as Values;
      const when = theirs.datetime as Date;
      return {
        ...timed(ours, theirs, "datetime"),
        ...fix(ours, theirs),
        ...same(ours, theirs, { status: "status", sogKn: "speedKnots", cogDeg: "trackTrue" }),
        year: [day.year, when.getUTCFullYear()],
        month: [day.month, when.getUTCMonth() + 1],
        day: [day.day, when.getUTCDate()],
        variation: [ours.variationDeg, eastward(theirs.variation, theirs.variationPole)],
        ...modeOf(ours, theirs),
      };
    },
  },
  {
    id: "GGA",
    places: places(
      ...[clock, lat, one("NS"), lon, one("EW"), one("12345"), whole(0, 24, 2), number],
      ...[signed(9000), is("M"), signed(100), is("M"), number, station],
    ),
    pairs: (ours, theirs) => ({
      ...timed(ours, theirs),
      ...fix(ours, theirs),
      quality: [QUALITY[String(ours.quality)], theirs.fixType],
      ...same(ours, theirs, {
        satellites: "satellitesInView",
        hdop: "horizontalDilution",
        altitudeM: "altitudeMeters",
        geoidM: "geoidalSeperation",
        correctionAgeS: "differentialAge",
        station: "differentialRefStn",
      }),
    }),
  },
  {
    id: "GLL",
    places: places(lat, one("NS"), lon, one("EW"), clock, is("A"), goodMode),
    pairs: (ours, theirs) => ({
      ...timed(ours, theirs),
      ...fix(ours, theirs),
      ...same(ours, theirs, { status: "status" }),
      ...modeOf(ours, theirs),
    }),
  },
  {
    id: "GNS",
    places: places(
      ...[clock, lat, one("NS"), lon, one("EW"), is("AAN"), whole(0, 99, 2), number],
      ...[signed(9000), signed(100), number, station],
    ),
    pairs: (ours, theirs) => ({
      ...timed(ours, theirs),
      ...fix(ours, theirs),
      ...same(ours, theirs, {
        modes: "modeIndicator",
        satellites: "satellitesInView",
        hdop: "horizontalDilution",
        altitudeM: "altitudeMeters",
        geoidM: "geoidalSeperation",
        correctionAgeS: "differentialAge",
        station: "differentialRefStn",
      }),
    }),
  },
  {
    id: "GSA",
    places: places(
      ...[one("MA"), one("123"), ...Array.from({ length: 12 }, () => whole(1, 99, 2))],
      ...[number, number, number],
    ),
    pairs: (ours, theirs) => ({
      ...same(ours, theirs, { selection: "selectionMode", pdop: "PDOP", hdop: "HDOP", vdop: "VDOP" }),
      fix: [ours.fix, String(theirs.fixMode).toLowerCase()],
      satellites: [
        Array.from({ length: 12 }, (_, i) => Number(ours[`satellite${i + 1}`])).join(),
        String(theirs.satellites),
      ],
    }),
  },
  {
    id: "GST",
    places: places(clock, number, number, number, direction, number, number, number),
    pairs: (ours, theirs) => ({
      ...timed(ours, theirs),
      ...same(ours, theirs, {
        rangeRmsM: "totalRms",
        semiMajorM: "semiMajorError",
        semiMinorM: "semiMinorError",
        orientationDeg: "orientationOfSemiMajorError",
        latitudeM: "latitudeError",
        longitudeM: "longitudeError",
        altitudeM: "altitudeError",
      }),
    }),
  },
  {
    id: "VTG",
    places: places(direction, is("T"), direction, is("M"), number, is("N"), number, is("K"), goodMode),
    pairs: (ours, theirs) => ({
      ...same(ours, theirs, {
        cogDeg: "trackTrue",
        cogMagneticDeg: "trackMagnetic",
        sogKn: "speedKnots",
        sogKmh: "speedKmph",
      }),
      ...modeOf(ours, theirs),
    }),
  },
  {
    id: "ZDA",
    places: places(
      clock,
      whole(1, 28, 2),
      whole(1, 12, 2),
      whole(1990, 2099),
      whole(0, 13, 2),
      whole(0, 59, 2),
    ),
    pairs: (ours, theirs) => {
      const when = theirs.datetime as Date;
      return {
        ...timed(ours, theirs, "datetime"),
        day: [ours.day, when.getUTCDate()],
        month: [ours.month, when.getUTCMonth() + 1],
        year: [ours.year, when.getUTCFullYear()],
        ...same(ours, theirs, { zoneHours: "localZoneHours", zoneMinutes: "localZoneMinutes" }),
      };
    },
  },
  {
    id: "DBT",
    places: places(number, is("f"), number, is("M"), number, is("F")),
    pairs: (ours, theirs) =>
      same(ours, theirs, { feet: "depthFeet", depthM: "depthMeters", fathoms: "depthFathoms" }),
  },
  {
    id: "MWV",
    places: places(direction, one("RT"), number, one("NMK"), is("A")),
    pairs: (ours, theirs) => ({
      ...same(ours, theirs, { angleDeg: "windAngle", status: "status" }),
      reference: [ours.reference === "apparent" ? "relative" : "true", theirs.reference],
      speed: [ours.speedMps, Number(theirs.speed) * (SPEED_UNIT[String(theirs.units)] ?? Number.NaN)],
    }),
  },
  {
    id: "HDG",
    places: places(direction, decimal(180, 1, 1), one("EW"), decimal(180, 1, 1), one("EW")),
    pairs: (ours, theirs) => ({
      ...same(ours, theirs, { sensorDeg: "heading" }),
      deviation: [ours.deviationDeg, eastward(theirs.deviation, theirs.deviationDirection)],
      variation: [ours.variationDeg, eastward(theirs.variation, theirs.variationDirection)],
    }),
  },
  {
    id: "HDM",
    places: places(direction, is("M")),
    pairs: (ours, theirs) => same(ours, theirs, { headingDeg: "heading" }),
  },
  {
    id: "HDT",
    places: places(direction, is("T")),
    pairs: (ours, theirs) => same(ours, theirs, { headingDeg: "heading" }),
  },
  {
    id: "VHW",
    places: places(direction, is("T"), direction, is("M"), number, is("N"), number, is("K")),
    pairs: (ours, theirs) =>
      same(ours, theirs, {
        headingDeg: "degreesTrue",
        headingMagneticDeg: "degreesMagnetic",
        speedKn: "speedKnots",
        speedKmh: "speedKmph",
      }),
  },
  {
    id: "BWC",
    places: places(
      ...[clock, lat, one("NS"), lon, one("EW"), direction, is("T"), direction, is("M")],
      ...[number, is("N"), fc.constantFrom("ANCHOR", "WP 3", "17"), goodMode],
    ),
    pairs: (ours, theirs) => ({
      ...timed(ours, theirs),
      ...fix(ours, theirs, "bearingLatitude", "bearingLongitude"),
      ...same(ours, theirs, {
        bearingDeg: "bearingTrue",
        bearingMagneticDeg: "bearingMagnetic",
        distanceNm: "distanceNm",
        name: "waypointId",
      }),
      ...modeOf(ours, theirs),
    }),
  },
];

function expectSame(ours: unknown, theirs: unknown, name: string): void {
  if (typeof ours === "number" && typeof theirs === "number") expect(ours, name).toBeCloseTo(theirs, 9);
  else expect(ours, name).toBe(theirs);
}

test.each(AGREEMENTS)("$id", ({ id, places: filled, pairs }) => {
  fc.assert(
    fc.property(filled, (given) => {
      const text = seal(`II${id},${given.join(",")}`);
      const theirs = parseNmeaSentence(text) as unknown as Values;
      for (const [name, [our, their]] of Object.entries(pairs(sentenceIn(text), theirs))) {
        expect(their, name).toBeDefined();
        expectSame(our, their, name);
      }
    }),
    { numRuns: 100 },
  );
});
