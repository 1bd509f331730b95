/**
 * A night as GeoJSON after RFC 7946: one FeatureCollection with the track (cut at the antimeridian, 3.1.9), the
 * anchor and the alerts. Longitude first, WGS84, absent null.
 */
import type { Position } from "../../units/position.ts";
import { formatInstant } from "../../units/time.ts";
import type { Night } from "../review.ts";
import type { TrackPoint } from "../track-row.ts";
import { type Fixed, pieces } from "./gap.ts";
import { nameOf } from "./gpx.ts";

type Coordinates = [lon: number, lat: number];

interface Feature {
  type: "Feature";
  geometry: { type: string; coordinates: unknown } | null;
  properties: Record<string, unknown>;
}

export function* geojsonOf(night: Night, points: Iterable<TrackPoint>): Generator<string> {
  const segments = pieces(points);
  const features = [trackFeature(night, segments), anchorFeature(night), ...alertFeatures(night, segments)];
  yield '{"type":"FeatureCollection","features":[\n';
  for (const [i, feature] of features.entries()) yield `${i === 0 ? "" : ",\n"}${JSON.stringify(feature)}`;
  yield "\n]}\n";
}

function coordinates({ latDeg, lonDeg }: Position): Coordinates {
  return [Number(lonDeg.toFixed(7)), Number(latDeg.toFixed(7))];
}

function trackFeature(night: Night, segments: readonly Fixed[][]): Feature {
  // A line has two places or more: a lone fix is left out.
  const lines = segments.flatMap(cutAtDateLine).filter((line) => line.length > 1);
  return {
    type: "Feature",
    geometry: lines.length === 0 ? null : { type: "MultiLineString", coordinates: lines },
    properties: { kind: "track", name: nameOf(night), letGo: night.letGo, ended: night.ended },
  };
}

function cutAtDateLine(segment: readonly Fixed[]): Coordinates[][] {
  const lines: Coordinates[][] = [];
  for (const { position } of segment) {
    const place = coordinates(position);
    const line = lines.at(-1);
    const last = line?.at(-1);
    if (line === undefined || last === undefined) lines.push([place]);
    else if (Math.abs(place[0] - last[0]) <= 180) line.push(place);
    else crossing(lines, line, last, place);
  }
  return lines;
}

/** Both lines go up to the antimeridian itself. */
function crossing(lines: Coordinates[][], line: Coordinates[], from: Coordinates, to: Coordinates): void {
  const side = from[0] > 0 ? 180 : -180;
  const span = to[0] + 2 * side - from[0];
  const share = span === 0 ? 0 : (side - from[0]) / span;
  const lat = Number((from[1] + share * (to[1] - from[1])).toFixed(7));
  line.push([side, lat]);
  lines.push([[-side, lat], to]);
}

function anchorFeature({ lat, lon, rodeM, leastScope }: Night): Feature {
  const place = lat === null || lon === null ? null : coordinates({ latDeg: lat, lonDeg: lon });
  return {
    type: "Feature",
    geometry: place && { type: "Point", coordinates: place },
    properties: { kind: "anchor", rodeM, leastScope },
  };
}

function alertFeatures(night: Night, segments: readonly Fixed[][]): Feature[] {
  const points = segments.flat();
  return night.alertList.map(({ key, priority, raisedMs, clearedMs, text }) => {
    const there = points.findLast((point) => point.atMs <= raisedMs);
    return {
      type: "Feature",
      geometry: there === undefined ? null : { type: "Point", coordinates: coordinates(there.position) },
      properties: {
        kind: "alert",
        key,
        priority,
        raised: formatInstant(raisedMs),
        cleared: clearedMs === null ? null : formatInstant(clearedMs),
        text,
      },
    };
  });
}
