/**
 * One second as the log keeps it: the figures that a review needs, SI, undefined where not known. In: a second
 * walked; out: a flat record. Stamps are the core's, which never step; true UTC is kept apart (see `clock.ts`).
 */
import type { Second } from "../core.ts";
import type { Position } from "../units/position.ts";

export type Phase = Second["stay"]["phase"];

export interface Sample {
  atMs: number;
  utcOffsetMs: number | undefined;
  phase: Phase;
  anchor: Position | undefined;
  position: Position | undefined;
  /** Antenna to anchor, and the true bearing of the anchor from there. */
  rangeM: number | undefined;
  bearingDeg: number | undefined;
  circleM: number | undefined;
  headingDeg: number | undefined;
  sogMps: number | undefined;
  cogDeg: number | undefined;
  /** From the surface. */
  depthM: number | undefined;
  windMps: number | undefined;
  windFromDeg: number | undefined;
  /** 10-minute mean and the greatest 3-second mean in it. */
  meanMps: number | undefined;
  meanFromDeg: number | undefined;
  gustMps: number | undefined;
  rodeM: number | undefined;
  scope: number | undefined;
  target: number | undefined;
  /** How far the anchor has moved, while that is beyond doubt. */
  draggedM: number | undefined;
  /** Horizontal load at the gust, lower estimate. */
  loadN: number | undefined;
}

export function sampleOf({ atMs, picture, figures, stay }: Second): Sample {
  const { circle, scope, tackle, drag } = figures;
  return {
    atMs,
    utcOffsetMs: picture.utcOffsetMs,
    phase: stay.phase,
    anchor: stay.anchor?.position,
    position: picture.position?.value,
    rangeM: circle?.rangeM,
    bearingDeg: circle?.bearingDeg,
    circleM: circle?.radiusM,
    headingDeg: picture.headingDeg?.value,
    sogMps: picture.motion?.value.sogMps,
    cogDeg: picture.motion?.value.cogDeg,
    depthM: picture.depth?.value.surfaceM,
    windMps: picture.wind?.value.speedMps,
    windFromDeg: picture.wind?.value.fromDeg,
    meanMps: picture.windMean?.speedMps,
    meanFromDeg: picture.windMean?.fromDeg,
    gustMps: picture.windMean?.gustMps,
    rodeM: stay.rode?.lengthM,
    scope: scope.now,
    target: scope.target,
    draggedM: drag.towardAlarm >= 1 ? drag.movedM : undefined,
    loadN: tackle.loadN,
  };
}
