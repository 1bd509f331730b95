/**
 * A night as GPX 1.1 (the schema topografix.com/GPX/1/1): the anchor and each alert as a waypoint, the track in
 * unbroken segments. Elements stand in the schema's order; the GPX has no place for depth or wind.
 */
import type { Position } from "../../units/position.ts";
import { formatInstant } from "../../units/time.ts";
import type { Night } from "../review.ts";
import type { TrackPoint } from "../track-row.ts";
import { type Fixed, fixed } from "./gap.ts";

const NAMESPACE = "http://www.topografix.com/GPX/1/1";

/** @param placeAt where she was at an instant */
export function* gpxOf(
  night: Night,
  points: Iterable<TrackPoint>,
  placeAt: (atMs: number) => Position | undefined,
): Generator<string> {
  yield head(night);
  if (night.lat !== null && night.lon !== null)
    yield waypoint(
      { latDeg: night.lat, lonDeg: night.lon },
      { at: night.letGo, name: "Anchor", about: `Let go ${night.letGo}`, kind: "anchor" },
    );
  for (const alert of night.alertList) {
    const place = placeAt(alert.raisedMs);
    const at = formatInstant(alert.raisedMs);
    if (place !== undefined)
      yield waypoint(place, { at, name: alert.key, about: alert.text, kind: alert.priority });
  }
  yield `  <trk>\n    <name>${escaped(nameOf(night))}</name>\n`;
  let isOpen = false;
  for (const { point, begins } of fixed(points)) {
    if (begins) yield `${isOpen ? "    </trkseg>\n" : ""}    <trkseg>\n`;
    isOpen = true;
    yield trackPoint(point);
  }
  yield `${isOpen ? "    </trkseg>\n" : ""}  </trk>\n</gpx>\n`;
}

function head(night: Night): string {
  return `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="rodeward" xmlns="${NAMESPACE}" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:schemaLocation="${NAMESPACE} ${NAMESPACE}/gpx.xsd">
  <metadata>
    <name>${escaped(nameOf(night))}</name>
    <time>${night.letGo}</time>
  </metadata>
`;
}

export function nameOf({ place, letGo }: Pick<Night, "place" | "letGo">): string {
  return `${place ?? "Night at anchor"}, ${letGo}`;
}

function waypoint(
  { latDeg, lonDeg }: Position,
  { at, name, about, kind }: { at: string; name: string; about: string; kind: string },
): string {
  return `  <wpt lat="${latDeg.toFixed(7)}" lon="${longitude(lonDeg)}">
    <time>${at}</time>
    <name>${escaped(name)}</name>
    <desc>${escaped(about)}</desc>
    <type>${escaped(kind)}</type>
  </wpt>
`;
}

function trackPoint({ position, atMs }: Fixed): string {
  return `      <trkpt lat="${position.latDeg.toFixed(7)}" lon="${longitude(position.lonDeg)}"><time>${formatInstant(atMs)}</time></trkpt>\n`;
}

/** The schema's longitude is below 180: the date line is -180. */
function longitude(lonDeg: number): string {
  const text = lonDeg.toFixed(7);
  return text === "180.0000000" ? "-180.0000000" : text;
}

const ENTITIES: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

/** XML 1.0 has no place at all for most control characters. */
function escaped(text: string): string {
  return text
    .replace(/(?![\t\n\r])\p{Cc}|[\ufffe\uffff]/gu, "?")
    .replace(/[&<>"]/g, (one) => ENTITIES[one] ?? one);
}
