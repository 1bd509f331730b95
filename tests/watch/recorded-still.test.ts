/**
 * Recorded receivers at rest (fixtures/logs/SOURCES.md): a boat alongside is taken for one lying to a taut rode,
 * the anchor in each of eight directions, so that every error of the real receiver is an error along the rode.
 */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readConfig } from "../../src/config/read.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { advance, begin } from "../../src/core.ts";
import { seal } from "../../src/nmea/seal.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { positionFields } from "../../src/rehearsal/sentences.ts";
import { vectorOf } from "../../src/units/angle.ts";
import { moved } from "../../src/units/position.ts";

const config = readConfig(rehearsalConfig({ sentencePort: 1, displayPort: 2, pagePort: 3 }));
if (!config.ok) throw new Error(config.problems.join("; "));
const SETTINGS = coreSettings(config.config, { utc: "given", ignoreOperator: false });

const START_MS = Date.UTC(2026, 5, 15, 20);
const RODE_M = 20;
/** Reach of 20 m from 3.6 m above the bottom, and the antenna 6 m abaft the roller. */
const AWAY_M = Math.sqrt(RODE_M ** 2 - 3.6 ** 2) + 6;

/** The still part of each: lines from and to, and lines a second. */
const STILL = [
  { log: "moored-geneva-2014-07-22-vwr", from: 1450, to: 12_900, perSecond: 5.23 },
  { log: "moored-geneva-2014-08-19-departure", from: 120, to: 15_000, perSecond: 8.84 },
  { log: "moored-geneva-2014-06-26-frozen-fix", from: 1050, to: 22_200, perSecond: 8.8 },
] as const;

/** A position sentence as the receiver would have sent it so many metres off; others as they are. */
function shifted(text: string, towardDeg: number, byM: number): string {
  const fields = text.slice(1).split("*")[0]?.split(",") ?? [];
  const at = { IIRMC: 3, IIGLL: 1 }[fields[0] ?? ""];
  if (at === undefined || byM === 0 || fields[at] === "") return text;
  const degrees = (field: string | undefined, digits: number) =>
    Number(field?.slice(0, digits)) + Number(field?.slice(digits)) / 60;
  const here = { latDeg: degrees(fields[at], 2), lonDeg: degrees(fields[at + 2], 3) };
  const there = positionFields(moved(here, vectorOf(byM, towardDeg)), 3).split(",");
  return seal([...fields.slice(0, at), ...there, ...fields.slice(at + 4)].join(","));
}

/** A drag away from the anchor, added to the recorded positions. */
interface Drag {
  fromS: number;
  mPerMin: number;
}

function alarmsIn(
  { log, from, to, perSecond }: (typeof STILL)[number],
  anchorDeg: number,
  drag: Drag = { fromS: Number.POSITIVE_INFINITY, mPerMin: 0 },
): string[] {
  const lines = readFileSync(`fixtures/logs/${log}.nmea`, "latin1").split("\n").slice(from, to);
  let core = begin(SETTINGS, START_MS);
  const found: string[] = [];
  let letGo = false;
  lines.forEach((text, i) => {
    const atMs = START_MS + (i / perSecond) * 1000;
    const take = (line: string, port: string) => {
      const next = advance(core, { kind: "line", text: line, port, atMs }, SETTINGS);
      core = next.core;
      for (const { key, priority, text: words } of next.changes)
        if ((key === "dragging" || key === "outside-circle") && priority === "alarm")
          found.push(`${key} at ${(i / perSecond).toFixed(0)} s: ${words}`);
    };
    const dragM = (Math.max(0, i / perSecond - drag.fromS) * drag.mPerMin) / 60;
    take(shifted(text, anchorDeg + 180, dragM), "log");
    const fix = core.last.picture.position?.value;
    // The mean of its first fixes would be better known; one fix is what a person has.
    if (letGo || fix === undefined || i < 60 * perSecond) return;
    letGo = true;
    const anchor = positionFields(moved(fix, vectorOf(AWAY_M, anchorDeg)), 4);
    for (const act of [`LETGO,${anchor}`, `RODE,${RODE_M},M`, "BROUGHTUP"]) take(seal(`PRDW,${act}`), "page");
  });
  expect(letGo).toBe(true);
  expect(core.watch.stay.phase).toBe("riding");
  return found;
}

describe("a recorded receiver at rest", () => {
  it.each(STILL)(
    "$log: nothing is called dragging",
    (still) => {
      for (const anchorDeg of [45, 225]) expect(alarmsIn(still, anchorDeg)).toEqual([]);
    },
    60_000,
  );

  it.each([
    { still: STILL[0], log: STILL[0].log, mPerMin: 3 },
    { still: STILL[1], log: STILL[1].log, mPerMin: 6 },
  ] as const)(
    "$0.log: a drag added to its error is told, whichever way it goes",
    ({ still, mPerMin }) => {
      const fromS = 1000;
      for (const anchorDeg of [20, 110]) {
        const [first] = alarmsIn(still, anchorDeg, { fromS, mPerMin });
        const atS = Number(/ at (\d+) s/.exec(first ?? "")?.[1]);
        expect(atS).toBeGreaterThan(fromS);
        // On a receiver that says 0 while it wanders 5 m (r95), and nobody has watched before.
        expect(((atS - fromS) * mPerMin) / 60).toBeLessThan(35);
      }
    },
    60_000,
  );
});
