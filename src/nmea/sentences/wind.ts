/** Wind. Angles and directions are where it comes from. */
import { angleBySide, code, decimal, direction, letter, speedWithUnit, status } from "../field.ts";
import { row } from "../row.ts";

const speedPlace = decimal(1, { min: 0 });

const bySide = {
  /** Clockwise from the bow. */
  angleDeg: angleBySide,
  speedKn: speedPlace,
  knotLetter: letter("N"),
  speedMps: speedPlace,
  mpsLetter: letter("M"),
  speedKmh: speedPlace,
  kmhLetter: letter("K"),
};

export const windSentences = [
  row(
    "MWV",
    "wind angle from the bow, and speed",
    {
      angleDeg: decimal(1, { pad: 3, min: 0, max: 360 }),
      /** "theoretical" is through the water and from the bow: not geographic. */
      reference: code({ R: "apparent", T: "theoretical" }),
      speedMps: speedWithUnit,
      status,
    },
    {
      least: 5,
      voidWhen: (v) => v.status !== "valid",
      kept: ["reference", "status"],
      example: "$WIMWV,012.0,R,18.4,N,A*1D",
    },
  ),
  row(
    "MWD",
    "wind direction and speed over the ground",
    {
      fromDeg: direction,
      trueLetter: letter("T"),
      fromMagneticDeg: direction,
      magneticLetter: letter("M"),
      speedKn: speedPlace,
      knotLetter: letter("N"),
      speedMps: speedPlace,
      mpsLetter: letter("M"),
    },
    { least: 6, example: "$WIMWD,226.6,T,227.7,M,18.3,N,9.4,M*6D" },
  ),
  row("VWR", "apparent wind by side (old)", bySide, {
    least: 4,
    example: "$WIVWR,12.0,R,18.4,N,9.5,M,34.1,K*63",
  }),
  row("VWT", "theoretical wind by side (old)", bySide, {
    least: 4,
    example: "$WIVWT,12.0,L,18.3,N,9.4,M,33.9,K*72",
  }),
] as const;
