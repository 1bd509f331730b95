/**
 * What networks do to a boat: a display that stalls, half a connection, writes
 * cut anywhere, blackouts, a port that flaps. Nothing may be lost of an alarm, and nothing may pile up. Times are
 * scaled down: seconds for minutes; those in full are by hand, with FAULTS_IN_FULL=1 (two minutes).
 */
import { readdirSync } from "node:fs";
import { connect, createServer, type Server, type Socket } from "node:net";
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { keptAlive, until, usedBytes } from "../ports/ear.ts";
import { type Boat, type Client, clientOf, freePort, joined, putToSea, recorder } from "./boat.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

const server = (name: string, more: string) =>
  `[[port]]\nname = "${name}"\nkind = "tcp-server"\nlisten = "127.0.0.1:0"\n${more}\n`;
const BUS = server("bus", 'operator = true\nclock = "tag"');
const DISPLAYS = server("displays", 'send = ["alerts"]');

interface Afloat {
  boat: Boat;
  bus: Client;
  record: ReturnType<typeof recorder>;
}

async function boatWith(toml: string): Promise<Afloat> {
  const boat = await putToSea(toml);
  cleanUps.push(() => boat.stop());
  const bus = await joined(boat.daemon, "bus");
  cleanUps.push(() => bus.socket.destroy());
  return { boat, bus, record: recorder(bus) };
}

const openFiles = () => readdirSync("/proc/self/fd").length;
const alarms = (lines: readonly string[]) =>
  lines.filter((line) => /^\$IIALR,[^,]*,806,A,V,/.test(line)).length;

/** Eight seconds of shoal water, as fast as they can be told: the alarm is active. */
async function shoal({ boat, record }: Afloat): Promise<void> {
  record.seconds(8, "SDDPT,1.2,0.4,");
  await until(() => boat.daemon.core().alerts.active.shoal !== undefined, "the alarm in the core");
}

describe("a display on the network", () => {
  test("that stops reading is dropped at its bound; the others hear the alarm at once", async () => {
    const afloat = await boatWith(BUS + server("displays", 'send = ["alerts"]\nforward_from = ["bus"]'));
    const stalled = await joined(afloat.boat.daemon, "displays");
    stalled.socket.pause();
    const good = await joined(afloat.boat.daemon, "displays");
    cleanUps.push(
      () => stalled.socket.destroy(),
      () => good.socket.destroy(),
    );
    // Far more than a socket's buffers and the bound take.
    const flood = Array.from({ length: 2000 }, (_, i) => `IIXDR,C,${i}.0,C,${"X".repeat(40)}`);
    for (let n = 0; n < 200 && afloat.boat.logged.every(({ text }) => text !== "client dropped"); n++) {
      afloat.bus.say(...flood.map((body) => `${body}${n}`));
      await sleep(5);
    }
    await until(
      () => afloat.boat.logged.some(({ text }) => text === "client dropped"),
      "the stalled one given up",
      20_000,
    );
    await shoal(afloat);
    await until(() => alarms(good.lines()) > 0, "the alarm at the other", 5000);
  });

  test("with half a connection, or that comes and goes every 20 ms for a while, costs nothing and misses nothing", async () => {
    const afloat = await boatWith(BUS + DISPLAYS);
    const at = Number(afloat.boat.daemon.address("displays")?.split(":").at(-1));
    const visit = async () => {
      const half = connect({ host: "127.0.0.1", port: at, allowHalfOpen: true });
      half.on("error", () => {});
      half.end("$SDDPT,6."); // half a sentence, and half a connection
      await sleep(20);
      half.destroy();
    };
    await visit();
    await sleep(100);
    const filesBefore = openFiles();
    const bytesBefore = await usedBytes();
    for (let n = 0; n < 60; n++) await visit();
    await until(() => openFiles() <= filesBefore + 1, "every connection given back", 5000);
    expect((await usedBytes()) - bytesBefore).toBeLessThan(4_000_000);
    const steady = await joined(afloat.boat.daemon, "displays");
    cleanUps.push(() => steady.socket.destroy());
    await shoal(afloat);
    await until(() => alarms(steady.lines()) > 0, "the alarm", 5000);
  });

  test("that connects while an alarm is active hears it at once, each time, without waiting for the repetition", async () => {
    const afloat = await boatWith(BUS + DISPLAYS);
    await shoal(afloat);
    for (let n = 0; n < 5; n++) {
      const late = await joined(afloat.boat.daemon, "displays");
      await until(() => alarms(late.lines()) > 0, `the alarm, time ${n}`, 2000);
      late.socket.destroy();
      await sleep(300);
    }
  });
});

