/** A night in each of the forms it is exported in. In: a review, a night, the form; out: its text in pieces. */
import type { Night, Review } from "../review.ts";
import { csvOf } from "./csv.ts";
import { batched } from "./gap.ts";
import { geojsonOf } from "./geojson.ts";
import { gpxOf } from "./gpx.ts";
import { nmeaOf } from "./nmea.ts";

export type ExportKind = "gpx" | "csv" | "geojson" | "nmea";

export function exportOf(review: Review, night: Night, kind: ExportKind): Generator<string> {
  return batched(textsOf(review, night, kind));
}

function textsOf(review: Review, night: Night, kind: ExportKind): Generator<string> {
  const { id } = night;
  switch (kind) {
    case "gpx":
      return gpxOf(night, review.track(id), (atMs) => review.pointAt(id, atMs)?.position);
    case "csv":
      return csvOf(review.track(id));
    case "geojson":
      return geojsonOf(night, review.track(id));
    case "nmea":
      return nmeaOf(review.lines(id));
  }
}
