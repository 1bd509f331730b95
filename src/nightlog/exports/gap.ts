/** Where a track is broken: a line drawn across a gap would show a course that nobody kept. */
import type { Position } from "../../units/position.ts";
import { MINUTE_MS } from "../../units/time.ts";
import type { TrackPoint } from "../track-row.ts";

const GAP_MS = MINUTE_MS;

export interface Fixed extends TrackPoint {
  position: Position;
}

function hasFix(point: TrackPoint): point is Fixed {
  return point.position !== undefined;
}

/** Points with a fix, and whether each begins a piece of its own. */
export function* fixed(points: Iterable<TrackPoint>): Generator<{ point: Fixed; begins: boolean }> {
  let lastMs = Number.NEGATIVE_INFINITY;
  for (const point of points) {
    if (!hasFix(point)) continue;
    yield { point, begins: point.atMs - lastMs > GAP_MS };
    lastMs = point.atMs;
  }
}

/** Unbroken pieces, in order. */
export function pieces(points: Iterable<TrackPoint>): Fixed[][] {
  const all: Fixed[][] = [];
  for (const { point, begins } of fixed(points)) {
    if (begins) all.push([]);
    all.at(-1)?.push(point);
  }
  return all;
}

const BATCH = 400;

/** Small texts joined, so that few are handed on. */
export function* batched(texts: Iterable<string>): Generator<string> {
  let batch: string[] = [];
  for (const text of texts) {
    batch.push(text);
    if (batch.length < BATCH) continue;
    yield batch.join("");
    batch = [];
  }
  yield batch.join("");
}
