import { readFileSync } from "node:fs";
import { createServer, type Server, type Socket } from "node:net";
import { afterEach, describe, expect, test } from "vitest";
import type { OpenPort, PortSettings } from "../../src/ports/port.ts";
import { openTcpClient } from "../../src/ports/tcp-client.ts";
import { createEar, createJournal, type Ear, until } from "./ear.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

interface Peer {
  port: number;
  sockets: Socket[];
  received: string;
  die(): Promise<void>;
}

async function servePeer(port = 0, options: { allowHalfOpen?: boolean; deaf?: boolean } = {}): Promise<Peer> {
  const peer: Peer = { port, sockets: [], received: "", die };
  const server: Server = createServer({ allowHalfOpen: options.allowHalfOpen ?? false }, (socket) => {
    peer.sockets.push(socket);
    socket.on("error", () => {});
    if (options.deaf) socket.pause();
    else
      socket.on("data", (bytes) => {
        peer.received += bytes.toString("latin1");
      });
  });
  await new Promise<void>((resolve) => server.listen(port, "127.0.0.1", resolve));
  const address = server.address();
  if (address !== null && typeof address === "object") peer.port = address.port;
  async function die(): Promise<void> {
    for (const socket of peer.sockets) socket.destroy();
    await new Promise((resolve) => server.close(resolve));
  }
  cleanUps.push(die);
  return peer;
}

async function openTo(port: number): Promise<{ port: OpenPort; ear: Ear }> {
  const ear = createEar();
  const settings: PortSettings<"tcp-client"> = {
    name: "gateway",
    kind: "tcp-client",
    host: "127.0.0.1",
    port,
    talker: "II",
    leaveOut: [],
    backup: false,
    send: [],
  };
  const open = await openTcpClient(settings, ear.events, createJournal().deps);
  cleanUps.push(() => open.close());
  return { port: open, ear };
}

