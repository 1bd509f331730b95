/**
 * Every line of the recorded logs, read by us and by the general library `gps`, line by line. Where they differ, the
 * difference has a name and a count for each log; one without a name fails.
 */
import { GPS } from "gps";
import { expect, test } from "vitest";
import { calendarDay } from "../../src/nmea/sentences/position.ts";
import { decode, type Piece, type Sentence } from "../../src/nmea/table.ts";
import type { CalendarDay } from "../../src/nmea/time-field.ts";
import { LOGS, linesOf } from "./recorded-logs.ts";
import { sentenceIn } from "./sentence-in.ts";

type Theirs = Readonly<Record<string, unknown>>;

/** What it knows of ours. Its GSV, GBS and GRS are passed over here. */
const SHARED = ["GGA", "GLL", "GNS", "RMC", "VTG", "GSA", "ZDA", "GST", "HDT", "TXT"];
const KMH_PER_KN = 1.852;

function parseTheirs(line: string): Theirs | "throws" | "not read" {
  try {
    const packet = GPS.Parse(line);
    return packet === false ? "not read" : { ...packet };
  } catch {
    return "throws";
  }
}

function secondOfDay(value: unknown): number | null {
  return value instanceof Date ? (value.getTime() % 86400_000) / 1000 : null;
}

function knots(kmh: unknown): number | null {
  return typeof kmh === "number" ? kmh / KMH_PER_KN : null;
}

function dateOf(value: unknown): string | null {
  return value instanceof Date ? value.toISOString().slice(0, 10) : null;
}

function dayText(day: CalendarDay | undefined): string | undefined {
  const two = (n: number) => String(n).padStart(2, "0");
  return day && `${day.year}-${two(day.month)}-${two(day.day)}`;
}

type Pair = readonly [ours: unknown, theirs: unknown];

function fixPairs(
  ours: { position: { latDeg: number; lonDeg: number } | undefined; timeOfDayS: number | undefined },
  theirs: Theirs,
): Record<string, Pair> {
  return {
    time: [ours.timeOfDayS, secondOfDay(theirs.time)],
    lat: [ours.position?.latDeg, theirs.lat],
    lon: [ours.position?.lonDeg, theirs.lon],
  };
}

const MODES: Theirs = {
  autonomous: "autonomous",
  differential: "differential",
  estimated: "estimated",
  float: "rtk-float",
  fixed: "rtk",
  none: "not valid",
};
const QUALITIES: Theirs = {
  none: null,
  autonomous: "fix",
  differential: "dgps-fix",
  precise: "pps-fix",
  fixed: "rtk",
  float: "rtk-float",
};
const STATUS: Theirs = { valid: "active", void: "void" };

