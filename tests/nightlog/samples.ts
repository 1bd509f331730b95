import type { Sample } from "../../src/nightlog/sample.ts";

/** A quiet second, riding to 30 m. */
export function sampleAt(atMs: number, over: Partial<Sample> = {}): Sample {
  return {
    atMs,
    // Stamps that are UTC: told at the end of the second.
    utcOffsetMs: -1000,
    phase: "riding",
    anchor: { latDeg: 50.5, lonDeg: -0.2 },
    position: { latDeg: 50.5003, lonDeg: -0.2001 },
    rangeM: 25,
    bearingDeg: 180,
    circleM: 60,
    headingDeg: 200,
    sogMps: 0.1,
    cogDeg: undefined,
    depthM: 5,
    windMps: 6,
    windFromDeg: 200,
    meanMps: 5.5,
    meanFromDeg: 202,
    gustMps: 8,
    rodeM: 30,
    scope: 4.9,
    target: 5,
    draggedM: undefined,
    loadN: 300,
    ...over,
  };
}
