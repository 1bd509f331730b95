/** Walks the whole table of kinds: whatever holds for every port is tested here, for new kinds too. */
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import pino from "pino";
import { describe, expect, onTestFinished, test } from "vitest";
import { KINDS, openPort } from "../../src/ports/kinds.ts";
import {
  PortError,
  type PortKind,
  type PortLog,
  type PortSettings,
  takes,
  wireLine,
} from "../../src/ports/port.ts";
import { createEar, createJournal, keptAlive, until, watchTimers } from "./ear.ts";

const common = {
  name: "tested",
  talker: "II",
  leaveOut: [],
  backup: false,
  send: ["alerts", "anchor"] as const,
};
const HERE = "127.0.0.1";
const CAST = { interfaceHost: undefined, ttl: 1 };

/** Settings that come up, or that cannot; by kind. Standard input has a test of its own. */
const WORKING: { [K in Exclude<PortKind, "stdin" | "serial">]: (peer: number) => PortSettings<K> } = {
  "tcp-client": (peer) => ({ ...common, kind: "tcp-client", host: HERE, port: peer }),
  "tcp-server": () => ({ ...common, kind: "tcp-server", host: HERE, port: 0 }),
  udp: (peer) => ({
    ...common,
    kind: "udp",
    bindHost: HERE,
    bindPort: 0,
    sendHost: HERE,
    sendPort: peer,
    ...CAST,
  }),
  "udp-61162-450": (peer) => ({
    ...common,
    kind: "udp-61162-450",
    groups: [{ host: HERE, port: 0 }],
    source: "II0001",
    sendHost: HERE,
    sendPort: peer,
    ...CAST,
  }),
  unix: (peer) => ({ ...common, kind: "unix", path: join(tmpdir(), `rodeward-test-${process.pid}-${peer}`) }),
  file: () => ({ ...common, kind: "file", path: "/dev/null" }),
};

const FAILING: { [K in Exclude<PortKind, "stdin">]: (busy: number) => PortSettings<K> } = {
  serial: () => ({ ...common, kind: "serial", device: "/dev/rodeward-absent", baud: 4800 }),
  "tcp-client": () => ({ ...common, kind: "tcp-client", host: HERE, port: 1 }),
  "tcp-server": (busy) => ({ ...common, kind: "tcp-server", host: HERE, port: busy }),
  udp: () => ({
    ...common,
    kind: "udp",
    bindHost: "192.0.2.1", // for documentation (RFC 5737): no machine has it
    bindPort: 0,
    sendHost: undefined,
    sendPort: undefined,
    ...CAST,
  }),
  "udp-61162-450": () => ({
    ...common,
    kind: "udp-61162-450",
    groups: [{ host: "192.0.2.1", port: 60004 }],
    source: "II0001",
    sendHost: undefined,
    sendPort: undefined,
    ...CAST,
  }),
  unix: () => ({ ...common, kind: "unix", path: "/nowhere/rodeward" }),
  file: () => ({ ...common, kind: "file", path: "/nowhere/rodeward" }),
};

