import { connect, createServer, type Socket } from "node:net";
import { afterEach, describe, expect, test } from "vitest";
import { type OpenPort, PortError, type PortSettings } from "../../src/ports/port.ts";
import { MOST_CLIENTS } from "../../src/ports/stream-server.ts";
import { openTcpServer } from "../../src/ports/tcp-server.ts";
import { createEar, createJournal, type Ear, until, usedBytes } from "./ear.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

function settingsFor(host: string, port: number): PortSettings<"tcp-server"> {
  return {
    name: "displays",
    kind: "tcp-server",
    host,
    port,
    talker: "II",
    leaveOut: [],
    backup: false,
    send: ["alerts"],
  };
}

async function openServer(host = "127.0.0.1"): Promise<{ port: OpenPort; ear: Ear; at: number }> {
  const ear = createEar();
  const port = await openTcpServer(settingsFor(host, 0), ear.events, createJournal().deps);
  cleanUps.push(() => port.close());
  return { port, ear, at: Number(port.stats().address?.split(":").at(-1)) };
}

interface TestClient {
  socket: Socket;
  lines(): string[];
  closed: boolean;
}

async function join(at: number, host = "127.0.0.1", allowHalfOpen = false): Promise<TestClient> {
  const socket = connect({ host, port: at, allowHalfOpen });
  let text = "";
  const client: TestClient = { socket, lines: () => text.split("\r\n").slice(0, -1), closed: false };
  socket.on("data", (bytes) => {
    text += bytes.toString("latin1");
  });
  socket.on("error", () => {});
  socket.on("close", () => {
    client.closed = true;
  });
  cleanUps.push(() => socket.destroy());
  await new Promise((resolve, reject) => {
    socket.once("connect", resolve);
    socket.once("error", reject);
  });
  return client;
}

