import { createSocket, type Socket } from "node:dgram";
import { afterEach, describe, expect, test } from "vitest";
import { checksumOf, seal } from "../../src/nmea/seal.ts";
import { decode } from "../../src/nmea/table.ts";
import type { OpenPort } from "../../src/ports/port.ts";
import { createTagAccount } from "../../src/ports/tag-account.ts";
import { createTagger, openUdp450 } from "../../src/ports/udp-450.ts";
import { createEar, createJournal, type Ear, type Journal, until } from "./ear.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

const block = (body: string) => `\\${body}*${checksumOf(body)}\\`;

describe("what TAG blocks tell of lost lines", () => {
  const newsOf = (...bodies: string[]) => {
    const account = createTagAccount();
    return bodies.map((body) => account.take(`${block(body)}$X`).missing);
  };

  test.each([
    ["in order", ["s:GP0001,n:1", "s:GP0001,n:2", "s:GP0001,n:3"], [0, 0, 0]],
    ["two missing", ["s:GP0001,n:7", "s:GP0001,n:10"], [0, 2]],
    ["999 is followed by 1, or by 0", ["s:A,n:999", "s:A,n:1", "s:B,n:999", "s:B,n:0"], [0, 0, 0, 0]],
    ["missing at the turn", ["s:A,n:998", "s:A,n:2"], [0, 3]],
    ["each source counts for itself", ["s:A,n:5", "s:B,n:50", "s:A,n:6", "s:B,n:52"], [0, 0, 0, 1]],
    ["a sender that begins anew", ["s:A,n:500", "s:A,n:1"], [0, 0]],
    ["a group, whole", ["g:1-2-7,s:A", "g:2-2-7,s:A", "g:1-2-8,s:A"], [0, 0, 0]],
    ["its first line missing", ["g:2-2-7,s:A"], [1]],
    ["its second line missing", ["g:1-2-7,s:A", "g:1-2-8,s:A"], [0, 1]],
    ["its middle missing", ["g:1-3-7,s:A", "g:3-3-7,s:A"], [0, 1]],
    ["by both, counted once", ["g:1-3-7,s:A,n:1", "g:3-3-7,s:A,n:3"], [0, 1]],
  ])("%s", (_, bodies, missing) => {
    expect(newsOf(...bodies)).toEqual(missing);
  });

  test("what is not as the standard wants it is said", () => {
    const account = createTagAccount();
    expect(account.take("$SDDPT").problem).toMatch(/without a TAG block/);
    expect(account.take("\\s:GP0001*00\\$SDDPT").problem).toMatch(/wrong checksum/);
    expect(account.take(`${block("n:1")}$SDDPT`).problem).toMatch(/without its source/);
    // Published TAG blocks of other senders (libais, gpsd): sound, whatever else they hold.
    expect(account.take("\\g:1-2-73874,n:157036,s:r003669945,c:1241544035*4A\\$X").problem).toBeUndefined();
    expect(account.take("\\s:Satelite_1,c:1553390539*62\\$X").problem).toBeUndefined();
  });
});

test("what we send: source, a count that turns at 999, and groups for what comes in parts", () => {
  const tagged = createTagger("II0001");
  const first = tagged("$IIALF,2,1,3,,B,A,V,RDW,10801,1,1,0,A*00");
  const second = tagged("$IIALF,2,2,3,,,,,RDW,10801,1,1,0,B*00");
  expect([first, second]).toEqual([block("g:1-2-1,s:II0001,n:1"), block("g:2-2-1,s:II0001,n:2")]);
  expect(tagged("$IIALF,1,1,4,,B,A,A,RDW,10801,1,2,0,A*00")).toBe(block("s:II0001,n:3"));
  for (let n = 4; n <= 999; n++) tagged("$IIHBT,30,A,0*00");
  expect(tagged("$IIHBT,30,A,0*00")).toBe(block("s:II0001,n:1"));
});

interface Node {
  port: OpenPort;
  ear: Ear;
  journal: Journal;
  at: number;
}

const GROUP = "239.192.77.17";