describe("tcp-client", () => {
  test("lines cut anywhere come whole, and sentences go out with CR LF", async () => {
    const peer = await servePeer();
    const { port, ear } = await openTo(peer.port);
    await until(() => ear.states.length === 1 && peer.sockets.length === 1, "the connection");
    for (const piece of ["$SDD", "PT,6.3,0.5*", "7B\r", "\n$GPGLL,", ",\r\n"]) {
      peer.sockets[0]?.write(piece);
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    port.send("$IIHBT,30,A,0*00", false);
    await until(() => ear.lines.length === 2 && peer.received !== "", "lines both ways");
    expect(ear.states).toEqual([{ up: true, why: `connected to 127.0.0.1:${peer.port}` }]);
    expect(ear.lines).toEqual(["$SDDPT,6.3,0.5*7B", "$GPGLL,,"]);
    expect(peer.received).toBe("$IIHBT,30,A,0*00\r\n");
    expect(port.stats()).toMatchObject({ state: "up", lines: 2, sent: 1, dropped: 0, reconnects: 0 });
  });

  test("after the peer dies it is told down once, tried again, and up when the peer is back", async () => {
    const peer = await servePeer();
    const { port, ear } = await openTo(peer.port);
    await until(() => peer.sockets.length === 1 && ear.states.length === 1, "the connection");
    peer.sockets[0]?.write("$SDDPT,12");
    await new Promise((resolve) => setTimeout(resolve, 10));
    await peer.die();
    await until(() => ear.states.length === 2, "down");
    port.send("$IIHBT,30,A,0*00", true);
    await new Promise((resolve) => setTimeout(resolve, 450)); // one try in vain
    expect(port.stats().lastError).toBe(`127.0.0.1:${peer.port}: nothing listens there`);
    const again = await servePeer(peer.port);
    await until(() => ear.states.length === 3 && again.sockets.length === 1, "up again");
    again.sockets[0]?.write("$SDDPT,9.9,0.5\r\n");
    await until(() => ear.lines.length > 0, "a line");
    expect(ear.states.map((s) => s.up)).toEqual([true, false, true]);
    // The half sentence of before the loss never becomes one: 12.5 m must not read as 12.
    expect(ear.lines).toEqual(["$SDDPT,9.9,0.5"]);
    expect(port.stats()).toMatchObject({ reconnects: 1, dropped: 1, overrunBytes: 9 });
  });

  test("nobody there: down once with the reason, though it tries again and again", async () => {
    const peer = await servePeer();
    await peer.die();
    const { port, ear } = await openTo(peer.port);
    await new Promise((resolve) => setTimeout(resolve, 600));
    expect(ear.states).toEqual([{ up: false, why: `127.0.0.1:${peer.port}: nothing listens there` }]);
    expect(port.stats()).toMatchObject({ state: "down", reconnects: 0 });
  });

  test("half-open: a peer that closes its half but not the socket is given up", async () => {
    const peer = await servePeer(0, { allowHalfOpen: true, deaf: true });
    const { ear } = await openTo(peer.port);
    await until(() => peer.sockets.length === 1 && ear.states.length === 1, "the connection");
    peer.sockets[0]?.end();
    await until(() => ear.states.length === 2, "down");
    expect(ear.states[1]?.why).toContain("closed the connection");
    await until(() => peer.sockets.length === 2, "a new connection");
  });

  test("half-open: a silent peer is asked whether it is there (the system's keep-alive timer runs)", async () => {
    const peer = await servePeer();
    const { port, ear } = await openTo(peer.port);
    await until(() => ear.states.length === 1, "the connection");
    const localPort = Number(port.stats().address?.split(":")[1]);
    expect(timerOf(localPort)).toBe("02");
  });

  test("a peer that never reads is given up: bounded memory, all counted", async () => {
    const peer = await servePeer(0, { deaf: true });
    const { port, ear } = await openTo(peer.port);
    await until(() => ear.states.length === 1, "the connection");
    const text = "x".repeat(1000);
    let handed = 0;
    while (ear.states.length === 1 && handed < 40_000) {
      for (let i = 0; i < 20; i++) port.send(text, false);
      handed += 20;
      await new Promise((resolve) => setImmediate(resolve));
    }
    await until(() => port.stats().sent + port.stats().dropped === handed, "all accounted for");
    expect(ear.states[1]?.why).toContain("reads too slowly");
    expect(port.stats().dropped).toBeGreaterThan(0);
  });

  test("a failing listener is counted and logged once, and the port goes on", async () => {
    const peer = await servePeer();
    const heard: string[] = [];
    const journal = createJournal();
    const port = await openTcpClient(
      {
        name: "gateway",
        kind: "tcp-client",
        host: "127.0.0.1",
        port: peer.port,
        talker: "II",
        leaveOut: [],
        backup: false,
        send: [],
      },
      {
        line(text) {
          heard.push(text);
          throw new Error("listener\nbroke");
        },
        state() {
          throw new Error("listener broke");
        },
      },
      journal.deps,
    );
    cleanUps.push(() => port.close());
    await until(() => peer.sockets.length === 1, "the connection");
    peer.sockets[0]?.write("a\nb\nc\n");
    await until(() => heard.length === 3, "three lines");
    expect(port.stats()).toMatchObject({ state: "up", lines: 3, listenerErrors: 4 });
    const warnings = journal.entries.filter((e) => e.text === "port listener failed");
    expect(warnings).toHaveLength(1);
  });
});

/** The timer that runs on the socket of a local port (proc(5), net/tcp: 02 is keep-alive). */
function timerOf(localPort: number): string | undefined {
  const hexPort = localPort.toString(16).toUpperCase().padStart(4, "0");
  const rows = readFileSync("/proc/net/tcp", "utf8").split("\n");
  const row = rows.find((r) => r.trim().split(/\s+/)[1]?.endsWith(`:${hexPort}`));
  return row?.trim().split(/\s+/)[5]?.split(":")[0];
}
