import { createSocket, type Socket } from "node:dgram";
import { afterEach, describe, expect, test } from "vitest";
import type { OpenPort, PortSettings } from "../../src/ports/port.ts";
import { openUdp } from "../../src/ports/udp.ts";
import { createEar, createJournal, type Ear, until } from "./ear.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

type UdpOptions = Partial<Omit<PortSettings<"udp">, "kind">>;

async function openPort(options: UdpOptions): Promise<{ port: OpenPort; ear: Ear }> {
  const ear = createEar();
  const port = await openUdp(
    {
      name: "wifi",
      kind: "udp",
      bindHost: "127.0.0.1",
      bindPort: 0,
      sendHost: undefined,
      sendPort: undefined,
      interfaceHost: undefined,
      ttl: 1,
      talker: "II",
      leaveOut: [],
      backup: false,
      send: [],
      ...options,
    },
    ear.events,
    createJournal().deps,
  );
  cleanUps.push(() => port.close());
  await until(() => ear.states.length === 1, "the first outcome");
  return { port, ear };
}

async function bare(
  port = 0,
): Promise<{ socket: Socket; port: number; heard: string[]; close: () => Promise<void> }> {
  const socket = createSocket("udp4");
  const heard: string[] = [];
  socket.on("message", (bytes) => heard.push(bytes.toString("latin1")));
  await new Promise<void>((resolve) => socket.bind(port, "127.0.0.1", resolve));
  let closed = false;
  const close = async () => {
    if (closed) return;
    closed = true;
    await new Promise<void>((resolve) => socket.close(() => resolve()));
  };
  cleanUps.push(close);
  return { socket, port: socket.address().port, heard, close };
}

const boundPort = (port: OpenPort) => Number(port.stats().address?.split(":")[1]);

describe("udp", () => {
  test("a datagram may carry several lines, the last without its end; no line spans two", async () => {
    const { port, ear } = await openPort({});
    const { socket } = await bare();
    socket.send("$A*00\r\n$B*00", boundPort(port), "127.0.0.1");
    socket.send("$C*00\r\n", boundPort(port), "127.0.0.1");
    await until(() => ear.lines.length === 3, "three lines");
    expect(ear.lines).toEqual(["$A*00", "$B*00", "$C*00"]);
  });

  test("sends each sentence as one datagram with CR LF", async () => {
    const display = await bare();
    const { port } = await openPort({ sendHost: "127.0.0.1", sendPort: display.port });
    port.send("$IIHBT,30,A,0*00", false);
    await until(() => display.heard.length === 1 && port.stats().sent === 1, "the datagram");
    expect(display.heard).toEqual(["$IIHBT,30,A,0*00\r\n"]);
  });

  test("does not hear itself, but hears others", async () => {
    const free = await bare();
    await free.close();
    const { port, ear } = await openPort({ bindPort: free.port, sendHost: "127.0.0.1", sendPort: free.port });
    port.send("$MINE*00", false);
    await until(() => port.stats().sent === 1, "sent");
    const other = await bare();
    other.socket.send("$OTHER*00", free.port, "127.0.0.1");
    await until(() => ear.lines.length > 0, "the other's line");
    expect(ear.lines).toEqual(["$OTHER*00"]);
  });

  test("a broadcast is heard by another program, and not taken in again by its sender", async () => {
    const everyone = { bindHost: "0.0.0.0", sendHost: "127.255.255.255" };
    const free = await bare();
    await free.close();
    const display = await openPort({ bindHost: "0.0.0.0", bindPort: free.port });
    const sender = await openPort({ ...everyone, sendPort: free.port });
    sender.port.send("$IIHBT,30,A,3*03", false);
    await until(() => display.ear.lines.length === 1, "the broadcast");
    expect(display.ear.lines).toEqual(["$IIHBT,30,A,3*03"]);
    await display.port.close();
    // The usual wiring: heard and sent at the same number.
    const both = await openPort({ ...everyone, bindPort: free.port, sendPort: free.port });
    both.port.send("$IIHBT,30,A,4*04", false);
    await until(() => both.port.stats().sent === 1, "sent");
    const other = await bare();
    other.socket.send("$OTHER*00", free.port, "127.0.0.1");
    await until(() => both.ear.lines.length > 0, "the other's line");
    expect(both.ear.lines).toEqual(["$OTHER*00"]);
  });

  test("IPv6", async () => {
    const { port, ear } = await openPort({ bindHost: "::1" });
    const at = Number(port.stats().address?.split(":").at(-1));
    const other = await openPort({ bindHost: "::1", sendHost: "::1", sendPort: at });
    other.port.send("$IIHBT,30,A,0*00", false);
    await until(() => ear.lines.length === 1, "a line");
    expect(port.stats().address).toBe(`[::1]:${at}`);
    expect(ear.lines).toEqual(["$IIHBT,30,A,0*00"]);
  });

  test("a multicast group is joined and left, and heard by two programs of one machine", async () => {
    const group = { bindHost: "239.192.77.4", interfaceHost: "127.0.0.1" };
    const first = await openPort({ ...group, bindPort: 0 });
    expect(first.ear.states).toMatchObject([{ up: true }]);
    const bindPort = Number(first.port.stats().address?.split(":").at(-1));
    const second = await openPort({ ...group, bindPort });
    const sender = await openPort({
      bindHost: "127.0.0.1",
      sendHost: group.bindHost,
      sendPort: bindPort,
      interfaceHost: "127.0.0.1",
    });
    sender.port.send("$IIHBT,30,A,1*01", false);
    await until(() => first.ear.lines.length === 1 && second.ear.lines.length === 1, "the line at both");
    await first.port.close();
    sender.port.send("$IIHBT,30,A,2*02", false);
    await until(() => second.ear.lines.length === 2, "the next at the one that stayed");
    expect(first.ear.lines).toHaveLength(1);
  });

  test("without an address to send to, sentences are dropped and counted", async () => {
    const { port } = await openPort({});
    port.send("$IIHBT,30,A,0*00", true);
    expect(port.stats()).toMatchObject({ sent: 0, dropped: 1, state: "up" });
  });

  test("a sentence that cannot be sent is lost, the port is not", async () => {
    const { port } = await openPort({ sendHost: "127.0.0.1", sendPort: 70_000 });
    port.send("$IIHBT,30,A,0*00", true);
    await until(() => port.stats().dropped === 1, "the loss");
    expect(port.stats().state).toBe("up");
    expect(port.stats().lastError).toBeDefined();
  });

  test("address in use: down with the reason, up when it is free again", async () => {
    const blocker = await bare();
    const { port, ear } = await openPort({ bindPort: blocker.port });
    expect(ear.states).toEqual([
      {
        up: false,
        why: `cannot bind 127.0.0.1:${blocker.port}: it is in use by another program; stop that one, or choose another port`,
      },
    ]);
    await blocker.close();
    await until(() => ear.states.length === 2, "up");
    expect(ear.states[1]).toEqual({ up: true, why: `bound to 127.0.0.1:${blocker.port}` });
    expect(port.stats().reconnects).toBe(0);
  });
});
