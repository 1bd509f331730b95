/** An instant of a kept night is drawn as it was drawn then. */
import { expect, test } from "vitest";
import { drawingOf } from "../../src/aboard/drawing.ts";
import { nightConfig } from "../../src/aboard/night-config.ts";
import { momentOf } from "../../src/aboard/night-moment.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { openReview } from "../../src/nightlog/review.ts";
import type { Drawing } from "../../src/page/boat-state.ts";
import { boatConfig, openLog, play, sceneInputs, temporary } from "../nightlog/kept-night.ts";

const settings = coreSettings(boatConfig(), { utc: "learn", ignoreOperator: false });

test("elevation and plan of a second long past are those of the second itself", async () => {
  const directory = temporary();
  const log = openLog(directory);
  const drawn: { atMs: number; drawing: Drawing; pullDeg: number | undefined }[] = [];
  const { core } = await play(sceneInputs("breeze", 2400), [
    log.take,
    ({ core: now, seconds }) => {
      if (seconds.length > 0 && now.atMs % 300_000 === 0 && now.last.stay.phase === "riding")
        drawn.push({
          atMs: now.atMs,
          drawing: drawingOf(now, settings.watch),
          pullDeg: now.last.figures.tackle.pullDeg,
        });
    },
  ]);
  await log.close();
  const review = openReview(directory);
  const night = review?.night(1);
  if (review === undefined || night === undefined) throw new Error("nothing was kept");
  expect(drawn.length).toBeGreaterThan(2);
  const offsetMs = (Math.floor((core.last.picture.utcOffsetMs ?? 0) / 1000) + 1) * 1000;
  for (const { atMs, drawing, pullDeg } of drawn) {
    const row = review.rowAt(1, atMs + offsetMs);
    if (row === undefined) throw new Error("no row");
    const moment = momentOf(night, row);
    expect(moment.phase).toBe("riding");
    const { side, plan } = moment.drawing ?? {};
    expect(side).toMatchObject({ rode: "out", outM: drawing.side.outM, rollerM: drawing.side.rollerM });
    expect(side?.surfaceM).toBeCloseTo(drawing.side.surfaceM ?? 0, 1);
    expect(Math.abs((side?.reachM ?? 0) - (drawing.side.reachM ?? 0))).toBeLessThan(0.3);
    expect(side?.rope.length).toBe(drawing.side.rope.length);
    for (const [i, [xM, zM]] of (side?.rope ?? []).entries()) {
      expect(Math.abs(xM - (drawing.side.rope[i]?.[0] ?? 0))).toBeLessThan(0.5);
      expect(Math.abs(zM - (drawing.side.rope[i]?.[1] ?? 0))).toBeLessThan(0.3);
    }
    expect(Math.abs((moment.pull.deg ?? 0) - (pullDeg ?? 0))).toBeLessThan(0.5);
    // Bearings are kept to a tenth of a degree: the anchor comes back within decimetres.
    expect(Math.abs((plan?.antenna?.northM ?? 0) - (drawing.plan?.antenna?.northM ?? 0))).toBeLessThan(0.2);
    expect(Math.abs((plan?.antenna?.eastM ?? 0) - (drawing.plan?.antenna?.eastM ?? 0))).toBeLessThan(0.2);
    expect(plan?.circleM).toBeCloseTo(drawing.plan?.circleM ?? 0, 1);
  }
  // Before anything was kept there is nothing to draw.
  expect(review.rowAt(1, night.beganMs - 120_000)).toBeUndefined();
  review.close();
});

test("a night's configuration comes back as it was; what it did not know has its default", () => {
  const config = boatConfig();
  expect(nightConfig(JSON.stringify(config))).toEqual(JSON.parse(JSON.stringify(config)));
  const { watch: _watch, ...older } = JSON.parse(JSON.stringify(config));
  expect(nightConfig(JSON.stringify(older))?.watch.margin).toBe(15);
  for (const text of ["", "{}", "[]", '{"rode":5}', "null"]) expect(nightConfig(text), text).toBeUndefined();
});