test("a display that is gone and back before anybody looks hears the active alarm all the same", async () => {
  const afloat = await boatWith(BUS + DISPLAYS);
  await shoal(afloat);
  let last = await joined(afloat.boat.daemon, "displays");
  await until(() => alarms(last.lines()) > 0, "the alarm", 2000);
  for (let n = 0; n < 5; n++) {
    last.socket.destroy();
    last = await joined(afloat.boat.daemon, "displays");
    const { lines } = last;
    await until(() => alarms(lines()) > 0, `the alarm, time ${n}`, 2000);
  }
  last.socket.destroy();
});

describe("sentences in pieces", () => {
  test("cut anywhere, a byte at a time or three in one, they are the same sentences", async () => {
    const afloat = await boatWith(BUS + DISPLAYS);
    const text = Array.from({ length: 40 }, (_, n) => `${seal(`SDDPT,${10 + n}.0,0.4,`)}\r\n`).join("");
    afloat.bus.socket.setNoDelay(true);
    for (let i = 0; i < text.length; ) {
      const size = 1 + ((i * 7919) % 97);
      afloat.bus.socket.write(text.slice(i, i + size));
      i += size;
      if (i % 5 === 0) await sleep(1);
    }
    await until(() => afloat.boat.daemon.core().counts.bus?.accepted === 40, "all forty");
    expect(afloat.boat.daemon.core().counts.bus?.refused).toEqual({});
  });
});

/** A server that the daemon connects to, and that can go dark. */
async function lighthouse(
  port: number,
): Promise<{ dark(): Promise<void>; light(): Promise<void>; clients: Client[]; joins: () => number }> {
  const clients: Client[] = [];
  let joins = 0;
  let listening: Server | undefined;
  const sockets = new Set<Socket>();
  const house = {
    clients,
    joins: () => joins,
    async light() {
      const made = createServer((socket) => {
        joins += 1;
        sockets.add(socket);
        clients.push(clientOf(socket));
      });
      await new Promise<void>((resolve) => made.listen(port, "127.0.0.1", resolve));
      listening = made;
    },
    async dark() {
      for (const socket of sockets) socket.destroy();
      sockets.clear();
      const gone = listening;
      listening = undefined;
      if (gone !== undefined) await new Promise((resolve) => gone.close(resolve));
    },
  };
  cleanUps.push(() => house.dark());
  await house.light();
  return house;
}

describe("a connection that we make", () => {
  test("an alarm raised in a blackout is told as soon as the light is back", async () => {
    const port = await freePort();
    const house = await lighthouse(port);
    const afloat = await boatWith(
      `${BUS}[[port]]\nname = "out"\nkind = "tcp-client"\naddress = "127.0.0.1:${port}"\nsend = ["alerts"]\n`,
    );
    await until(() => house.joins() === 1, "the connection");
    afloat.record.seconds(2, "SDDPT,1.2,0.4,");
    await house.dark();
    await until(() => afloat.boat.daemon.core().watch.facts["port-down"] !== undefined, "the loss is known");
    await shoal(afloat);
    await house.light();
    await until(() => house.joins() === 2, "the connection again", 30_000);
    await until(() => alarms(house.clients.at(-1)?.lines() ?? []) > 0, "the alarm", 2000);
    await until(() => afloat.boat.daemon.core().watch.facts["port-down"] === undefined, "the port up again");
  });

  test("flapping makes one alert and no leak, and an alarm in the midst of it gets through", async () => {
    const port = await freePort();
    const house = await lighthouse(port);
    const afloat = await boatWith(
      `${BUS}[[port]]\nname = "out"\nkind = "tcp-client"\naddress = "127.0.0.1:${port}"\nsend = ["alerts"]\n`,
    );
    const { daemon } = afloat.boat;
    await until(() => house.joins() === 1, "the connection");
    afloat.record.seconds(2, "SDDPT,6.0,0.4,");
    const filesBefore = openFiles();
    const raised = new Set<number>();
    for (let n = 0; n < 6; n++) {
      await house.dark();
      await until(() => daemon.core().watch.facts["port-down"] !== undefined, "the loss", 5000);
      afloat.record.seconds(1, n < 3 ? "SDDPT,6.0,0.4," : "SDDPT,1.2,0.4,");
      await house.light();
      const joins = house.joins();
      await sleep(200);
      // Shallow, and dark half of the time; six rounds are long enough for the alarm.
      afloat.record.seconds(5, n < 3 ? "SDDPT,6.0,0.4," : "SDDPT,1.2,0.4,");
      if (n < 4) await until(() => house.joins() > joins, "the connection again", 10_000);
      const down = daemon.core().alerts.active["port-down"];
      if (down !== undefined) raised.add(down.raisedMs);
    }
    await until(() => house.clients.some((client) => alarms(client.lines()) > 0), "the alarm", 40_000);
    // However often it flapped: what a person sees of it is one alert.
    expect(raised.size).toBe(1);
    await until(() => openFiles() <= filesBefore + 1, "every connection given back", 5000);
  }, 90_000);
});

