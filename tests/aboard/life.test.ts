/** The daemon's own life: who hears it, who fails, what it says, and how it ends. */
import { writeFile } from "node:fs/promises";
import { createServer } from "node:net";
import { join } from "node:path";
import { afterEach, describe, expect, test } from "vitest";
import { WebSocket } from "ws";
import { seal } from "../../src/nmea/seal.ts";
import { until } from "../ports/ear.ts";
import { noPty, openPty } from "../ports/pty.ts";
import {
  type Afloat,
  acn,
  alfsOf,
  BUS,
  boatConfig,
  bodiesAt,
  connectTo,
  createFolder,
  DISPLAYS,
  endChildren,
  type Folder,
  freePorts,
  type Peer,
  pageOf,
  peerOf,
  recorderOn,
  rodeward,
  start,
} from "./afloat.ts";

const T0 = Date.parse("2026-06-15T01:00:00Z");
const SHOAL = 10806;
const UNHEARD = 10821;

const folders: Folder[] = [];
const running: Afloat[] = [];

function folder(): string {
  const made = createFolder();
  folders.push(made);
  return made.path;
}

async function afloat(...args: Parameters<typeof start>): Promise<Afloat> {
  const one = await start(...args);
  running.push(one);
  return one;
}

afterEach(async () => {
  endChildren();
  for (const one of running.splice(0)) await one.daemon.stop();
  for (const one of folders.splice(0)) one.remove();
});

describe("who hears an alarm", () => {
  test("a port that comes up hears at once what is active", async () => {
    const displays: Peer[] = [];
    const server = createServer((socket) => displays.push(peerOf(socket)));
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    const address = server.address();
    const port = typeof address === "object" ? address?.port : undefined;
    const plotter = `[[port]]\nname = "plotter"\nkind = "tcp-client"\naddress = "127.0.0.1:${port}"\nsend = ["alerts"]\n`;
    const { daemon } = await afloat(boatConfig(BUS + plotter), folder());
    await until(() => displays.length === 1, "the daemon connects");
    const [first] = displays;
    const bus = await connectTo(daemon.address("bus"));
    const recorder = recorderOn(bus, T0);
    await recorder.seconds(8, { depthM: 1.2 });
    await until(() => alfsOf(first!, SHOAL).length > 0, "SHOAL on the first connection");
    expect(alfsOf(first!, SHOAL)[0]).toMatchObject({ state: "unacknowledged", priority: "alarm" });

    const before = daemon.core().atMs;
    first?.close();
    await until(() => displays.length === 2, "the daemon connects again");
    const [, second] = displays;
    await until(() => alfsOf(second!, SHOAL).length > 0, "SHOAL on the second connection");
    expect(daemon.core().atMs, "no second has passed: it was sent for the port's sake").toBe(before);
    second?.close();
    server.close();
  });

  test("unheard is raised on watch with no display, and ends when one connects", async () => {
    const { daemon } = await afloat(boatConfig(BUS + DISPLAYS), folder());
    const recorder = recorderOn(await connectTo(daemon.address("bus")), T0);
    const unheard = () => daemon.core().alerts.active.unheard;
    await recorder.seconds(3, {});
    await until(() => daemon.core().last.picture.position !== undefined, "a position");
    expect(unheard(), "under way nobody sleeps").toBeUndefined();
    await recorder.second({}, "PRDW,LETGO");
    await recorder.seconds(3, {});
    await until(() => unheard() !== undefined, "unheard");
    expect(unheard()).toMatchObject({ priority: "warning", status: "unacknowledged" });

    const display = await connectTo(daemon.address("displays"));
    await until(() => Object.keys(daemon.core().watch.facts).length === 0, "the display is seen");
    await recorder.seconds(2, {});
    await until(() => unheard()?.status === "rectified", "unheard is over");
    await until(() => alfsOf(display, UNHEARD).some((alf) => alf.state === "rectified"), "and that is said");
    display.close();
  });

  test("a watcher that always fails keeps no alarm from going out, and fills no log", async () => {
    const { daemon, journal } = await afloat(boatConfig(BUS + DISPLAYS), folder(), () => {
      throw new Error("broken listener");
    });
    const display = await connectTo(daemon.address("displays"));
    const bus = await connectTo(daemon.address("bus"));
    await recorderOn(bus, T0).seconds(10, { depthM: 1.2 });
    await until(() => alfsOf(display, SHOAL).length > 0, "the alarm");
    const said = journal.entries.filter((entry) => entry.text === "a listener failed");
    expect(said[0]?.fields).toMatchObject({ name: "watcher", failures: 1 });
    expect(said.length).toBeGreaterThan(1);
    expect(said.length).toBeLessThan(10);
  });

  test("acknowledging is believed from this machine, and refused for what is not active", async () => {
    const { daemon } = await afloat(boatConfig(BUS + DISPLAYS), folder());
    const display = await connectTo(daemon.address("displays"));
    const bus = await connectTo(daemon.address("bus"));
    await recorderOn(bus, T0).seconds(8, { depthM: 1.2 });
    await until(() => alfsOf(display, SHOAL).length > 0, "the alarm");
    await display.say(acn(SHOAL, "A"));
    await until(() => alfsOf(display, SHOAL).at(-1)?.state === "acknowledged", "it is acknowledged");
    await display.say(acn(10801, "A"));
    await until(() => display.sentences().some((s) => s.id === "ARC"), "a refusal");
  });
});

