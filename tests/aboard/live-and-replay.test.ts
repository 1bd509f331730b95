/** A recorded log, live and replayed: the same alerts, to the sentence. And a drag, from alarm to alarm. */
import { readFileSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, expect, test } from "vitest";
import { createLogClock } from "../../src/cli/log-clock.ts";
import { replay } from "../../src/cli/replay.ts";
import { createSummary, type Summary } from "../../src/cli/summary.ts";
import type { Core } from "../../src/core.ts";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import { decode, type Sentence } from "../../src/nmea/table.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { rehearsalOf } from "../../src/rehearsal/scenes.ts";
import { until } from "../ports/ear.ts";
import { noPty, openPty } from "../ports/pty.ts";
import {
  type Afloat,
  acn,
  alfsOf,
  BUS,
  boatConfig,
  configOf,
  connectTo,
  createFolder,
  DISPLAYS,
  type Folder,
  type Peer,
  start,
} from "./afloat.ts";

const LOG = new URL("../../fixtures/logs/moored-geneva-2014-08-19-departure.nmea", import.meta.url);

const folders: Folder[] = [];
const running: Afloat[] = [];

function folder(): string {
  const made = createFolder();
  folders.push(made);
  return made.path;
}

afterEach(async () => {
  for (const one of running.splice(0)) await one.daemon.stop();
  for (const one of folders.splice(0)) one.remove();
});

interface Night {
  lines: { text: string; atMs: number }[];
  lastMs: number;
}

/**
 * The log as a recorder aboard would have it: every line with its time, and what the crew did among them. The
 * boat lies still for 28 minutes and then leaves; with an anchor let go there she goes out of the circle.
 */
function recorded(acts: { afterMs: number; body: string }[], source: string, minutes: number): Night {
  const clock = createLogClock({ kind: "auto" }, undefined);
  const texts = readFileSync(LOG, "latin1")
    .split("\n")
    .filter((text) => text !== "" && !text.startsWith("#"));
  const stamped = texts.flatMap((text) => clock.stamp(text));
  const firstMs = stamped[0]?.atMs ?? 0;
  const todo = [...acts];
  const lines: Night["lines"] = [];
  for (const { text, atMs } of stamped) {
    if (atMs > firstMs + minutes * 60_000) break;
    for (let act = todo[0]; act !== undefined && atMs >= firstMs + act.afterMs; act = todo[0]) {
      lines.push({ text: `${tagBlock(atMs, source)}${seal(act.body)}`, atMs });
      todo.shift();
    }
    lines.push({ text: `${tagBlock(atMs, source)}${text.trimEnd()}`, atMs });
  }
  if (todo.length > 0) throw new Error("the log is too short for these acts");
  return { lines, lastMs: lines.at(-1)?.atMs ?? 0 };
}

const STAY = [
  { afterMs: 60_000, body: "PRDW,LETGO" },
  { afterMs: 61_000, body: "PRDW,RODE,9,M" },
  { afterMs: 120_000, body: "PRDW,BROUGHTUP" },
];

/** Writes what falls into each slice of time, at so many times real time. */
async function pace(night: Night, speed: number, write: (text: string) => unknown): Promise<void> {
  const firstMs = night.lines[0]?.atMs ?? 0;
  const begun = performance.now();
  let next = 0;
  while (next < night.lines.length) {
    const untilMs = firstMs + (performance.now() - begun) * speed;
    let batch = "";
    for (let line = night.lines[next]; line !== undefined && line.atMs <= untilMs; line = night.lines[++next])
      batch += `${line.text}\r\n`;
    if (batch !== "") await write(batch);
    await sleep(5);
  }
  // A TAG block alone: only the time goes on, as replay's last second does.
  await write(`${tagBlock(night.lastMs + 1000, "bus")}\r\n`);
}

/** Live the receiver's UTC is learnt, replayed it is given: times of day apart, all must be the same. */
function timeless(sentence: Sentence): Sentence {
  return "timeOfDayS" in sentence ? { ...sentence, timeOfDayS: undefined } : sentence;
}

async function replayed(night: Night, configText: string): Promise<{ summary: Summary; out: Sentence[] }> {
  const file = join(folder(), "night.nmea");
  await writeFile(file, night.lines.map(({ text }) => `${text}\n`).join(""), "latin1");
  const out: string[] = [];
  const summary = await replay(
    [file],
    {
      config: configOf(configText),
      clock: { kind: "tag" },
      fromMs: undefined,
      speed: undefined,
      letGoMs: undefined,
      rodeM: undefined,
      only: undefined,
      jsonFile: undefined,
      ignoreOperator: false,
    },
    { out: (text) => out.push(text), err: () => {} },
  );
  return { summary, out: out.flatMap(sentencesOf).map(timeless) };
}

function sentencesOf(line: string): Sentence[] {
  return decode(line, { checksum: "required" }).pieces.flatMap((piece) =>
    piece.kind === "sentence" ? [piece.sentence] : [],
  );
}

interface Feed {
  speed: number;
  write(text: string): unknown;
}

