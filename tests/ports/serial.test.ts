import { pbkdf2 } from "node:crypto";
import { afterEach, describe, expect, test } from "vitest";
import { lineTimeMs } from "../../src/ports/line-budget.ts";
import type { OpenPort } from "../../src/ports/port.ts";
import { openSerial } from "../../src/ports/serial.ts";
import { createEar, createJournal, type Ear, until, watchTimers } from "./ear.ts";
import { noPty, openPty, type Pty } from "./pty.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

async function openOn(device: string, baud = 4800): Promise<{ port: OpenPort; ear: Ear }> {
  const ear = createEar();
  const port = await openSerial(
    {
      name: "bus",
      kind: "serial",
      device,
      baud,
      talker: "II",
      leaveOut: [],
      backup: false,
      send: ["alerts"],
    },
    ear.events,
    createJournal().deps,
  );
  cleanUps.push(() => port.close());
  await until(() => ear.states.length === 1, "the first outcome");
  return { port, ear };
}

async function plugIn(): Promise<Pty> {
  const pty = await openPty();
  cleanUps.push(() => pty.remove());
  return pty;
}

const heardText = (pty: Pty) => pty.heard.map((h) => h.text).join("");

describe.skipIf(noPty)("serial, on a pseudo-terminal", () => {
  test("lines in, sentences out with CR LF, bytes unchanged", async () => {
    const pty = await plugIn();
    const { port, ear } = await openOn(pty.device);
    pty.say(Buffer.from([0x24, 0x80, 0xff, 0x11, 0x13, 0x03, 0x0d, 0x0a]));
    pty.say("$SDD");
    pty.say("PT,6.3,0.5*7B\r\n");
    port.send("$IIHBT,30,A,0*00", false);
    await until(
      () => ear.lines.length === 2 && heardText(pty).endsWith("\r\n") && port.stats().sent > 0,
      "lines both ways",
    );
    expect(ear.states).toEqual([{ up: true, why: `${pty.device} at 4800 baud` }]);
    expect(ear.lines).toEqual(["$\x80\xff\x11\x13\x03", "$SDDPT,6.3,0.5*7B"]);
    expect(heardText(pty)).toBe("$IIHBT,30,A,0*00\r\n");
    expect(port.stats()).toMatchObject({ state: "up", sent: 1, dropped: 0 });
  });

  test("absent, then plugged in", async () => {
    const pty = await plugIn();
    await pty.vanish();
    const { port, ear } = await openOn(pty.device);
    expect(ear.states).toEqual([
      { up: false, why: `no such device ${pty.device}; \`rodeward ports\` lists what there is` },
    ]);
    port.send("$IIHBT,30,A,0*00", false);
    await pty.comeBack();
    await until(() => ear.states.length === 2, "up");
    expect(port.stats()).toMatchObject({ state: "up", reconnects: 0, dropped: 1 });
  });

  test("what is no serial line is said so", async () => {
    const { ear } = await openOn("/dev/null");
    expect(ear.states[0]?.why).toBe("/dev/null is no serial device; `rodeward ports` lists what there is");
  });

  test("a second user of the device is told that it is in use", async () => {
    const pty = await plugIn();
    await openOn(pty.device);
    const second = await openOn(pty.device);
    expect(second.ear.states).toEqual([{ up: false, why: `${pty.device} is in use by another program` }]);
  });

  test("vanishing in the middle of a sentence, and coming back", async () => {
    const pty = await plugIn();
    const { port, ear } = await openOn(pty.device);
    pty.say("$SDDPT,7.1,0.5\r\n$SDDPT,12");
    await until(() => ear.lines.length === 1, "the first line");
    await new Promise((resolve) => setTimeout(resolve, 20));
    await pty.vanish();
    await until(() => ear.states.length === 2, "down");
    await pty.comeBack();
    await until(() => ear.states.length === 3, "up again");
    pty.say(".5,0.5\r\n");
    await until(() => ear.lines.length === 2, "the next line");
    expect(ear.states.map((s) => s.up)).toEqual([true, false, true]);
    // Neither "12" nor "12.5" glued over the gap.
    expect(ear.lines).toEqual(["$SDDPT,7.1,0.5", ".5,0.5"]);
    expect(port.stats()).toMatchObject({ reconnects: 1, overrunBytes: 9 });
  });

  test("vanishing under full input is seen every time, within two seconds", async () => {
    // A read of a line that hung up gives 0 bytes without an error, depending on the instant: hence several.
    const ptys = await Promise.all(Array.from({ length: 5 }, plugIn));
    const opened = await Promise.all(ptys.map((p) => openOn(p.device, 115_200)));
    const flood = setInterval(() => {
      for (const p of ptys) p.say("$GPGLL,5045.61,N,00118.23,W*00\r\n".repeat(200));
    }, 1);
    cleanUps.push(() => clearInterval(flood));
    await until(() => opened.every((o) => o.ear.lines.length > 2000), "full input");
    await Promise.all(ptys.map((p) => p.vanish()));
    await until(() => opened.every((o) => o.ear.states.some((s) => !s.up)), "all five down", 2000);
  });

  test("vanishing before its speed was first told is seen as well", async () => {
    for (let n = 0; n < 20; n++) {
      const pty = await plugIn();
      const { port } = await openOn(pty.device);
      // They fill the pool in which the first question waits.
      for (let job = 0; job < n; job++) pbkdf2("salt", "sea", 20_000, 32, "sha256", () => {});
      await pty.vanish();
      await until(() => port.stats().state === "down", `down, round ${n}`, 2500);
    }
  });

  test("a paced line at 4800 baud: nothing early, and an urgent sentence is next after the one being sent", async () => {
    const pty = await plugIn();
    const { port } = await openOn(pty.device);
    const full = (n: number) => `$IITXT,${n}`.padEnd(80, ".");
    for (let n = 0; n < 4; n++) port.send(full(n), false);
    await new Promise((resolve) => setTimeout(resolve, 60));
    port.send("$IIALR,123519.00,801,A,V,ANCHOR DRAGGING*00", true);
    await until(() => port.stats().sent === 5 && heardText(pty).includes(full(3)), "all five");
    expect(heardText(pty).split("\r\n").slice(0, -1)).toEqual([
      full(0),
      "$IIALR,123519.00,801,A,V,ANCHOR DRAGGING*00",
      full(1),
      full(2),
      full(3),
    ]);
    const tookMs = (pty.heard.at(-1)?.atMs ?? 0) - (pty.heard[0]?.atMs ?? 0);
    const lineMs =
      3 * lineTimeMs(full(0), 4800) + lineTimeMs("$IIALR,123519.00,801,A,V,ANCHOR DRAGGING*00", 4800);
    expect(tookMs).toBeGreaterThan(lineMs - 20);
    expect(tookMs).toBeLessThan(lineMs * 1.25);
  });

  test("a line that takes nothing: input goes on, output is bounded and counted, closing is quick", async () => {
    const pty = await plugIn();
    const { port, ear } = await openOn(pty.device, 4_000_000);
    pty.say("$BEFORE*00\r\n");
    await until(() => ear.lines.length === 1, "input");
    pty.hold(true);
    for (let n = 0; n < 400; n++) {
      port.send(`$IITXT,${n}`.padEnd(80, "."), false);
      if (n % 10 === 0) await new Promise((resolve) => setTimeout(resolve, 2));
    }
    await until(() => port.stats().dropped > 0, "drops");
    const startMs = performance.now();
    await port.close();
    expect(performance.now() - startMs).toBeLessThan(200);
    pty.hold(false);
  });

  test("closes within 200 ms, connected or waiting, and leaves no timer", async () => {
    const pty = await plugIn();
    const timers = watchTimers();
    cleanUps.push(timers.stop);
    const connected = await openOn(pty.device);
    const waiting = await openOn(`${pty.device}-absent`);
    connected.port.send("x".repeat(80), false);
    connected.port.send("y".repeat(80), false);
    expect(timers.pending()).toBeGreaterThanOrEqual(3); // the line, the device watched, the next try
    const startMs = performance.now();
    await Promise.all([connected.port.close(), waiting.port.close()]);
    expect(performance.now() - startMs).toBeLessThan(200);
    await until(() => timers.pending() === 0, "no timer left", 50);
    await pty.vanish();
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(connected.ear.states).toHaveLength(1);
  });
});