async function servePeer(): Promise<{ port: number; close: () => Promise<void> }> {
  const sockets = new Set<{ destroy(): void }>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on("error", () => {});
  });
  await new Promise<void>((resolve) => server.listen(0, HERE, resolve));
  const address = server.address();
  if (address === null || typeof address === "string") throw new Error("no address");
  return {
    port: address.port,
    async close() {
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

describe("every kind of port", () => {
  test.each(Object.entries(KINDS))("%s has a row that says what it is", (_, row) => {
    expect(row.what).toMatch(/^\S.{3,60}\S$/);
    expect(["fatal", "retried"]).toContain(row.firstFailure);
  });

  test.each(Object.entries(WORKING))(
    "%s: comes up, closes within 200 ms, is silent after",
    async (kind, make) => {
      const peer = await servePeer();
      const before = keptAlive();
      const timers = watchTimers();
      onTestFinished(() => timers.stop());
      const ear = createEar();
      const port = await openPort(make(peer.port) as PortSettings, ear.events, createJournal().deps);
      await until(() => ear.states.length > 0, "up");
      expect(port).toMatchObject({ name: "tested", kind });
      expect(ear.states[0]?.up).toBe(true);
      if (kind === "unix" || kind === "file") expect(port.stats().address ?? "/").toMatch(/^\//);
      else expect(port.stats().address).toMatch(/^127\.0\.0\.1:\d+$/);
      port.send("$IIHBT,30,A,0*00", true);
      const startMs = performance.now();
      await port.close();
      expect(performance.now() - startMs).toBeLessThan(200);
      await port.close();
      port.send("$IIHBT,30,A,0*00", true);
      await peer.close();
      await new Promise((resolve) => setTimeout(resolve, 20));
      expect(ear.states).toHaveLength(1);
      expect(port.stats()).toMatchObject({ state: "down", address: undefined, clients: 0 });
      expect(leftOver(before, keptAlive())).toEqual([]);
      expect(timers.pending()).toBe(0);
    },
  );

  test.each(Object.entries(FAILING))("%s: a first failure is as its row says", async (kind, make) => {
    const busy = await servePeer();
    const before = keptAlive();
    const timers = watchTimers();
    onTestFinished(() => timers.stop());
    const ear = createEar();
    const opening = openPort(make(busy.port) as PortSettings, ear.events, createJournal().deps);
    if (KINDS[kind as PortKind].firstFailure === "fatal") {
      const error = await opening.then(
        () => undefined,
        (e: unknown) => e,
      );
      expect(error).toBeInstanceOf(PortError);
      expect((error as Error).message).toMatch(/^port "tested": [^\n]+$/);
      expect(ear.states).toEqual([]);
    } else {
      const port = await opening;
      await until(() => ear.states.length > 0, "down");
      expect(ear.states[0]).toMatchObject({ up: false, why: expect.stringMatching(/^[^\n]{10,}$/) });
      expect(port.stats().state).toBe("down");
      await port.close();
    }
    await new Promise((resolve) => setTimeout(resolve, 10)); // a socket goes with the next turn of the loop
    expect(leftOver(before, keptAlive())).toEqual([]);
    expect(timers.pending()).toBe(0);
    await busy.close();
  });

  test("closing while it still connects leaves nothing behind", async () => {
    const peer = await servePeer();
    const before = keptAlive();
    const timers = watchTimers();
    onTestFinished(() => timers.stop());
    const ear = createEar();
    const port = await openPort(WORKING["tcp-client"](peer.port), ear.events, createJournal().deps);
    await port.close();
    await new Promise((resolve) => setTimeout(resolve, 30));
    expect(ear.states).toEqual([]);
    expect(leftOver(before, keptAlive())).toEqual([]);
    expect(timers.pending()).toBe(0);
    await peer.close();
  });
});

/** What keeps the process alive now and did not before. The peer's own half of a connection does not count. */
function leftOver(before: Record<string, number>, after: Record<string, number>): string[] {
  return ["TCPServerWrap", "UDPWRAP", "TCPConnectWrap"].filter(
    (kind) => (after[kind] ?? 0) > (before[kind] ?? 0),
  );
}

test("pino's logger fits", () => {
  const log: PortLog = pino({ level: "silent" });
  log.info({ port: "x" }, "text");
});

test("a port takes the classes it is configured for", () => {
  const settings = WORKING["tcp-server"](0);
  expect([takes(settings, "alerts"), takes(settings, "anchor")]).toEqual([true, true]);
  expect([takes(settings, "rode"), takes(settings, "acts")]).toEqual([false, false]);
});

test("a sentence can never end a line early: control and multi-byte characters become ?", () => {
  expect(wireLine("$A\r\n$B").toString("latin1")).toBe("$A??$B\r\n");
  expect(wireLine("Ċč\u0000é").toString("latin1")).toBe("???\xe9\r\n"); // U+010A and U+010D end in 0A and 0D
});