async function sailed(configText: string, night: Night, feed: (one: Afloat) => Promise<Feed>) {
  const maker = createSummary();
  const one = await start(configText, folder(), maker.take);
  running.push(one);
  const display = await connectTo(one.daemon.address("displays"));
  // The first stamp begins time, and then the display has to be seen: else its coming is an event of the night.
  const bus = await feed(one);
  await bus.write(`${tagBlock(night.lines[0]?.atMs ?? 0, "bus")}\r\n`);
  const heard = () =>
    one.daemon.core().counts.edge !== undefined && !("unheard" in one.daemon.core().watch.facts);
  await until(heard, "the display is seen");
  await pace(night, bus.speed, bus.write);
  await until(() => one.daemon.core().atMs >= night.lastMs + 1000, "the whole log is in", 20_000);
  let length = -1;
  while (display.lines.length > length) {
    length = display.lines.length;
    await sleep(100);
  }
  const core = one.daemon.core();
  const accepted = core.counts.bus?.accepted;
  return { summary: maker.summary(core, night.lines[0]?.atMs, night.lastMs), display, accepted };
}

/** Live there are the edges' own facts besides (a display has come): counted, and changing nothing. */
function expectSame(
  live: { summary: Summary; display: Peer; accepted: number | undefined },
  again: { summary: Summary; out: Sentence[] },
): void {
  expect(live.accepted).toBe(again.summary.accepted);
  const { accepted, lines } = again.summary;
  expect({ ...live.summary, accepted, lines }).toEqual(again.summary);
  expect(live.display.sentences().map(timeless)).toEqual(again.out);
}

test("paced over TCP by the recorder's clock, a log gives what replay gives", async () => {
  const night = recorded(STAY, "bus", 60);
  const config = boatConfig(BUS + DISPLAYS);
  const again = await replayed(night, config);
  const live = await sailed(config, night, async ({ daemon }) => {
    const bus = await connectTo(daemon.address("bus"));
    return { speed: 500, write: (batch) => bus.say(batch.trimEnd()) };
  });
  const keys = again.summary.alerts.map(({ key }) => key);
  expect(keys, "a log without alarms would show nothing").toContain("outside-circle");
  expectSame(live, again);
});

test.skipIf(noPty)("and so through a pseudo-terminal at 38400 baud", async () => {
  const night = recorded(STAY, "bus", 8);
  const pty = await openPty();
  const bus = `[[port]]\nname = "bus"\nkind = "serial"\ndevice = "${pty.device}"\nbaud = 38400\nclock = "tag"\noperator = true\n`;
  const config = boatConfig(bus + DISPLAYS);
  const again = await replayed(night, config);
  const live = await sailed(config, night, async ({ journal }) => {
    await until(
      () => journal.entries.filter((entry) => entry.text === "port up").length === 2,
      "the line is up",
    );
    return { speed: 200, write: (batch) => pty.say(Buffer.from(batch, "latin1")) };
  });
  expect(again.summary.alerts.length).toBeGreaterThan(0);
  expectSame(live, again);
  await pty.remove();
});

test("a drag is alarmed over TCP, acknowledged by ACN, and comes back when she goes on", {
  timeout: 60_000,
}, async () => {
  const DRAGGING = 10801;
  const text = rehearsalConfig({ sentencePort: 0, displayPort: 0, pagePort: 0 });
  const one = await start(text, folder());
  running.push(one);
  const feed = await connectTo(one.daemon.address("rehearsal"));
  const display = await connectTo(one.daemon.address("displays"));
  const scene = rehearsalOf("drag", 2);
  if (scene === undefined) throw new Error("no such scene");
  const last = () => alfsOf(display, DRAGGING).at(-1);
  const movedM = () => one.daemon.core().alerts.active.dragging?.amount ?? Number.NaN;
  /** Plays on until something holds, or the scene is over. */
  const playUntil = async (met: () => boolean): Promise<void> => {
    for (let second = scene.next(); second !== undefined; second = scene.next()) {
      await feed.say(...second.lines);
      if (second.atMs % 10_000 !== 0) continue;
      const toMs = second.atMs - 1000;
      // Before its first line the daemon shows an empty core of the present time.
      const keptUp = (core: Core) => core.counts.rehearsal !== undefined && core.atMs >= toMs;
      await until(() => keptUp(one.daemon.core()), "the daemon keeps up", 10_000);
      if (met()) return;
    }
    throw new Error("the scene is over");
  };
  await playUntil(() => last()?.priority === "alarm");
  expect(last()).toMatchObject({ state: "unacknowledged" });
  expect(
    display.sentences().some((s) => s.id === "ALR" && s.alertId === 801 && s.condition === "exceeded"),
    "and as ALR, for simple displays",
  ).toBe(true);

  await display.say(acn(DRAGGING, "A"));
  await until(() => last()?.state === "acknowledged", "acknowledged");
  const acknowledgedAtM = movedM();
  const acknowledgedMs = one.daemon.core().atMs;

  await playUntil(() => last()?.state === "unacknowledged");
  // Design: for each further 10 m, or after 3 minutes of going on (3 m more).
  const furtherM = movedM() - acknowledgedAtM;
  const laterMs = one.daemon.core().atMs - acknowledgedMs;
  expect(furtherM >= 10 || (furtherM >= 3 && laterMs >= 180_000)).toBe(true);
  const { alerts } = one.daemon.core();
  expect(alerts.active.dragging).toMatchObject({ status: "unacknowledged", priority: "alarm" });
});