describe("tcp-server", () => {
  test("100 clients each get every sentence, and what they send comes in", async () => {
    const { port, ear, at } = await openServer();
    const clients = await Promise.all(Array.from({ length: 100 }, () => join(at)));
    await until(() => port.stats().clients === 100, "100 clients");
    for (let n = 0; n < 20; n++) port.send(`$IIALR,${n}*00`, true);
    clients.forEach((c, i) => {
      c.socket.write(`$IIACK,${String(i).padStart(3, "0")}*00\r\n`);
    });
    await until(() => ear.lines.length === 100, "a line from each");
    await until(() => clients.every((c) => c.lines().length === 20), "20 sentences at each");
    expect(new Set(ear.lines).size).toBe(100);
    expect(clients[99]?.lines().at(-1)).toBe("$IIALR,19*00");
    expect(port.stats()).toMatchObject({ state: "up", sent: 2000, dropped: 0, lines: 100 });
  });

  test("a client that does not read is dropped; another gets everything", async () => {
    const { port, at } = await openServer();
    const slow = await join(at);
    slow.socket.pause();
    const quick = await join(at);
    await until(() => port.stats().clients === 2, "two clients");
    const before = await usedBytes();
    let handed = 0;
    while (port.stats().clients === 2 && handed < 40_000) {
      for (let i = 0; i < 20 && port.stats().clients === 2; i++)
        port.send(String(handed++).padEnd(1000, "."), false);
      await new Promise((resolve) => setImmediate(resolve));
    }
    expect(port.stats().clients).toBe(1);
    port.send("last", true);
    handed += 1;
    await until(() => quick.lines().length === handed, "everything at the quick one");
    await until(() => port.stats().sent + port.stats().dropped === 2 * handed - 1, "all accounted for");
    expect(quick.lines().at(-1)).toBe("last");
    expect(port.stats().dropped).toBeGreaterThan(0);
    expect(port.stats().lastError).toContain("reads too slowly");
    const quickBytes = handed * 1002 * 2; // what this test itself has kept
    expect((await usedBytes()) - before - quickBytes).toBeLessThan(5_000_000);
  });

  test("half-open: a client that closes its half and stays is let go, others are served", async () => {
    const { port, at } = await openServer();
    const parting = await join(at, "127.0.0.1", true);
    const other = await join(at);
    parting.socket.end("$IIACK,801*00"); // no line end: cut off, so no line
    await until(() => port.stats().clients === 1, "one client left");
    port.send("$IIHBT,30,A,0*00", false);
    await until(() => other.lines().length === 1, "the other's sentence");
    expect(parting.lines()).toEqual([]);
    await until(() => port.stats().overrunBytes === 13, "the socket let go");
    expect(port.stats().lines).toBe(0);
  });

  test("half-open: one that closes its half and never takes what is queued is cut off in bounded time", async () => {
    const { port, at } = await openServer();
    const parting = await join(at, "127.0.0.1", true);
    parting.socket.pause();
    await until(() => port.stats().clients === 1, "the client");
    let handed = 0;
    while (port.stats().sent === handed && handed < 40_000) {
      for (let i = 0; i < 20; i++) port.send("x".repeat(1000), false);
      handed += 20;
      await new Promise((resolve) => setImmediate(resolve));
    }
    parting.socket.end();
    await until(() => port.stats().clients === 0, "let go");
    expect(port.stats().dropped).toBe(0);
    await until(() => port.stats().dropped + port.stats().sent === handed, "cut off", 1500);
    expect(port.stats().dropped).toBeGreaterThan(0);
  });

  test("a client that resets takes nobody with it", async () => {
    const { port, at } = await openServer();
    const rude = await join(at);
    const other = await join(at);
    await until(() => port.stats().clients === 2, "two clients");
    rude.socket.resetAndDestroy();
    await until(() => port.stats().clients === 1, "one client left");
    port.send("$IIHBT,30,A,0*00", false);
    await until(() => other.lines().length === 1, "the other's sentence");
  });

  test("5 MB of garbage without a line end: counted, not kept; lines of others and the next one come", async () => {
    const { port, ear, at } = await openServer();
    const noisy = await join(at);
    const other = await join(at);
    const before = await usedBytes();
    const chunk = Buffer.alloc(50_000, 0xa5);
    for (let i = 0; i < 100; i++) {
      if (!noisy.socket.write(chunk)) await new Promise((resolve) => noisy.socket.once("drain", resolve));
      if (i === 50) other.socket.write("$IIACK,801*00\r\n");
    }
    await until(() => port.stats().overrunBytes === 5_000_000, "all of it counted");
    expect((await usedBytes()) - before).toBeLessThan(3_000_000);
    noisy.socket.write("\r\n$IIACK,802*00\r\n");
    await until(() => ear.lines.length === 2, "two lines");
    expect(ear.lines).toEqual(["$IIACK,801*00", "$IIACK,802*00"]);
  });

  test("more clients than it serves are refused, the others stay", async () => {
    const { port, at } = await openServer();
    const clients = await Promise.all(Array.from({ length: MOST_CLIENTS }, () => join(at)));
    await until(() => port.stats().clients === MOST_CLIENTS, "all clients");
    const late = await join(at);
    await until(() => late.closed, "the late one refused");
    expect(port.stats().lastError).toContain(`more than ${MOST_CLIENTS} clients`);
    expect(clients.filter((c) => c.closed)).toEqual([]);
  });

  test("port in use: one line that names port, address and what helps", async () => {
    const blocker = createServer();
    await new Promise<void>((resolve) => blocker.listen(0, "127.0.0.1", resolve));
    cleanUps.push(() => blocker.close());
    const address = blocker.address();
    const at = address !== null && typeof address === "object" ? address.port : 0;
    const opening = openTcpServer(settingsFor("127.0.0.1", at), createEar().events, createJournal().deps);
    const error = await opening.then(
      () => undefined,
      (e: unknown) => e,
    );
    expect(error).toBeInstanceOf(PortError);
    expect((error as PortError).message).toBe(
      `port "displays": cannot listen on 127.0.0.1:${at}: it is in use by another program; stop that one, or choose another port`,
    );
  });

  test("an address that is not this machine's is refused in one line", async () => {
    // 192.0.2.0/24 is for documentation (RFC 5737): no machine has it; nothing is sent.
    const opening = openTcpServer(settingsFor("192.0.2.1", 0), createEar().events, createJournal().deps);
    await expect(opening).rejects.toThrow(
      'port "displays": cannot listen on 192.0.2.1:0: this machine has no such address; 0.0.0.0 means all it has',
    );
  });

  test("host :: serves IPv4 and IPv6", async ({ skip }) => {
    const ipv6 = await openServer("::1").catch(() => undefined);
    if (ipv6 === undefined) skip("no IPv6 on this machine");
    const { port, at } = await openServer("::");
    const four = await join(at, "127.0.0.1");
    const six = await join(at, "::1");
    await until(() => port.stats().clients === 2, "both clients");
    port.send("$IIHBT,30,A,0*00", false);
    await until(() => four.lines().length === 1 && six.lines().length === 1, "a sentence at both");
    expect(port.stats().address).toBe(`[::]:${at}`);
  });
});
