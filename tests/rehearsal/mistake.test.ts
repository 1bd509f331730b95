/** The rehearsal's operator misses a mark: a newcomer sees it contradicted, and put right. */
import { expect, test } from "vitest";
import { advance, begin, type Core } from "../../src/core.ts";
import { rehearsalOf } from "../../src/rehearsal/scenes.ts";
import { boatSettings } from "../watch/stays.ts";

test.each([1, 2, 3])(
  "seed %d: said too little, contradicted by the distance, corrected, and then quiet",
  (seed) => {
    const rehearsal = rehearsalOf("stay", seed);
    const settings = boatSettings(false);
    let core: Core | undefined;
    const told: { atS: number; rodeM: number }[] = [];
    const contradicted: { atS: number; text: string }[] = [];
    let broughtUpS: number | undefined;
    for (let atS = 0; atS < 800; atS++) {
      const second = rehearsal?.next();
      if (second === undefined) throw new Error("the scene is over");
      core ??= begin(settings, second.atMs);
      for (const text of second.lines)
        core = advance(core, { kind: "line", text, port: "rehearsal", atMs: second.atMs }, settings).core;
      core = advance(core, { kind: "tick", atMs: second.atMs + 1000 }, settings).core;
      const { stay, figures } = core.last;
      const rodeM = stay.rode?.lengthM;
      if (rodeM !== undefined && told.at(-1)?.rodeM !== rodeM) told.push({ atS, rodeM });
      const { callout, rode } = figures.guidance;
      const text = [callout?.text, callout?.why].find((one) => /said 32 m, distance needs/i.test(one ?? ""));
      if (text !== undefined) contradicted.push({ atS, text });
      if (stay.phase === "riding") broughtUpS ??= atS;
      if (broughtUpS !== undefined) expect(rode.contradicted).toBe(false);
    }
    // By the marks 10, 20, 30; at 42 m one mark was missed.
    expect(told.map(({ rodeM }) => rodeM)).toEqual([10, 20, 30, 32, 42]);
    const [wrongS, rightS] = [told[3]?.atS ?? 0, told[4]?.atS ?? 0];
    expect(contradicted.length).toBeGreaterThan(10);
    expect(contradicted[0]?.text).toMatch(/said 32 m, distance needs (3[5-9]|4[0-3]) m$/i);
    expect(contradicted[0]?.atS).toBeGreaterThan(wrongS);
    expect(contradicted.at(-1)?.atS).toBeLessThan(rightS + 10);
    expect(broughtUpS).toBeGreaterThan(rightS);
  },
);
