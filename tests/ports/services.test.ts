/** Finding and announcing services, on loopback and a group of our own: the network of this machine is left alone. */
import { createSocket } from "node:dgram";
import fc from "fast-check";
import { afterEach, describe, expect, test } from "vitest";
import { decodeMessage, encodeMessage, label, type Message } from "../../src/ports/dns.ts";
import { announceService, answersTo, recordsOf } from "../../src/ports/service-announce.ts";
import { findServices, SERVICE } from "../../src/ports/service-query.ts";
import { freePort } from "../aboard/boat.ts";
import { until } from "./ear.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

const SERVED = {
  name: "rodeward on Grey Plover",
  host: "plover-rodeward",
  port: 10110,
  addresses: ["127.0.0.1"],
};

describe("messages", () => {
  test("the question for our service, byte for byte (RFC 1035 section 4.1)", () => {
    const bytes = encodeMessage({
      id: 0,
      isResponse: false,
      questions: [{ name: SERVICE, type: "PTR" }],
      records: [],
    });
    const name = "\x0a_nmea-0183\x04_tcp\x05local\x00";
    expect(bytes.toString("latin1")).toBe(`\0\0\0\0\0\x01\0\0\0\0\0\0${name}\0\x0c\0\x01`);
  });

  test("a name that points back to an earlier one is read (RFC 1035 section 4.1.4, with the names of its example)", () => {
    const bytes = Buffer.alloc(120);
    bytes.writeUInt16BE(0x8400, 2);
    bytes.writeUInt16BE(2, 6);
    const record = (at: number, name: string, target: string): number => {
      const head = Buffer.from(name, "latin1");
      const data = Buffer.from(target, "latin1");
      head.copy(bytes, at);
      Buffer.from([0, 12, 0, 1, 0, 0, 0, 9, 0, data.length]).copy(bytes, at + head.length);
      data.copy(bytes, at + head.length + 10);
      return at + head.length + 10 + data.length;
    };
    const next = record(12, "\x01F\x03ISI\x04ARPA\0", "\xc0\x12");
    record(next, "\x03FOO\xc0\x0c", "\xc0\x0e");
    expect(decodeMessage(bytes)?.records).toEqual([
      { name: "F.ISI.ARPA", ttlS: 9, type: "PTR", target: "ARPA" },
      { name: "FOO.F.ISI.ARPA", ttlS: 9, type: "PTR", target: "ISI.ARPA" },
    ]);
  });

  test("what is written is read again", () => {
    const records = [
      ...recordsOf({ ...SERVED, name: "Joe's boat, no. 1.5 \\ é" }),
      { name: "a.local", ttlS: 120, type: "AAAA" as const, address: "fe80::fc:ff:fe00:1" },
      { name: "b.local", ttlS: 120, type: "AAAA" as const, address: "::1" },
      { name: "c.local", ttlS: 0, type: "TXT" as const, texts: ["a=1", "b"] },
    ];
    const message: Message = {
      id: 7,
      isResponse: true,
      questions: [{ name: SERVICE, type: "PTR" }],
      records,
    };
    const again = decodeMessage(encodeMessage(message));
    const told = records.map((one) =>
      one.type === "TXT" && one.texts.length === 0 ? { ...one, texts: [""] } : one,
    );
    expect(again).toEqual({ ...message, records: told });
  });

  test("no bytes make it throw or run on: circles, short ends, noise", () => {
    const whole = encodeMessage({ id: 1, isResponse: true, questions: [], records: recordsOf(SERVED) });
    const circle = Buffer.concat([
      Buffer.from([0, 0, 0x84, 0, 0, 0, 0, 1, 0, 0, 0, 0]),
      Buffer.from([0xc0, 12]),
    ]);
    expect(decodeMessage(circle)).toBeUndefined();
    fc.assert(
      fc.property(fc.nat(whole.length - 1), fc.nat(255), fc.nat(whole.length), (at, value, length) => {
        const bytes = Buffer.from(whole);
        bytes[at] = value;
        decodeMessage(bytes.subarray(0, length));
      }),
      { numRuns: 2000 },
    );
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => void decodeMessage(Buffer.from(bytes))),
    );
  });
});

test("asked for the service, all that goes with it is told at once; asked for something else, nothing", () => {
  const records = recordsOf(SERVED);
  const types = (name: string, type: "PTR" | "ANY" | "A" | "SRV") =>
    answersTo([{ name, type }], records).map((record) => record.type);
  expect(types(SERVICE, "PTR")).toEqual(["PTR", "SRV", "TXT", "A"]);
  expect(types("_NMEA-0183._TCP.local", "ANY")).toEqual(["PTR", "SRV", "TXT", "A"]);
  expect(types("_services._dns-sd._udp.local", "PTR")).toEqual(["PTR"]);
  expect(types("plover-rodeward.local", "A")).toEqual(["A"]);
  expect(types("_ipp._tcp.local", "PTR")).toEqual([]);
});

