import { afterEach, expect, test } from "vitest";
import { createHeldCore } from "../../src/aboard/held-core.ts";
import { createReceiverKeeper, teachReceivers } from "../../src/aboard/receivers.ts";
import { coreSettings } from "../../src/config/settings.ts";
import type { Advance } from "../../src/core.ts";
import { aNightOn, unknownReceiver } from "../../src/watch/receiver.ts";
import { boatInputs, STAY_ACTS } from "../nightlog/boat-lines.ts";
import { boatConfig as nightBoat, openLog, play, temporary } from "../nightlog/kept-night.ts";
import { boatConfig, createFolder, type Folder, start } from "./afloat.ts";

let folder: Folder | undefined;
afterEach(() => folder?.remove());

const quiet = { info: () => {}, error: () => {} };
const settings = coreSettings(nightBoat(), { utc: "learn", ignoreOperator: false });

test("what a night taught of a receiver is kept with it, and the next begins with that", async () => {
  const directory = temporary();
  const log = openLog(directory);
  const keeper = createReceiverKeeper(log);
  const inputs = boatInputs({ seconds: 1400, acts: STAY_ACTS });
  const { core } = await play(inputs, [log.take, keeper.take]);
  const [learnt] = core.watch.drag.receivers;
  if (learnt === undefined) throw new Error("nothing was learnt");
  expect(learnt.velocity.seconds).toBeGreaterThan(300);
  await log.close();

  const next = openLog(directory);
  expect(next.profiles()).toMatchObject([{ source: learnt.source, nights: 0 }]);
  const held = createHeldCore({
    settings,
    file: `${directory}/watch.json`,
    nowMs: () => 0,
    begun: (begun) => teachReceivers(begun, next),
    log: quiet,
  });
  held.beginAt(core.atMs + 86_400_000);
  const [known] = held.shown().watch.drag.receivers;
  expect(known?.nights).toBe(1);
  expect(known?.velocity.seconds).toBe(learnt.velocity.seconds);
  expect(known?.spread.weightS).toBe(aNightOn(learnt).spread.weightS);
  await next.close();
});

test("on a long stay it is kept each hour: a power cut costs no more", async () => {
  const acts = { 20: ["PRDW,LETGO"], 25: ["PRDW,RODE,40.0,M", "PRDW,BROUGHTUP"] };
  let last: Advance | undefined;
  const { core } = await play(boatInputs({ seconds: 60, acts }), [(advanced) => (last = advanced)]);
  expect(core.last.stay.phase).toBe("riding");
  if (last === undefined) throw new Error("nothing was played");
  const keptAtMin: number[] = [];
  const keeper = createReceiverKeeper({ profiles: () => [], keepProfile: () => keptAtMin.push(minute) });
  let minute = 0;
  for (; minute <= 150; minute++)
    keeper.take({ ...last, core: { ...core, atMs: core.atMs + minute * 60_000 } });
  expect(keptAtMin).toEqual([60, 120]);
});

test("a profile of another shape is not believed", () => {
  const good = unknownReceiver("bus/GP");
  const list = [
    null,
    5,
    {},
    { ...good, spread: { ...good.spread, variance: [1] } },
    { ...good, nights: "1" },
    good,
  ];
  const held = createHeldCore({
    settings,
    file: "/nowhere/watch.json",
    nowMs: () => 0,
    begun: (core) => teachReceivers(core, { profiles: () => list }),
    log: quiet,
  });
  held.beginAt(1_781_467_200_000);
  expect(held.shown().watch.drag.receivers).toEqual([aNightOn(good)]);
});

test("the daemon begins with what the log knows, where no watch is saved", async () => {
  folder = createFolder();
  const log = openLog(folder.path);
  log.keepProfile("bus/GP", unknownReceiver("bus/GP"));
  await log.close();
  const { daemon } = await start(boatConfig('[[port]]\nname = "bus"\nkind = "stdin"\n'), folder.path);
  try {
    expect(daemon.core().watch.drag.receivers).toEqual([aNightOn(unknownReceiver("bus/GP"))]);
  } finally {
    await daemon.stop();
  }
});