/** Our values beside theirs, brought to one form. */
function pairsOf(ours: Sentence, theirs: Theirs): Record<string, Pair> {
  switch (ours.id) {
    case "RMC":
      return {
        ...fixPairs(ours, theirs),
        date: [dayText(ours.date), dateOf(theirs.time)],
        status: [STATUS[String(ours.status)], theirs.status],
        speed: [ours.sogKn, knots(theirs.speed)],
        track: [ours.cogDeg, theirs.track],
        variation: [ours.variationDeg, theirs.variation],
        mode: [ours.mode && MODES[ours.mode], theirs.faa],
      };
    case "GGA":
      return {
        ...fixPairs(ours, theirs),
        quality: [ours.quality && QUALITIES[ours.quality], theirs.quality],
        satellites: [ours.satellites, theirs.satellites],
        hdop: [ours.hdop, theirs.hdop],
        altitude: [ours.altitudeM, theirs.alt],
        geoid: [ours.geoidM, theirs.geoidal],
        age: [ours.correctionAgeS, theirs.age],
        station: [ours.station && Number(ours.station), theirs.stationID],
      };
    case "GLL":
      return {
        ...fixPairs(ours, theirs),
        status: [ours.status && STATUS[ours.status], theirs.status],
        mode: [ours.mode && MODES[ours.mode], theirs.faa],
      };
    case "GNS":
      return {
        ...fixPairs(ours, theirs),
        modes: [ours.modes, theirs.mode],
        satellites: [ours.satellites, theirs.satsUsed],
        hdop: [ours.hdop, theirs.hdop],
        altitude: [ours.altitudeM, theirs.alt],
        geoid: [ours.geoidM, theirs.sep],
      };
    case "VTG":
      return {
        track: [ours.cogDeg, theirs.track],
        trackMagnetic: [ours.cogMagneticDeg, theirs.trackMagnetic],
        speed: [ours.sogKn, knots(theirs.speed)],
        mode: [ours.mode && MODES[ours.mode], theirs.faa],
      };
    case "GSA":
      return {
        selection: [ours.selection, theirs.mode],
        fix: [ours.fix === "none" ? undefined : ours.fix?.toUpperCase(), theirs.fix],
        pdop: [ours.pdop, theirs.pdop],
        hdop: [ours.hdop, theirs.hdop],
        vdop: [ours.vdop, theirs.vdop],
        satellites: [satellitesOf(ours), String(theirs.satellites)],
      };
    case "ZDA":
      return {
        time: [ours.timeOfDayS, secondOfDay(theirs.time)],
        date: [dayText(calendarDay(ours)), dateOf(theirs.time)],
      };
    case "GST":
      return {
        time: [ours.timeOfDayS, secondOfDay(theirs.time)],
        rms: [ours.rangeRmsM, theirs.rms],
        major: [ours.semiMajorM, theirs.ellipseMajor],
        minor: [ours.semiMinorM, theirs.ellipseMinor],
        orientation: [ours.orientationDeg, theirs.ellipseOrientation],
        lat: [ours.latitudeM, theirs.latitudeError],
        lon: [ours.longitudeM, theirs.longitudeError],
        alt: [ours.altitudeM, theirs.heightError],
      };
    case "HDT":
      return { heading: [ours.headingDeg, theirs.heading] };
    case "TXT":
      return { text: [ours.text, theirs.part] };
    default:
      throw new Error(`${ours.id} is not shared`);
  }
}

function satellitesOf(gsa: Extract<Sentence, { id: "GSA" }>): string {
  return Object.entries(gsa)
    .filter(([key, value]) => key.startsWith("satellite") && value !== undefined)
    .map(([, value]) => Number(value))
    .join();
}

function isSame([ours, theirs]: Pair): boolean {
  if (typeof ours === "number" && typeof theirs === "number") return Math.abs(ours - theirs) < 1e-9;
  return (ours ?? null) === (theirs ?? null);
}

/** Sentences that say themselves that there is no fix: we give nothing of it. */
function saysNoFix(ours: Sentence): boolean {
  if (ours.id === "RMC" || ours.id === "GLL") return ours.status === "void";
  return ours.id === "GGA" && ours.quality === "none";
}

function nameOf(ours: Sentence, differing: readonly [string, Pair][]): string {
  const names = differing.map(([name]) => name).join(" ");
  const onlyTheirs = differing.every(([, pair]) => pair[0] === undefined);
  if (ours.id === "RMC" && names === "date" && ours.date === undefined)
    return "RMC without a date: it takes today's";
  if (onlyTheirs && saysNoFix(ours)) return `${ours.id} without a fix: it still gives ${names}`;
  if (ours.id === "HDT" && Number.isNaN(differing[0]?.[1][1])) return "HDT without a heading: it gives NaN";
  if (ours.id === "VTG" && names === "mode" && ours.sogKn === undefined)
    return "VTG without values: it drops the mode";
  return `unexplained: ${JSON.stringify([ours, differing])}`;
}

/** What our reading of a line differs in from theirs, by name; undefined when it does not. */
function differenceIn(line: string): string | undefined {
  const theirs = parseTheirs(line);
  const { pieces } = decode(line, { checksum: "required" });
  const [piece] = pieces;
  if (pieces.length > 1)
    return theirs !== "not read" || pieces.some(isShared) ? "glued: only we cut it apart" : undefined;
  if (piece === undefined || typeof theirs === "string") return notRead(theirs, piece);
  const wrongSum = piece.kind === "refused" && piece.reason === "bad-checksum";
  if (theirs.valid !== true) return wrongSum ? undefined : `unexplained: only its sum is wrong: ${line}`;
  if (!SHARED.includes(String(theirs.type))) return undefined;
  if (!isShared(piece))
    return line.includes(",2208-1,") ? "date 2208-1: we refuse it" : `unexplained: ${line}`;
  const differing = Object.entries(pairsOf(piece.sentence, theirs)).filter(([, pair]) => !isSame(pair));
  return differing.length === 0 ? undefined : nameOf(piece.sentence, differing);
}