describe.skipIf(!process.env.FAULTS_IN_FULL)("in full", () => {
  const OUT = (port: number) =>
    `${BUS}${DISPLAYS}[[port]]\nname = "out"\nkind = "tcp-client"\naddress = "127.0.0.1:${port}"\nsend = ["alerts"]\n`;

  /** As many seconds, each in a second. */
  async function live({ record }: Afloat, seconds: number, depth = "SDDPT,6.0,0.4,"): Promise<void> {
    for (let n = 0; n < seconds; n++) {
      record.seconds(1, depth);
      await sleep(1000);
    }
  }

  test("a port and a display that flap each second for a minute, an alarm in the midst: heard by both, nothing piles up", async () => {
    const port = await freePort();
    const house = await lighthouse(port);
    const afloat = await boatWith(OUT(port));
    const { daemon } = afloat.boat;
    await until(() => house.joins() === 1, "the connection");
    const raised = new Set<number>();
    const deaf: number[] = [];
    let before = { files: 0, bytes: 0, alive: {} as Record<string, number> };
    for (let n = 0; n < 60; n++) {
      if (n === 5) before = { files: openFiles(), bytes: await usedBytes(), alive: keptAlive() };
      const display = await joined(daemon, "displays");
      afloat.record.seconds(1, n < 20 ? "SDDPT,6.0,0.4," : "SDDPT,1.2,0.4,");
      await sleep(450);
      await house.dark();
      await sleep(450);
      await house.light();
      const isActive = daemon.core().alerts.active.shoal !== undefined;
      if (n > 30 && isActive && alarms(display.lines()) === 0) deaf.push(n);
      display.socket.destroy();
      const down = daemon.core().alerts.active["port-down"];
      if (down !== undefined) raised.add(down.raisedMs);
    }
    expect(deaf).toEqual([]);
    expect(raised.size).toBeLessThanOrEqual(1);
    await until(() => alarms(house.clients.at(-1)?.lines() ?? []) > 0, "the alarm at the far end", 45_000);
    await sleep(500);
    const growth = (await usedBytes()) - before.bytes;
    console.info({ growth, files: [before.files, openFiles()], alive: [before.alive, keptAlive()] });
    expect(openFiles()).toBeLessThanOrEqual(before.files + 2);
    expect(growth).toBeLessThan(4_000_000);
  }, 180_000);

  test("three blackouts of 10 s, an alarm in the second: told as soon as the light is back", async () => {
    const port = await freePort();
    const house = await lighthouse(port);
    const afloat = await boatWith(OUT(port));
    await until(() => house.joins() === 1, "the connection");
    for (let n = 0; n < 3; n++) {
      await live(afloat, 2);
      await house.dark();
      await live(afloat, 5);
      // A sounder's sudden jump is held back for a while.
      if (n === 1) afloat.record.seconds(20, "SDDPT,1.2,0.4,");
      if (n === 1) await shoal(afloat);
      await live(afloat, 5, n > 0 ? "SDDPT,1.2,0.4," : undefined);
      const joins = house.joins();
      await house.light();
      const litMs = performance.now();
      while (house.joins() === joins) await live(afloat, 1, n > 0 ? "SDDPT,1.2,0.4," : undefined);
      const joinedMs = performance.now();
      if (n >= 1) await until(() => alarms(house.clients.at(-1)?.lines() ?? []) > 0, "the alarm", 2000);
      console.info({ n, againAfterMs: joinedMs - litMs, toldAfterMs: performance.now() - joinedMs });
    }
  }, 180_000);
});
