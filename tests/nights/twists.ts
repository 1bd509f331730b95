/**
 * Nights with something wrong that the watch is not told of: rode told wrong, compass off, wind vane dead, fixes
 * coarse, fine or often, next to no instruments. In: a drawn night; out: the same night twisted, and what is done
 * to its sentences.
 */
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import type { Night } from "../../src/rehearsal/nights/night.ts";
import { SOURCE } from "../../src/rehearsal/sentences.ts";
import type { PlayOptions } from "./play.ts";

interface Twisted {
  night: Night;
  lines?: PlayOptions["lines"];
}

const scened = (night: Night, change: Partial<Night["scene"]>): Night => ({
  ...night,
  scene: { ...night.scene, ...change },
});

const rodeBy = (share: number) => (night: Night) => ({
  night: scened(night, { rodeTruth: night.scene.rodeTruth * share }),
});

const minutesTo = (minuteDecimals: number) => (night: Night) => ({
  night: scened(night, { receiver: { ...night.scene.receiver, minuteDecimals } }),
});

const oftener = (hz: number) => (night: Night) => ({ night, lines: fixesBetween(hz) });

export const TWISTS: Readonly<Record<string, (night: Night) => Twisted>> = {
  none: (night) => ({ night }),
  "rode-longer": rodeBy(1.1),
  "rode-shorter": rodeBy(0.9),
  "heading-off": (night) => ({
    night: scened(night, { sensors: { ...night.scene.sensors, headingBiasDeg: 15 } }),
  }),
  "wind-dies": (night) => ({
    night,
    lines: (lines, atS) =>
      atS < night.scene.lengthS / 2 ? lines : lines.filter((line) => !/MWV/.test(line)),
  }),
  least: (night) => ({ night, lines: (lines) => lines.filter((line) => LEAST.test(line)) }),
  coarse: minutesTo(3),
  fine: minutesTo(4),
  "5-hz": oftener(5),
  "10-hz": oftener(10),
};

/** A receiver of positions and a sounder, and the crew's acts: no velocity, heading, wind or log. */
const LEAST = /\$(GPGGA|SDDPT|PRDW),/;

const MINUTES = /^(\d+)(\d\d\.\d+)$/;
const FIRST_MS = 400;
const SPAN_MS = 590;

/** Puts fixes between one second's and the next, on the straight way from the one to the other. */
function fixesBetween(hz: number): PlayOptions["lines"] {
  let before: string[] | undefined;
  return (lines, atS) => {
    const at = lines.findIndex((line) => line.includes("$GPRMC"));
    const fields = lines[at]?.replace(/^.*\$/, "").replace(/\*..$/, "").split(",");
    const from = before;
    before = fields?.[2] === "A" ? fields : undefined;
    if (from === undefined || before === undefined) return lines;
    const startMs = Number(/c:(\d+)/.exec(lines[at] ?? "")?.[1] ?? atS * 1000) - 1000;
    const between: string[] = [];
    for (let i = 1; i < hz; i++) {
      const share = i / hz;
      const fix = [...from];
      for (const field of [3, 5])
        fix[field] = betweenMinutes(from[field] ?? "", before[field] ?? "", share) ?? "";
      fix[1] = `${(from[1] ?? "").slice(0, 6)}.${share.toFixed(2).slice(2)}`;
      between.push(tagBlock(Math.round(startMs + FIRST_MS + SPAN_MS * share), SOURCE) + seal(fix.join(",")));
    }
    return [...between, ...lines];
  };
}

/** Of two `DDDMM.mmmm` of the same degree; undefined over a degree's edge. */
function betweenMinutes(from: string, to: string, share: number): string | undefined {
  const [, degrees, minutes = ""] = MINUTES.exec(from) ?? [];
  const [, sameDegrees, otherMinutes = ""] = MINUTES.exec(to) ?? [];
  if (degrees === undefined || degrees !== sameDegrees) return undefined;
  const decimals = (minutes.split(".")[1] ?? "").length;
  const value = Number(minutes) + (Number(otherMinutes) - Number(minutes)) * share;
  return degrees + value.toFixed(decimals).padStart(3 + decimals, "0");
}
