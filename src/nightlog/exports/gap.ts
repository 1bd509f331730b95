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

/** Unbroken pieces, in order. */
export function* pieces(points: Iterable<TrackPoint>): Generator<Fixed[]> {
  let piece: Fixed[] = [];
  for (const point of points) {
    if (!hasFix(point)) continue;
    const last = piece.at(-1);
    if (last !== undefined && point.atMs - last.atMs > GAP_MS) {
      yield piece;
      piece = [];
    }
    piece.push(point);
  }
  if (piece.length > 0) yield piece;
}