/** Lines that it does not read or throws at. */
function notRead(theirs: unknown, piece: Piece | undefined): string | undefined {
  if (piece !== undefined && isShared(piece)) {
    const { id } = piece.sentence;
    return theirs === "throws" ? `${id} with places missing: it throws` : `unexplained: ${id} not read`;
  }
  if (theirs !== "throws") return undefined;
  const refused = piece?.kind === "refused";
  return refused ? `${piece.reason}, and places missing: it throws, we refuse` : "unexplained: it throws";
}

function isShared(piece: Piece): piece is Extract<Piece, { kind: "sentence" }> {
  return piece.kind === "sentence" && SHARED.includes(piece.sentence.id);
}

const EXPLAINED: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  // Quality 2 with every later place empty and two dropped; VTG with empty letters for ° magnetic and km/h.
  "gpsd-ais-transponder-hdt-rot": {
    "GGA with places missing: it throws": 12,
    "VTG with places missing: it throws": 12,
  },
  // Status V and quality 0 with the position filled in as 0, 0.
  "gpsd-gnss-coldboot-corrupt": {
    "bad-checksum, and places missing: it throws, we refuse": 12,
    "RMC without a fix: it still gives lat lon": 11,
    "GGA without a fix: it still gives lat lon satellites hdop": 7,
    "GLL without a fix: it still gives lat lon": 6,
    "glued: only we cut it apart": 5,
  },
  "gpsd-gnss-gst-glued": { "glued: only we cut it apart": 1 },
  "gpsd-handheld-glued": { "glued: only we cut it apart": 1 },
  // 20 of the 90 fixes are void but filled in.
  "gpsd-gnss-rmc-only-bad-course": { "RMC without a fix: it still gives lat lon speed track": 20 },
  "gpsd-gnss-void-cut-short": {
    "GGA without a fix: it still gives lat lon satellites hdop altitude geoid age station": 11,
    "RMC without a fix: it still gives lat lon speed": 11,
  },
  "gpsd-gnss-void-lowerhex": { "RMC without a date: it takes today's": 17 },
  "gpsd-gnss-week-rollover": { "date 2208-1: we refuse it": 1 },
  "gpsd-heading-receiver-no-fix": { "HDT without a heading: it gives NaN": 211 },
  "pynmeagps-startup-empty": {
    "VTG without values: it drops the mode": 1,
    "GGA without a fix: it still gives satellites hdop": 1,
  },
};

test.each(LOGS)("%s", (log) => {
  const found: Record<string, number> = {};
  for (const line of linesOf(log)) {
    const name = differenceIn(line);
    if (name !== undefined) found[name] = (found[name] ?? 0) + 1;
  }
  expect(found).toEqual(EXPLAINED[log] ?? {});
});

test("the lines that it throws at, read by hand", () => {
  const fix = {
    timeOfDayS: 13 * 3600 + 7 * 60 + 11,
    position: { latDeg: expect.closeTo(50.21318, 9), lonDeg: expect.closeTo(-8.11466, 9), decimals: 6 },
    quality: "differential",
    satellites: undefined,
    hdop: undefined,
  };
  expect(sentenceIn("$GPGGA,130711,5012.790800,N,00806.879600,W,2,,,,,,,*6A")).toMatchObject(fix);
  const course = {
    cogDeg: 3,
    cogMagneticDeg: undefined,
    sogKn: 0.5,
    sogKmh: undefined,
    mode: "differential",
  };
  expect(sentenceIn("$GPVTG,3.0,T,,,0.50,N,,,D*16")).toMatchObject(course);
});
