/** A serial line that others' sentences fill without end, and an alarm on it; every arrival is stamped. */
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, expect, test } from "vitest";
import { until } from "../ports/ear.ts";
import { noPty, openPty } from "../ports/pty.ts";
import { joined, putToSea, recorder } from "./boat.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

const server = (name: string, more: string) =>
  `[[port]]\nname = "${name}"\nkind = "tcp-server"\nlisten = "127.0.0.1:0"\n${more}\n`;

test.skipIf(noPty)(
  "the alarm is next after the sentence being sent, at 4800 baud, and what gave way is counted",
  { timeout: 30_000 },
  async () => {
    const pty = await openPty();
    cleanUps.push(() => pty.remove());
    const boat = await putToSea(
      server("bus", 'clock = "tag"\noperator = true') +
        server("ais", "") +
        server("displays", 'send = ["alerts"]') +
        `[[port]]\nname = "wire"\nkind = "serial"\ndevice = "${pty.device}"\nbaud = 4800\nsend = ["alerts", "anchor", "rode"]\nforward_from = ["ais"]\n`,
    );
    cleanUps.push(() => boat.stop());
    const [bus, ais, display] = await Promise.all(
      ["bus", "ais", "displays"].map((name) => joined(boat.daemon, name)),
    );
    if (bus === undefined || ais === undefined || display === undefined) throw new Error("no clients");
    cleanUps.push(
      ...[bus, ais, display].map(
        ({ socket }) =>
          () =>
            socket.destroy(),
      ),
    );
    await until(() => boat.daemon.core().watch.facts["port-down"] === undefined, "the line up", 5000);
    // Ten times what the line can carry, no two on the same matter.
    let n = 0;
    const ships = setInterval(() => {
      for (let k = 0; k < 8; k++)
        ais.say(`SDTLL,${n % 100},5045.6120,N,00118.2340,W,SHIP ${n++},120000.00,T,`);
    }, 100);
    cleanUps.push(() => clearInterval(ships));
    await sleep(1500);
    let alarmOutMs = Number.POSITIVE_INFINITY;
    display.socket.on("data", () => {
      if (display.lines().some((line) => /^\$IIALR,[^,]*,806,A,V,/.test(line)))
        alarmOutMs = Math.min(alarmOutMs, performance.now());
    });
    recorder(bus).seconds(8, "SDDPT,1.2,0.4,");
    const isAlarm = (text: string) => /\$IIALR,[^,]*,806,A,V,/.test(text);
    await until(() => pty.heard.some(({ text }) => isAlarm(text)), "the alarm on the line", 10_000);
    clearInterval(ships);
    const at = pty.heard.findIndex(({ text }) => isAlarm(text));
    const alarm = pty.heard[at];
    // Written when the line was free again: the one sentence before it had been begun when the alarm was made.
    const between = pty.heard.slice(0, at).filter(({ atMs }) => atMs > alarmOutMs + 5);
    expect(between).toEqual([]);
    // A whole sentence at 4800 baud is 171 ms; the rest is this machine's.
    expect((alarm?.atMs ?? 0) - alarmOutMs).toBeLessThan(171 + 100);
    const wire = await (await fetch(`${boat.daemon.pageUrl}/api/state`)).json();
    const shown = wire.ports.find(({ name }: { name: string }) => name === "wire");
    expect(shown.sent).toBeGreaterThan(5);
    expect(shown.dropped).toBeGreaterThan(5);
  },
);
