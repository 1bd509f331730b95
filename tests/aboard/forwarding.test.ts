import { connect } from "node:net";
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { until } from "../ports/ear.ts";
import { anchored, type Boat, clientOf, freePort, joined, putToSea } from "./boat.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

async function boat(toml: string): Promise<Boat> {
  const one = await putToSea(toml);
  cleanUps.push(() => one.stop());
  return one;
}

const port = (name: string, more: string) =>
  `[[port]]\nname = "${name}"\nkind = "tcp-server"\nlisten = "127.0.0.1:0"\n${more}\n`;

test("one receiver feeds every display, with what is ours among it", async () => {
  const one = await boat(
    port("bus", "operator = true") +
      port("displays", 'send = ["alerts", "anchor", "rode"]\nforward_from = ["bus"]\nforward_not = ["VTG"]'),
  );
  const bus = await joined(one.daemon, "bus");
  const display = await joined(one.daemon, "displays");
  cleanUps.push(
    () => bus.socket.destroy(),
    () => display.socket.destroy(),
  );
  await anchored(one, bus);
  bus.say("GPVTG,100,T,,M,0.1,N,0.2,K,A", "SDDPT,6.5,0.4,");
  await until(() => display.lines().includes(seal("SDDPT,6.5,0.4,")), "the depth passed on");
  await until(() => display.lines().some((line) => line.startsWith("$IIWPL,")), "the anchor");
  expect(display.lines().filter((line) => /VTG|PRDW/.test(line))).toEqual([]);
  expect(bus.lines().filter((line) => !line.startsWith("$PRDW"))).toEqual([]);
  const metrics = await (await fetch(`${one.daemon.pageUrl}/metrics`)).text();
  const passed = Number(/^rodeward_forwarded_total\{outcome="passed"\} (\d+)$/m.exec(metrics)?.[1]);
  expect(passed).toBe(display.lines().filter((line) => /^\$(?:GP|SD)/.test(line)).length);
  for (const outcome of ["echoes", "duplicates", "thinned"])
    expect(metrics).toMatch(new RegExp(`^rodeward_forwarded_total\\{outcome="${outcome}"\\} \\d+$`, "m"));
});

test("what comes back from a display that repeats everything is not taken in", async () => {
  const one = await boat(
    port("bus", "operator = true") + port("displays", 'send = ["alerts", "anchor"]\nforward_from = ["bus"]'),
  );
  const bus = await joined(one.daemon, "bus");
  const parrot = await joined(one.daemon, "displays");
  cleanUps.push(
    () => bus.socket.destroy(),
    () => parrot.socket.destroy(),
  );
  parrot.socket.on("data", (bytes) => parrot.socket.write(bytes));
  await anchored(one, bus);
  for (let n = 0; n < 20; n++) {
    bus.say(`SDDPT,${6 + n / 10},0.4,`);
    await sleep(20);
  }
  await until(() => parrot.lines().length >= 20, "sentences at the display");
  await sleep(1200);
  const { counts, last } = one.daemon.core();
  expect(counts.displays).toBeUndefined();
  expect(last.picture.depth?.source).toBe("bus/SD");
});

test("two gateways wired in a ring by two wires do not storm", async () => {
  const [atA, atB] = [await freePort(), await freePort()];
  const gateway = (own: number, other: number) =>
    port("bus", "operator = true") +
    port("out", `send = ["alerts", "anchor"]\nforward_from = ["bus", "in"]`).replace(":0", `:${own}`) +
    `[[port]]\nname = "in"\nkind = "tcp-client"\naddress = "127.0.0.1:${other}"\n` +
    // What comes from the other goes back to it as well: the worst wiring there is.
    `send = ["alerts"]\nforward_from = ["bus", "out"]\n`;
  const a = await boat(gateway(atA, atB));
  const b = await boat(gateway(atB, atA));
  const spy = clientOf(connect({ host: "127.0.0.1", port: atA }));
  const busA = await joined(a.daemon, "bus");
  const busB = await joined(b.daemon, "bus");
  cleanUps.push(
    () => spy.socket.destroy(),
    () => busA.socket.destroy(),
    () => busB.socket.destroy(),
  );
  const isUp = (one: Boat) => one.daemon.core().watch.facts["port-down"] === undefined;
  await until(() => isUp(a) && isUp(b), "both connected", 10_000);
  for (let n = 0; n < 100; n++) {
    busA.say(`SDDPT,${n}.0,0.4,`);
    busB.say(`HCHDT,${n}.0,T`);
    await sleep(10);
  }
  await sleep(1500);
  const heardBy = (start: string) => spy.lines().filter((line) => line.startsWith(start)).length;
  // Each once, however often it went round: no more than it was said.
  expect(heardBy("$SDDPT")).toBe(100);
  expect(heardBy("$HCHDT")).toBe(100);
  const before = spy.lines().length;
  await sleep(1000);
  expect(spy.lines().length - before).toBeLessThan(10);
});

test("a ring that somebody has wired is found by our own sentences in it, closed, and said", async () => {
  const one = await boat(
    port("bus", "operator = true") +
      port("displays", 'send = ["alerts", "anchor"]\nforward_from = ["bus"]') +
      port("second", "operator = true"),
  );
  const bus = await joined(one.daemon, "bus");
  const gateway = await joined(one.daemon, "displays");
  const second = await joined(one.daemon, "second");
  for (const { socket } of [bus, gateway, second]) cleanUps.push(() => socket.destroy());
  gateway.socket.on("data", (bytes) => bus.socket.write(bytes));
  await anchored(one, bus);
  const alert = () => one.daemon.core().alerts.active["port-down"];
  await until(() => alert()?.text.includes("displays ring") === true, "the ring said", 20_000);
  expect(alert()?.text).toBe("displays ring: comes back on bus");
  const before = gateway.lines().length;
  bus.say("SDDPT,7.7,0.4,");
  await sleep(200);
  expect(
    gateway
      .lines()
      .slice(before)
      .filter((line) => line.includes("SDDPT,7.7")),
  ).toEqual([]);
  // And the same order from two sides is one; from a side that may not order it does not count.
  const order = "PRDW,PLACE,180,T,20,M";
  const anchorLat = () => one.daemon.core().watch.stay.anchor?.position.latDeg ?? 0;
  const latDeg = anchorLat();
  gateway.say(order);
  await sleep(100);
  bus.say(order);
  second.say(order);
  await until(() => anchorLat() < latDeg, "the anchor moved");
  await sleep(200);
  expect((latDeg - anchorLat()) * 111_200).toBeCloseTo(20, 0);
});
