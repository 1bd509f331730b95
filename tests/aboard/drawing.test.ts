/** The drawing out of a real core that has lived through a rehearsal: lengths, reach and places agree. */
import { beforeAll, describe, expect, test } from "vitest";
import { createDrawer, drawingOf } from "../../src/aboard/drawing.ts";
import { readConfig } from "../../src/config/read.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { advance, begin, type Core, type CoreSettings } from "../../src/core.ts";
import type { Drawing, SidePoint } from "../../src/page/boat-state.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { rehearsalOf } from "../../src/rehearsal/scenes.ts";
import { SOURCE } from "../../src/rehearsal/sentences.ts";
import { turnDeg } from "../../src/units/angle.ts";
import { distanceM, moved } from "../../src/units/position.ts";

let settings: CoreSettings;
let approach: Drawing;
let riding: Drawing;
let core: Core;
let truth: { latDeg: number; lonDeg: number } | undefined;

beforeAll(() => {
  const read = readConfig(rehearsalConfig({ sentencePort: 1, displayPort: 2, pagePort: 3 }));
  if (!read.ok) throw new Error(read.problems.join("; "));
  settings = coreSettings(read.config, { utc: "learn", ignoreOperator: false });
  const scene = rehearsalOf("stay", 7);
  if (scene === undefined) throw new Error("no scene");
  core = begin(settings, scene.startMs);
  for (let s = 0; s < 1300; s++) {
    const second = scene.next();
    for (const text of second?.lines ?? [])
      core = advance(core, { kind: "line", text, port: SOURCE, atMs: second?.atMs ?? 0 }, settings).core;
    if (s === 350) approach = structuredClone(drawingOf(core, settings.watch));
    truth = second?.truth.boat;
  }
  riding = drawingOf(core, settings.watch);
});

const along = (points: readonly SidePoint[]) =>
  points.reduce((sum, [x, z], i) => {
    const before = points[i - 1];
    return before === undefined ? 0 : sum + Math.hypot(x - before[0], z - before[1]);
  }, 0);

describe("the drawing", () => {
  test("coming in: the rode that this depth asks for, and where she would lie, down the wind", () => {
    expect(approach.side.rode).toBe("planned");
    expect(approach.plan?.anchor).toBeNull();
    const { liesAt, wind } = approach.plan ?? {};
    if (liesAt == null || wind == null) throw new Error("not told");
    const lies = (Math.atan2(liesAt.eastM, liesAt.northM) * 180) / Math.PI;
    const off = Math.abs(turnDeg(wind.fromDeg + 180, lies));
    expect(off).toBeLessThan(40); // the tide has its share
  });

  test("riding: the line drawn is as long as the rode that is out, from the bottom to the roller", () => {
    const { side } = riding;
    expect(side.rode).toBe("out");
    const line = [...side.chain, ...side.rope.slice(1)];
    expect(line[0]).toEqual([0, 0]);
    expect(line.at(-1)?.[1]).toBeCloseTo((side.surfaceM ?? 0) + (side.rollerM ?? 0), 2);
    expect(line.at(-1)?.[0]).toBe(side.reachM);
    // A little longer by its stretch, a little shorter where it is heaped because she lies nearer.
    expect(along(line)).toBeGreaterThan((side.outM ?? 0) * 0.9);
    expect(along(line)).toBeLessThan((side.outM ?? 0) * 1.06);
    expect(along(side.chain)).toBeCloseTo(8, 0); // the boat's chain
  });

  test("riding: the bow on the plan is where the boat truly is, to the receiver's wander", () => {
    const { plan } = riding;
    if (plan?.roller == null || truth === undefined) throw new Error("not told");
    const { northM, eastM } = plan.roller;
    const bow = moved({ latDeg: plan.lat, lonDeg: plan.lon }, { north: northM, east: eastM });
    expect(distanceM(bow, truth)).toBeLessThan(8);
    const off = Math.hypot(northM - (plan.antenna?.northM ?? 0), eastM - (plan.antenna?.eastM ?? 0));
    expect(off).toBeCloseTo(6, 1); // roller to antenna
  });

  test("the same second is drawn once", () => {
    const draw = createDrawer(settings.watch);
    expect(draw(core)).toBe(draw(core));
  });

  test("nothing known: nothing is made up", () => {
    const bare = drawingOf(begin(settings, 0), settings.watch);
    expect(bare.plan).toBeNull();
    expect(bare.side).toMatchObject({ rode: "unknown", surfaceM: null, chain: [], rope: [], reachM: null });
  });

  test("costs little: under 3 ms", () => {
    const beganMs = performance.now();
    for (let i = 0; i < 50; i++) drawingOf(core, settings.watch);
    expect((performance.now() - beganMs) / 50).toBeLessThan(3);
  });
});
