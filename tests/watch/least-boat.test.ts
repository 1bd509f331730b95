/**
 * The least boat: position receiver and sounder, and nothing else. The rehearsal's own stay, with every other
 * sentence taken out: each guidance works, or says in one line what it lacks.
 */
import { beforeAll, describe, expect, test } from "vitest";
import { advance, begin, type Core } from "../../src/core.ts";
import { rehearsalOf } from "../../src/rehearsal/scenes.ts";
import { turnDeg } from "../../src/units/angle.ts";
import { bearingDeg, distanceM } from "../../src/units/position.ts";
import type { Guidance } from "../../src/watch/guidance.ts";
import { boatSettings } from "./stays.ts";

interface Moment {
  atS: number;
  phase: string;
  guidance: Guidance;
  /** How far the mark is from where the anchor really lies. */
  markM: number | undefined;
  anchorDeg: number | undefined;
}

const moments: Moment[] = [];

beforeAll(() => {
  const settings = boatSettings(false);
  const rehearsal = rehearsalOf("weigh", 1);
  let core: Core | undefined;
  for (let s = 0, second = rehearsal?.next(); second !== undefined; second = rehearsal?.next(), s++) {
    core ??= begin(settings, second.atMs);
    for (const text of second.lines.filter((line) => /RMC|DPT|PRDW/.test(line)))
      core = advance(core, { kind: "line", text, port: "rehearsal", atMs: second.atMs }, settings).core;
    core = advance(core, { kind: "tick", atMs: second.atMs + 1000 }, settings).core;
    const { truth } = second;
    const marked = core.last.stay.anchor?.position;
    moments.push({
      atS: s,
      phase: core.watch.stay.phase,
      guidance: core.last.figures.guidance,
      markM: truth.anchor && marked && distanceM(truth.anchor, marked),
      anchorDeg: truth.anchor && bearingDeg(truth.boat, truth.anchor),
    });
  }
}, 60_000);

const during = (phase: string) => moments.filter((moment) => moment.phase === phase);
const said = (phase: string) =>
  new Set(during(phase).map(({ guidance }) => `${guidance.callout?.text} | ${guidance.callout?.why}`));
const hasSaid = (phase: string, wanted: RegExp) => [...said(phase)].some((text) => wanted.test(text));

describe("on the way in", () => {
  test("wind against tide lacks the wind's direction, and says so", () => {
    expect(hasSaid("underway", /^Tell the wind's direction \|/)).toBe(true);
    const lacks = new Set(during("underway").map(({ guidance }) => guidance.approach?.lacks));
    expect([...lacks]).toEqual(["the wind's direction: tell it (WIND)"]);
  });
  test("depth gives the rode to veer", () =>
    expect(hasSaid("underway", /m of rode would do here/)).toBe(true));
});

describe("let go and veering", () => {
  test("the anchor's place comes from her course and the fall back: within 6 m", () => {
    expect(during("let-go").at(-1)?.markM).toBeLessThan(6);
  });
  test("so much more to veer, the least by geometry, and brought up is proposed", () => {
    expect(hasSaid("let-go", /^Veer /)).toBe(true);
    expect(during("let-go").some(({ guidance }) => (guidance.rode.leastM ?? 0) > 30)).toBe(true);
    expect(during("let-go").some(({ guidance }) => guidance.bringingUp?.proposed === true)).toBe(true);
  });
});

test("weighing: distance, rode out and stages, and the bearing where no heading says how to steer", () => {
  const stages = during("weighing").map(({ guidance }) => guidance.weigh?.stage);
  expect([...new Set(stages)]).toEqual(["come-up", "splice-near", "short-stay", "up-and-down"]);
  expect(hasSaid("weighing", /^Come up to it: 40 m \| 4\d m still out; no heading: it bears \d{3}/)).toBe(
    true,
  );
  const first = during("weighing")[0];
  expect(Math.abs(turnDeg(first?.guidance.weigh?.bearingDeg ?? 0, first?.anchorDeg ?? 180))).toBeLessThan(10);
  expect(hasSaid("weighing", /Steer/)).toBe(false);
});

test("nothing that needs what she has not is guessed", () => {
  for (const { guidance } of moments) {
    expect(guidance.approach?.lie).toBeUndefined();
    expect(guidance.weigh?.steerDeg).toBeUndefined();
    expect(guidance.toPlace).toBeUndefined();
    expect(guidance.riding?.held).toBeUndefined();
  }
});