describe("on the network", () => {
  const from = ["127.0.0.1"];

  test("what is announced is found, with its name, place and address; and not once it has gone", async () => {
    const place = { host: "239.192.77.251", port: await freePort(), from };
    const failures: string[] = [];
    const one = await announceService(SERVED, (why) => failures.push(why), place);
    const other = await announceService(
      { ...SERVED, name: "Second. boat", host: "b", port: 2000 },
      () => {},
      place,
    );
    await Promise.all([one.ready, other.ready]);
    const found = await findServices(300, place);
    expect(failures).toEqual([]);
    expect(found.sort((a, b) => (a.name < b.name ? 1 : -1))).toEqual([
      { name: SERVED.name, host: "plover-rodeward.local", port: 10110, addresses: ["127.0.0.1"] },
      { name: "Second. boat", host: "b.local", port: 2000, addresses: ["127.0.0.1"] },
    ]);
    await one.close();
    await other.close();
    expect(await findServices(150, place)).toEqual([]);
  });

  test("it is said on start, again a second later, and taken back at the end, to whoever listens", async () => {
    const place = { host: "239.192.77.252", port: await freePort(), from };
    const heard: Message[] = [];
    const ear = createSocket({ type: "udp4", reuseAddr: true });
    cleanUps.push(() => ear.close());
    ear.on("message", (bytes) => {
      const message = decodeMessage(bytes);
      if (message?.isResponse === true) heard.push(message);
    });
    await new Promise<void>((resolve) => ear.bind(place.port, resolve));
    ear.addMembership(place.host, "127.0.0.1");
    const one = await announceService(SERVED, () => {}, place);
    await until(() => heard.length === 2, "both tellings");
    await one.close();
    await until(() => heard.length === 3, "the goodbye");
    expect(heard[1]?.records).toHaveLength(5);
    expect(heard[2]?.records.every(({ ttlS }) => ttlS === 0)).toBe(true);
  });

  test("a name that another has is left to him: asked for first, and another one taken", async () => {
    const place = { host: "239.192.77.250", port: await freePort(), from };
    const first = await announceService(SERVED, () => {}, place);
    await first.ready;
    const second = await announceService({ ...SERVED, port: 10111 }, () => {}, place);
    expect(await second.ready).toBe(`${SERVED.name} (2)`);
    expect((await findServices(300, place)).map(({ name, port }) => `${name} ${port}`).sort()).toEqual([
      `${SERVED.name} (2) 10111`,
      `${SERVED.name} 10110`,
    ]);
    await Promise.all([first.close(), second.close()]);
  });

  test("two that begin at the same instant end with two names", async () => {
    const place = { host: "239.192.77.249", port: await freePort(), from };
    const both = await Promise.all(
      [10110, 10111].map((port) => announceService({ ...SERVED, port }, () => {}, place)),
    );
    const names = await Promise.all(both.map((one) => one.ready));
    expect(new Set(names).size).toBe(2);
    // RFC 6762 section 8.2: the later data win, so the higher port keeps the name.
    expect(names).toEqual([`${SERVED.name} (2)`, SERVED.name]);
    await Promise.all(both.map((one) => one.close()));
  });

  test("a name that somebody claims later all the same is asked for anew, and given up where he insists", async () => {
    const place = { host: "239.192.77.248", port: await freePort(), from };
    const one = await announceService(SERVED, () => {}, place);
    await one.ready;
    const claim = recordsOf({ ...SERVED, port: 4711 }).filter(({ type }) => type === "SRV");
    const rival = createSocket({ type: "udp4", reuseAddr: true });
    cleanUps.push(() => rival.close());
    await new Promise<void>((resolve) => rival.bind(place.port, resolve));
    rival.addMembership(place.host, "127.0.0.1");
    rival.setMulticastInterface("127.0.0.1");
    const insist = () =>
      rival.send(
        encodeMessage({ id: 0, isResponse: true, questions: [], records: claim }),
        place.port,
        place.host,
      );
    rival.on("message", (bytes) => {
      const asked = decodeMessage(bytes);
      if (asked?.isResponse === false && asked.questions.some(({ name }) => name === claim[0]?.name))
        insist();
    });
    insist();
    let names: string[] = [];
    for (let n = 0; n < 30 && names[0] !== `${SERVED.name} (2)`; n++)
      names = (await findServices(90, place)).map(({ name }) => name);
    expect(names).toEqual([`${SERVED.name} (2)`]);
    await one.close();
  });

  test("ended while it still asks: at once, and nothing was told", async () => {
    const place = { host: "239.192.77.247", port: await freePort(), from };
    const one = await announceService(SERVED, () => {}, place);
    const begunMs = performance.now();
    await one.close();
    expect(performance.now() - begunMs).toBeLessThan(200);
    expect(await findServices(60, place)).toEqual([]);
  });

  test("an owner that tells no more than the name is asked for the rest; one that never tells is listed without", async () => {
    const socket = createSocket("udp4");
    await new Promise<void>((resolve) => socket.bind(0, "127.0.0.1", resolve));
    cleanUps.push(() => socket.close());
    const records = recordsOf(SERVED);
    const mute = `${label("mute")}.${SERVICE}`;
    socket.on("message", (bytes, asker) => {
      const message = decodeMessage(bytes);
      for (const question of message?.questions ?? []) {
        const told = records.filter((one) => one.name === question.name && one.type === question.type);
        if (question.name === SERVICE) told.push({ name: SERVICE, ttlS: 9, type: "PTR", target: mute });
        const answer = encodeMessage({ id: 0, isResponse: true, questions: [], records: told });
        socket.send(answer, asker.port, asker.address);
      }
    });
    const found = await findServices(300, { host: "127.0.0.1", port: socket.address().port, from });
    expect(found).toEqual([
      { name: SERVED.name, host: "plover-rodeward.local", port: 10110, addresses: ["127.0.0.1"] },
      { name: "mute", host: undefined, port: undefined, addresses: [] },
    ]);
  });

  test("a network that cannot be used is said, and keeps nothing from starting or ending", async () => {
    const failures: string[] = [];
    const place = { host: "239.192.77.253", port: await freePort(), from: ["192.0.2.77"] };
    const one = await announceService(SERVED, (why) => failures.push(why), place);
    expect(failures).toHaveLength(1);
    expect(failures[0]).toMatch(/^cannot announce on 192\.0\.2\.77: /);
    await one.close();
    expect(await findServices(30, place)).toEqual([]);
  });
});
