/** kill -9 in each phase: the next start goes on with the watch, and says anew what is active. */
import { readFileSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterEach, describe, expect, test } from "vitest";
import type { BoatState } from "../../src/page/boat-state.ts";
import { until } from "../ports/ear.ts";
import {
  acn,
  alfsOf,
  boatConfig,
  type Child,
  connectTo,
  createFolder,
  endChildren,
  type Folder,
  freePorts,
  type Peer,
  pageOf,
  type Recorder,
  recorderOn,
  rodeward,
} from "./afloat.ts";

const T0 = Date.parse("2026-06-15T01:00:00Z");
const SHOAL = 10806;

let folder: Folder | undefined;

afterEach(() => {
  endChildren();
  folder?.remove();
});

interface Run {
  child: Child;
  page: string;
  bus: Peer;
  display: Peer;
  recorder: Recorder;
}

async function boat(): Promise<(fromMs: number) => Promise<Run>> {
  folder = createFolder();
  const at = folder.path;
  const [busPort = 0, displayPort = 0] = await freePorts(2);
  const ports = `
[[port]]
name = "bus"
kind = "tcp-server"
listen = "127.0.0.1:${busPort}"
clock = "tag"
operator = true
[[port]]
name = "displays"
kind = "tcp-server"
listen = "127.0.0.1:${displayPort}"
send = ["alerts", "anchor", "rode", "acts"]
`;
  const file = join(at, "boat.toml");
  await writeFile(file, boatConfig(ports));
  return async (fromMs) => {
    const child = rodeward(["run", "--config", file], { STATE_DIRECTORY: join(at, "state") });
    const page = await pageOf(child);
    const display = await connectTo(`127.0.0.1:${displayPort}`);
    const bus = await connectTo(`127.0.0.1:${busPort}`);
    return { child, page, bus, display, recorder: recorderOn(bus, fromMs) };
  };
}

async function stateOf(page: string): Promise<BoatState> {
  return (await (await fetch(`${page}/api/state`)).json()) as BoatState;
}

/** What each phase is reached by; the depth is shoal all the time. */
const PHASES = [
  { phase: "underway", acts: ["PRDW,EXPECT,24,N"] },
  { phase: "let-go", acts: ["PRDW,LETGO", "PRDW,RODE,20,M"] },
  { phase: "riding", acts: ["PRDW,LETGO", "PRDW,RODE,20,M", "PRDW,BROUGHTUP"] },
  { phase: "weighing", acts: ["PRDW,LETGO", "PRDW,RODE,20,M", "PRDW,BROUGHTUP", "PRDW,WEIGH"] },
] as const;

describe("kill -9", () => {
  test.each(PHASES)("while $phase", async ({ phase, acts }) => {
    const start = await boat();
    const first = await start(T0);
    await first.recorder.seconds(8, { depthM: 1.5 });
    for (const act of acts) await first.recorder.second({ depthM: 1.5 }, act);
    await first.recorder.second({ depthM: 1.5 });
    await until(() => alfsOf(first.display, SHOAL).length > 0, "SHOAL");
    await first.display.say(acn(SHOAL, "A"));
    await until(() => alfsOf(first.display, SHOAL).at(-1)?.state === "acknowledged", "it is acknowledged");
    const acknowledged = alfsOf(first.display, SHOAL).at(-1);
    await until(
      () => first.display.sentences().filter((s) => s.id === "PRDW").length === acts.length,
      "answers to all acts",
    );
    const before = await stateOf(first.page);
    expect(before.phase).toBe(phase);
    await first.recorder.seconds(6, { depthM: 1.5 });
    await untilKept(first);
    first.child.process.kill("SIGKILL");
    await first.child.ended;

    // Ten minutes later.
    const second = await start(first.recorder.atMs + 600_000);
    await second.recorder.seconds(4, { depthM: 1.5 });
    await until(() => alfsOf(second.display, SHOAL).length > 0, "SHOAL again");
    const again = alfsOf(second.display, SHOAL)[0];
    expect(again).toMatchObject({ state: "unacknowledged", priority: "alarm" });
    expect(again?.revision, "its counter goes on").toBeGreaterThan(acknowledged?.revision ?? 99);
    const after = await stateOf(second.page);
    expect(after.phase).toBe(phase);
    expect(after.anchor).toMatchObject({
      lat: before.anchor.lat,
      lon: before.anchor.lon,
      since: before.anchor.since,
    });
    expect(after.rode.outM).toBe(phase === "underway" ? null : 20);
    expect(second.child.err()).toContain(`"phase":"${phase}","msg":"watch resumed"`);
    const lost = second.display.sentences().filter((s) => s.id === "ALF" && s.alertId === 10810);
    expect(lost, "the time switched off is no lost position").toEqual([]);
    second.child.process.kill("SIGTERM");
    expect(await second.child.ended).toEqual({ code: 0, signal: null });
  });

  test("a recorder whose time lies before the saved watch resumes nothing, and says so", async () => {
    const start = await letGoThenKilled();
    const second = await start(T0 - 3_600_000);
    await second.recorder.seconds(3, {});
    await until(() => second.child.err().includes("no watch is resumed"), "it is said");
    expect((await stateOf(second.page)).phase).toBe("underway");
  });

  test("one that was set back by some seconds goes on with the watch", async () => {
    const start = await letGoThenKilled();
    const second = await start(T0 - 10_000);
    await second.recorder.seconds(3, {});
    await until(() => second.child.err().includes("watch resumed"), "resumed");
    expect((await stateOf(second.page)).phase).toBe("let-go");
  });
});

async function letGoThenKilled(): Promise<(startMs: number) => Promise<Run>> {
  const start = await boat();
  const first = await start(T0);
  await first.recorder.seconds(3, {});
  await first.recorder.second({}, "PRDW,LETGO");
  await until(() => first.display.sentences().some((s) => s.id === "PRDW"), "let go");
  await untilKept(first);
  first.child.process.kill("SIGKILL");
  await first.child.ended;
  return start;
}

/** The state file is written in the background; it must hold the last act and the acknowledgement. */
async function untilKept(run: Run): Promise<void> {
  const { phase } = await stateOf(run.page);
  const file = join(folder?.path ?? "", "state", "watch.json");
  const kept = () => {
    try {
      const { watch, alerts } = JSON.parse(readFileSync(file, "utf8")).saved;
      const shoal = alerts.active.shoal?.status ?? "acknowledged";
      return watch.stay.phase === phase && shoal === "acknowledged";
    } catch {
      return false;
    }
  };
  await until(kept, "the state is kept");
}
