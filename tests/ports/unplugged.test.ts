/**
 * A serial device unplugged and plugged in a hundred times, and a network peer that comes and goes. The waits
 * between tries, which grow to half a minute, are run through by hand; everything else is real.
 */
import { readdirSync } from "node:fs";
import { createServer, type Socket } from "node:net";
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { OpenPort } from "../../src/ports/port.ts";
import { openSerial } from "../../src/ports/serial.ts";
import { openTcpClient } from "../../src/ports/tcp-client.ts";
import { createEar, createJournal, keptAlive, usedBytes } from "./ear.ts";
import { noPty, openPty } from "./pty.ts";

const cleanUps: (() => unknown)[] = [];
beforeEach(() => {
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
});
afterEach(async () => {
  vi.useRealTimers();
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

const openFiles = () => readdirSync("/proc/self/fd").length;
const alive = () => Object.values(keptAlive()).reduce((sum, count) => sum + count, 0);

/** Waits in real time while the port's own timers run fast. */
async function meanwhile(met: () => boolean, what: string): Promise<void> {
  const endMs = performance.now() + 5000;
  while (!met()) {
    if (performance.now() > endMs) throw new Error(`waited in vain: ${what}`);
    await vi.advanceTimersByTimeAsync(500);
    await sleep(1);
  }
}

/** What is just being closed may take a moment; a leak stays. */
const nothingLeft = (files: number, running: number) =>
  meanwhile(() => openFiles() <= files && alive() <= running, "as few files and handles as before");

const shared = { name: "tested", talker: "II", send: [], leaveOut: [], backup: false } as const;

describe("a hundred times", () => {
  test.skipIf(noPty)(
    "a serial device in the middle of a sentence: heard again each time, nothing is left over",
    async () => {
      const pty = await openPty();
      cleanUps.push(() => pty.remove());
      const ear = createEar();
      const port = await openSerial(
        { ...shared, kind: "serial", device: pty.device, baud: 38_400 },
        ear.events,
        createJournal().deps,
      );
      cleanUps.push(() => port.close());
      await meanwhile(() => port.stats().state === "up", "up");
      const round = async (n: number) => {
        const line = `$SDDPT,${n}.0,0.4,*00`;
        pty.say("$SDDPT,6.");
        await pty.vanish();
        await meanwhile(() => port.stats().state === "down", `down, round ${n}`);
        port.send("$IIHBT,30,A,0*00", true);
        await pty.comeBack();
        await meanwhile(() => port.stats().state === "up", `up, round ${n}`);
        pty.say(`${line}\r\n`);
        await meanwhile(() => ear.lines.at(-1) === line, `heard, round ${n}`);
      };
      for (let n = 0; n < 5; n++) await round(n);
      const [files, running, bytes] = [openFiles(), alive(), await usedBytes()];
      for (let n = 5; n < 100; n++) await round(n);
      expect(ear.lines).toHaveLength(100); // and no half sentence among them
      expect(port.stats()).toMatchObject({ reconnects: 100, dropped: 100, listenerErrors: 0 });
      await nothingLeft(files, running);
      expect((await usedBytes()) - bytes).toBeLessThan(2_000_000);
    },
  );

  test("a peer that flaps: connected again each time, what was sent meanwhile is counted, nothing is left over", async () => {
    const sockets = new Set<Socket>();
    let heard = "";
    const listen = (at: number) => {
      const server = createServer((socket) => {
        sockets.add(socket);
        socket.on("error", () => {});
        socket.on("data", (bytes) => {
          heard += bytes.toString("latin1");
        });
      });
      return new Promise<typeof server>((resolve) => server.listen(at, "127.0.0.1", () => resolve(server)));
    };
    let server = await listen(0);
    const bound = server.address();
    const at = typeof bound === "object" && bound !== null ? bound.port : 0;
    const ear = createEar();
    const port: OpenPort = await openTcpClient(
      { ...shared, kind: "tcp-client", host: "127.0.0.1", port: at },
      ear.events,
      createJournal().deps,
    );
    cleanUps.push(
      () => port.close(),
      () => server.close(),
    );
    await meanwhile(() => port.stats().state === "up", "up");
    const round = async (n: number) => {
      for (const socket of sockets) socket.destroy();
      sockets.clear();
      await new Promise((resolve) => server.close(resolve));
      await meanwhile(() => port.stats().state === "down", `down, round ${n}`);
      port.send("$IITXT,lost*00", true);
      server = await listen(at);
      await meanwhile(() => port.stats().state === "up", `up, round ${n}`);
      port.send(`$IITXT,${n}*00`, true);
      await meanwhile(() => heard.endsWith(`$IITXT,${n}*00\r\n`), `heard, round ${n}`);
    };
    for (let n = 0; n < 5; n++) await round(n);
    const [files, running, bytes] = [openFiles(), alive(), await usedBytes()];
    for (let n = 5; n < 100; n++) await round(n);
    expect(port.stats()).toMatchObject({ reconnects: 100, dropped: 100, sent: 100 });
    expect(heard).not.toContain("lost");
    expect(ear.states.map(({ up }) => up)).toEqual(Array.from({ length: 201 }, (_, i) => i % 2 === 0));
    expect(openFiles() - files).toBeLessThanOrEqual(1);
    expect(alive() - running).toBeLessThanOrEqual(1);
    expect((await usedBytes()) - bytes).toBeLessThan(2_000_000);
  });
});