async function node(source: string, at: number, sendPort: number | undefined, host = GROUP): Promise<Node> {
  const [ear, journal] = [createEar(), createJournal()];
  const port = await openUdp450(
    {
      name: "net",
      kind: "udp-61162-450",
      talker: "II",
      send: [],
      leaveOut: [],
      backup: false,
      groups: [{ host, port: at }],
      source,
      sendHost: sendPort === undefined ? undefined : host,
      sendPort,
      interfaceHost: "127.0.0.1",
      ttl: 1,
    },
    ear.events,
    journal.deps,
  );
  cleanUps.push(() => port.close());
  await until(() => ear.states.length === 1, "the first outcome");
  return { port, ear, journal, at: Number(port.stats().address?.split(":").at(-1)) };
}

async function sender(): Promise<Socket> {
  const socket = createSocket("udp4");
  await new Promise<void>((resolve) => socket.bind(0, "127.0.0.1", resolve));
  cleanUps.push(() => socket.close());
  return socket;
}

describe("on the network", () => {
  test("two nodes of one group hear each other, whole and in order, and not themselves", async () => {
    const a = await node("II0001", 0, undefined);
    expect(a.ear.states).toMatchObject([{ up: true }]);
    const b = await node("II0002", a.at, a.at);
    b.port.send(seal("IIALF,2,1,3,,B,A,V,RDW,10801,1,1,0,ANCHOR DRAGGING"), true);
    b.port.send(seal("IIALF,2,2,3,,,,,RDW,10801,1,1,0,MOVED 14 M"), true);
    await until(() => a.ear.lines.length === 2, "the pair");
    expect(a.ear.lines[0]).toMatch(/^\\g:1-2-1,s:II0002,n:1\*[0-9A-F]{2}\\\$IIALF,2,1,3,/);
    const pieces = a.ear.lines.flatMap((line) => decode(line, { checksum: "required" }).pieces);
    expect(pieces).toMatchObject([{ kind: "sentence", tag: { source: "II0002" } }, { kind: "sentence" }]);
    expect(a.port.stats()).toMatchObject({ gaps: 0 });
    expect(b.ear.lines).toEqual([]);
  });

  test("the datagram is a header and a line; what has no header is refused and said", async () => {
    const one = await node("II0001", 0, undefined, "127.0.0.1");
    const other = await sender();
    const line = `${block("s:SD0001,n:5")}${seal("SDDPT,6.0,0.4,")}`;
    other.send(`${line}\r\n`, one.at, "127.0.0.1");
    await until(() => one.journal.entries.some(({ text }) => text === "datagram refused"), "the refusal");
    other.send(Buffer.from(`UdPbC\0${line}\r\n`, "latin1"), one.at, "127.0.0.1");
    await until(() => one.ear.lines.length === 1, "the line");
    expect(one.ear.lines).toEqual([line]);
  });

  test("lines that did not come are counted and said; a line without a TAG block is heard and complained of", async () => {
    const one = await node("II0001", 0, undefined, "127.0.0.1");
    const other = await sender();
    const depth = seal("SDDPT,6.0,0.4,");
    const datagram = (...lines: string[]) => Buffer.from(`UdPbC\0${lines.join("\r\n")}\r\n`, "latin1");
    other.send(
      datagram(`${block("s:SD0001,n:5")}${depth}`, `${block("s:SD0001,n:6")}${depth}`),
      one.at,
      "127.0.0.1",
    );
    other.send(datagram(`${block("s:SD0001,n:9")}${depth}`, depth), one.at, "127.0.0.1");
    await until(() => one.ear.lines.length === 4, "four lines");
    expect(one.port.stats().gaps).toBe(2);
    const said = one.journal.entries.filter(({ level }) => level === "warn").map(({ text }) => text);
    expect(said).toEqual(["lines lost on the way", "line not as the standard wants it"]);
  });

  test("what is sent, byte for byte", async () => {
    const listener = await sender();
    const heard: Buffer[] = [];
    listener.on("message", (bytes) => heard.push(bytes));
    const one = await node("II0001", 0, listener.address().port, "127.0.0.1");
    one.port.send("$IIHBT,30,A,0*00", false);
    await until(() => heard.length === 1, "the datagram");
    expect(heard[0]?.toString("latin1")).toBe(`UdPbC\0${block("s:II0001,n:1")}$IIHBT,30,A,0*00\r\n`);
  });
});
