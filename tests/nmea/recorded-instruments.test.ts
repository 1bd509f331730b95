/**
 * Wind, depth, heading and speed in the recorded logs: what nmea-simple knows is compared with its values at filled
 * places, the rest with the places of the line itself, read by their published order.
 */
import { parseNmeaSentence } from "nmea-simple";
import { expect, test } from "vitest";
import { decode, type Sentence, type SentenceId } from "../../src/nmea/table.ts";
import { MPS_PER_KMH, MPS_PER_KN } from "../../src/units/speed.ts";
import { LOGS, linesOf } from "./recorded-logs.ts";

type Values = Readonly<Record<string, unknown>>;

/** One of our values: its place (from 0) tells whether it is there, then what it must be. */
type Check = readonly [
  value: string,
  place: number,
  expected: (places: readonly string[], library: Values) => unknown,
];

const MPS: Readonly<Record<string, number>> = { N: MPS_PER_KN, M: 1, K: MPS_PER_KMH };

const library = (value: string, place: number, property: string): Check => [
  value,
  place,
  (_, packet) => packet[property],
];
const onLine = (value: string, place: number): Check => [value, place, (places) => Number(places[place])];
const eastward = (value: string, place: number, property: string): Check => [
  value,
  place,
  (places, packet) => Number(packet[property]) * (places[place + 1] === "W" ? -1 : 1),
];
const bySide: readonly Check[] = [
  ["angleDeg", 0, ([angle, side]) => (side === "L" ? (360 - Number(angle)) % 360 : Number(angle))],
  onLine("speedKn", 2),
  onLine("speedMps", 4),
  onLine("speedKmh", 6),
];

const LIBRARY_CHECKS: Readonly<Partial<Record<SentenceId, readonly Check[]>>> = {
  MWV: [
    library("angleDeg", 0, "windAngle"),
    ["reference", 1, (_, packet) => (packet.reference === "relative" ? "apparent" : "theoretical")],
    ["speedMps", 2, (_, packet) => Number(packet.speed) * (MPS[String(packet.units)] ?? Number.NaN)],
  ],
  DBT: [
    library("feet", 0, "depthFeet"),
    library("depthM", 2, "depthMeters"),
    library("fathoms", 4, "depthFathoms"),
  ],
  HDG: [
    library("sensorDeg", 0, "heading"),
    eastward("deviationDeg", 1, "deviation"),
    eastward("variationDeg", 3, "variation"),
  ],
  HDM: [library("headingDeg", 0, "heading")],
  HDT: [library("headingDeg", 0, "heading")],
  VHW: [
    library("headingDeg", 0, "degreesTrue"),
    library("headingMagneticDeg", 2, "degreesMagnetic"),
    library("speedKn", 4, "speedKnots"),
    library("speedKmh", 6, "speedKmph"),
  ],
};

const LINE_CHECKS: Readonly<Partial<Record<SentenceId, readonly Check[]>>> = {
  DPT: [onLine("depthM", 0), onLine("offsetM", 1), onLine("rangeM", 2)],
  VWR: bySide,
  MWD: [onLine("fromDeg", 0), onLine("fromMagneticDeg", 2), onLine("speedKn", 4), onLine("speedMps", 6)],
  MTW: [onLine("celsius", 0)],
  ROT: [onLine("rateDegPerMin", 0)],
  THS: [onLine("headingDeg", 0)],
};

/** Checks every value of a sentence; returns how many were there. */
function checkValues(line: string, sentence: Sentence, checks: readonly Check[], packet: Values): number {
  const places = line.slice(0, line.lastIndexOf("*")).split(",").slice(1);
  let filled = 0;
  for (const [value, place, expected] of checks) {
    const wanted = (places[place] ?? "") === "" ? undefined : expected(places, packet);
    const given = (sentence as Values)[value];
    if (wanted !== undefined) filled++;
    if (!isSame(given, wanted)) expect.fail(`${line}: ${value} is ${given}, expected ${wanted}`);
  }
  return filled;
}

function isSame(a: unknown, b: unknown): boolean {
  return typeof a === "number" && typeof b === "number" ? Math.abs(a - b) < 1e-9 : a === b;
}

test("every value is the library's, or the line's", () => {
  const filled: Record<string, number> = {};
  for (const line of LOGS.flatMap(linesOf)) {
    const [piece] = decode(line, { checksum: "required" }).pieces;
    if (piece?.kind !== "sentence") continue;
    const { id } = piece.sentence;
    const known = LIBRARY_CHECKS[id];
    const packet = known === undefined ? {} : (parseNmeaSentence(line) as unknown as Values);
    const count = checkValues(line, piece.sentence, known ?? LINE_CHECKS[id] ?? [], packet);
    if (count > 0) filled[id] = (filled[id] ?? 0) + count;
  }
  // How many values were compared; they change only when the logs do.
  expect(filled).toEqual({
    DBT: 810,
    DPT: 26784,
    HDG: 19822,
    HDM: 7,
    HDT: 29,
    MTW: 13182,
    MWD: 600,
    MWV: 58494,
    ROT: 19,
    THS: 10,
    VHW: 17641,
    VWR: 20856,
  });
}, 15_000);
