/** Heading, turn, speed through the water, current, engine. */
import { code, decimal, direction, eastward, integer, letter, status } from "../field.ts";
import { row, simple } from "../row.ts";

const speedKn = decimal(1);

export const headingSentences = [
  row(
    "HDG",
    "magnetic sensor heading, deviation, variation",
    { sensorDeg: direction, deviationDeg: eastward, variationDeg: eastward },
    { least: 1, example: "$HCHDG,215.3,0.4,E,1.1,W*51" },
  ),
  simple(
    "HDT",
    "true heading",
    { headingDeg: direction, trueLetter: letter("T") },
    { least: 2, library: { headingDeg: "heading" }, example: "$HEHDT,214.6,T*2E" },
  ),
  simple(
    "HDM",
    "magnetic heading",
    { headingDeg: direction, magneticLetter: letter("M") },
    { least: 2, library: { headingDeg: "heading" }, example: "$HCHDM,215.7,M*28" },
  ),
  row(
    "THS",
    "true heading and its status",
    {
      headingDeg: direction,
      mode: code({ A: "autonomous", E: "estimated", M: "manual", S: "simulated", V: "none" }),
    },
    {
      least: 2,
      voidWhen: (v) => v.mode !== "autonomous" && v.mode !== "estimated",
      kept: ["mode"],
      example: "$HETHS,214.6,A*2C",
    },
  ),
  row(
    "ROT",
    "rate of turn",
    { rateDegPerMin: decimal(1), status },
    { least: 2, voidWhen: (v) => v.status !== "valid", kept: ["status"], example: "$TIROT,-3.5,A*10" },
  ),
  row(
    "VHW",
    "heading and speed through the water",
    {
      headingDeg: direction,
      trueLetter: letter("T"),
      headingMagneticDeg: direction,
      magneticLetter: letter("M"),
      speedKn,
      knotLetter: letter("N"),
      speedKmh: decimal(1),
      kmhLetter: letter("K"),
    },
    {
      least: 6,
      example: "$VWVHW,214.6,T,215.7,M,0.6,N,1.1,K*52",
    },
  ),
  row(
    "VBW",
    "speed ahead and to starboard, through the water and over the ground",
    {
      waterAheadKn: speedKn,
      waterStarboardKn: speedKn,
      waterStatus: status,
      groundAheadKn: speedKn,
      groundStarboardKn: speedKn,
      groundStatus: status,
      sternWaterKn: speedKn,
      sternWaterStatus: status,
      sternGroundKn: speedKn,
      sternGroundStatus: status,
    },
    {
      least: 6,
      partVoid: {
        waterStatus: ["waterAheadKn", "waterStarboardKn"],
        groundStatus: ["groundAheadKn", "groundStarboardKn"],
        sternWaterStatus: ["sternWaterKn"],
        sternGroundStatus: ["sternGroundKn"],
      },
      example: "$VDVBW,0.6,0.1,A,0.0,0.0,A,0.1,A,0.0,A*57",
    },
  ),
  row(
    "VDR",
    "current: the direction it sets towards, and its drift",
    {
      setDeg: direction,
      trueLetter: letter("T"),
      setMagneticDeg: direction,
      magneticLetter: letter("M"),
      driftKn: speedKn,
      knotLetter: letter("N"),
    },
    { least: 6, example: "$VWVDR,065.0,T,066.1,M,0.6,N*3C" },
  ),
  row(
    "RPM",
    "revolutions of shaft or engine",
    {
      kind: code({ S: "shaft", E: "engine" }),
      number: integer({ min: 0 }),
      revolutionsPerMin: decimal(1),
      pitchPercent: decimal(1),
      status,
    },
    {
      least: 5,
      voidWhen: (v) => v.status !== "valid",
      kept: ["status", "kind", "number"],
      example: "$IIRPM,E,1,820.0,10.5,A*68",
    },
  ),
] as const;
