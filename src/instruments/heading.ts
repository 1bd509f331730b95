/** Heading, true. In: true or magnetic headings and the variation; out: degrees true, or nothing. */
import type { Sentence } from "../nmea/table.ts";
import { meanWithNext, wrap360 } from "../units/angle.ts";

export interface RawHeading {
  deg: number;
  north: "true" | "magnetic";
}

/** Headings of one second together: their mean. */
export function headingsTogether(mean: RawHeading, next: RawHeading, n: number): RawHeading {
  return { ...next, deg: meanWithNext(mean.deg, next.deg, n) };
}

/** What a sentence says of the heading; `kind` orders those of one source. */
export function rawHeadingsOf(sentence: Sentence): { heading: RawHeading; kind: number }[] {
  switch (sentence.id) {
    case "HDT":
      return listed(sentence.headingDeg, "true", 0);
    case "THS":
      return listed(sentence.headingDeg, "true", 0);
    case "HDG":
      return listed(plus(sentence.sensorDeg, sentence.deviationDeg), "magnetic", 1);
    case "HDM":
      return listed(sentence.headingDeg, "magnetic", 2);
    case "VHW":
      return [
        ...listed(sentence.headingDeg, "true", 3),
        ...listed(sentence.headingMagneticDeg, "magnetic", 4),
      ];
    default:
      return [];
  }
}

function listed(deg: number | undefined, north: RawHeading["north"], kind: number) {
  return deg === undefined ? [] : [{ heading: { deg: wrap360(deg), north }, kind }];
}

function plus(deg: number | undefined, easterlyDeg: number | undefined): number | undefined {
  return deg === undefined ? undefined : deg + (easterlyDeg ?? 0);
}

/** Easterly variation is added to magnetic. Without a variation a magnetic heading gives no true one. */
export function trueHeading(heading: RawHeading, variationDeg: number | undefined): number | undefined {
  if (heading.north === "true") return heading.deg;
  return variationDeg === undefined ? undefined : wrap360(heading.deg + variationDeg);
}