describe("time", () => {
  test("who looks, and a port that is down, begin no time before the recorder has told it", async () => {
    const absent = '[[port]]\nname = "absent"\nkind = "serial"\ndevice = "/dev/rodeward-no-such"\n';
    const { daemon, journal } = await afloat(boatConfig(BUS + DISPLAYS + absent), folder());
    await until(() => journal.entries.some((entry) => entry.text === "port down"), "the absent device");
    const seen = (await (await fetch(`${daemon.pageUrl}/api/state`)).json()) as { at: string };
    expect(Date.parse(seen.at)).toBeGreaterThan(Date.parse("2026-01-01T00:00:00Z"));
    // A recording of the past: were time begun by now, none of its seconds would ever be walked.
    const pastMs = Date.parse("2024-03-02T10:00:00Z");
    await recorderOn(await connectTo(daemon.address("bus")), pastMs).seconds(5, {});
    await until(() => daemon.core().atMs === pastMs + 4000, "the recorder's time");
    expect(daemon.core().last.picture.position).toBeDefined();
    expect(daemon.core().alerts.active["port-down"]?.text, "what was down before is known").toMatch(
      /^absent/,
    );
  });
});

describe("the end", () => {
  test.skipIf(noPty)(
    "SIGTERM ends it within a second, exit 0, with all kinds of peers hanging on",
    async () => {
      const pty = await openPty();
      const at = folder();
      const [busPort = 0, displayPort = 0] = await freePorts(2);
      const file = join(at, "boat.toml");
      const ports = [
        `[[port]]\nname = "bus"\nkind = "tcp-server"\nlisten = "127.0.0.1:${busPort}"\n`,
        `[[port]]\nname = "displays"\nkind = "tcp-server"\nlisten = "127.0.0.1:${displayPort}"\nsend = ["alerts"]\n`,
        `[[port]]\nname = "wire"\nkind = "serial"\ndevice = "${pty.device}"\nsend = ["alerts"]\n`,
        '[[port]]\nname = "nobody"\nkind = "tcp-client"\naddress = "127.0.0.1:1"\n',
        '[[port]]\nname = "air"\nkind = "udp"\nlisten = "127.0.0.1:0"\n',
      ];
      await writeFile(file, boatConfig(ports.join("")));
      const child = rodeward(["run", "--config", file], { STATE_DIRECTORY: join(at, "state") });
      const page = await pageOf(child);
      const bus = await connectTo(`127.0.0.1:${busPort}`);
      const display = await connectTo(`127.0.0.1:${displayPort}`);
      const socket = new WebSocket(`${page.replace("http", "ws")}/ws`, { origin: page });
      await new Promise((resolve) => socket.addEventListener("open", resolve));
      await bus.say(...bodiesAt(Date.now(), {}).map(seal));
      const begun = performance.now();
      child.process.kill("SIGTERM");
      expect(await child.ended).toEqual({ code: 0, signal: null });
      expect(performance.now() - begun).toBeLessThan(1000);
      expect(child.err()).toContain('"signal":"SIGTERM"');
      bus.close();
      display.close();
      await pty.remove();
    },
  );
});
