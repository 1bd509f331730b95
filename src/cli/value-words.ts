/** A sentence's value in a few words, for a person who looks whether the wiring is right. */
import { rawDepthOf } from "../instruments/depth.ts";
import { rawHeadingsOf } from "../instruments/heading.ts";
import { type Sentence, TABLE } from "../nmea/table.ts";
import type { Position } from "../units/position.ts";
import { fromKn, toKn } from "../units/speed.ts";

/** Degrees and minutes, as charts have them. */
export function positionInWords({ latDeg, lonDeg }: Position): string {
  return `${angle(latDeg, "N", "S")} ${angle(lonDeg, "E", "W")}`;
}

function angle(deg: number, positive: string, negative: string): string {
  const thousandths = Math.round(Math.abs(deg) * 60_000);
  const minutes = ((thousandths % 60_000) / 1000).toFixed(3).padStart(6, "0");
  return `${Math.floor(thousandths / 60_000)}°${minutes}'${deg < 0 ? negative : positive}`;
}

const REFERENCES = {
  surface: "from the surface",
  keel: "under the keel",
  transducer: "under the transducer",
};

export function valueInWords(sentence: Sentence): string {
  const words = depthWords(sentence) ?? headingWords(sentence) ?? otherWords(sentence);
  return words ?? nothingIn(sentence);
}

function depthWords(sentence: Sentence): string | undefined {
  const depth = rawDepthOf(sentence);
  return depth && `${depth.depthM.toFixed(1)} m ${REFERENCES[depth.reference]}`;
}

function headingWords(sentence: Sentence): string | undefined {
  const heading = rawHeadingsOf(sentence)[0]?.heading;
  if (heading === undefined) return undefined;
  const variation = "variationDeg" in sentence ? sentence.variationDeg : undefined;
  const with_ = variation === undefined ? "" : `, variation ${variation.toFixed(1)}°`;
  return `heading ${Math.round(heading.deg)}° ${heading.north}${with_}`;
}

function otherWords(s: Sentence): string | undefined {
  switch (s.id) {
    case "RMC":
      return joined(s.position && positionInWords(s.position), motion(s.sogKn, s.cogDeg));
    case "GGA":
    case "GNS":
    case "GLL":
      return s.position && positionInWords(s.position);
    case "VTG":
      return motion(s.sogKn, s.cogDeg);
    case "MWV":
      return bowWind(s.angleDeg, s.speedMps, s.reference === "apparent" ? "apparent" : "through the water");
    case "VWR":
      return bowWind(s.angleDeg, speedOf(s), "apparent");
    case "VWT":
      return bowWind(s.angleDeg, speedOf(s), "through the water");
    case "MWD": {
      const speedMps = speedOf(s);
      if (s.fromDeg === undefined || speedMps === undefined) return undefined;
      return `wind ${kn(toKn(speedMps))} from ${Math.round(s.fromDeg)}° true`;
    }
    case "VHW":
      return s.speedKn === undefined ? undefined : `${kn(s.speedKn)} through the water`;
    case "ZDA":
      return s.timeOfDayS === undefined ? undefined : "date and time";
    case "XDR":
      return s.measurements?.map((one) => `${one.name ?? one.type ?? "?"} ${one.value ?? "-"}`).join(", ");
    default:
      return undefined;
  }
}

function joined(...parts: (string | undefined)[]): string | undefined {
  return parts.filter((part) => part !== undefined).join(", ") || undefined;
}

function motion(sogKn: number | undefined, cogDeg: number | undefined): string | undefined {
  if (sogKn === undefined) return undefined;
  return `${kn(sogKn)}${cogDeg === undefined ? "" : ` to ${Math.round(cogDeg)}°`}`;
}

function kn(speedKn: number): string {
  return `${speedKn.toFixed(1)} kn`;
}

function speedOf(s: { speedMps: number | undefined; speedKn: number | undefined }): number | undefined {
  return s.speedMps ?? (s.speedKn === undefined ? undefined : fromKn(s.speedKn));
}

function bowWind(
  angleDeg: number | undefined,
  speedMps: number | undefined,
  what: string,
): string | undefined {
  if (angleDeg === undefined || speedMps === undefined) return undefined;
  return `wind ${kn(toKn(speedMps))} at ${Math.round(angleDeg)}° from the bow, ${what}`;
}

/** Known, but with nothing in it that has words here: void, or of another use. */
function nothingIn(sentence: Sentence): string {
  const row = TABLE.find((one) => one.id === sentence.id);
  const status = "status" in sentence ? sentence.status : undefined;
  const isVoid = typeof status === "string" && status !== "valid";
  return isVoid ? `void: the instrument says it has no ${row?.name ?? "value"}` : (row?.name ?? "");
}
