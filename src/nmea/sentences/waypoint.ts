/** Waypoints: the anchor sent out, a wished-for place coming in. */
import { code, decimal, direction, letter, mode, status, text } from "../field.ts";
import { position } from "../position-field.ts";
import { row } from "../row.ts";
import { timeOfDay } from "../time-field.ts";

export const waypointSentences = [
  row(
    "WPL",
    "waypoint",
    { position, name: text },
    { least: 5, example: "$IIWPL,5045.6310,N,00118.2090,W,ANCHOR*54" },
  ),
  row(
    "BWC",
    "bearing and distance to a waypoint",
    {
      timeOfDayS: timeOfDay,
      position,
      bearingDeg: direction,
      trueLetter: letter("T"),
      bearingMagneticDeg: direction,
      magneticLetter: letter("M"),
      // Three decimals of a mile: two would be steps of 18 m.
      distanceNm: decimal(3, { min: 0 }),
      mileLetter: letter("N"),
      name: text,
      mode,
    },
    {
      least: 12,
      example: "$IIBWC,123519.00,5045.6310,N,00118.2090,W,039.8,T,040.9,M,0.025,N,ANCHOR,A*5A",
    },
  ),
  row(
    "RMB",
    "recommended minimum to a waypoint",
    {
      status,
      crossTrackNm: decimal(2, { min: 0 }),
      steer: code({ L: "port", R: "starboard" }),
      origin: text,
      name: text,
      position,
      rangeNm: decimal(1, { min: 0 }),
      bearingDeg: direction,
      closingKn: decimal(1),
      arrival: status,
      mode,
      navigationalStatus: code({ S: "safe", C: "caution", U: "unsafe", V: "not-reported" }),
    },
    {
      least: 12,
      voidWhen: (v) => v.status !== "valid",
      kept: ["status"],
      example: "$IIRMB,A,0.00,L,,ANCHOR,5045.6310,N,00118.2090,W,0.0,039.8,-0.1,V,A,S*15",
    },
  ),
] as const;
