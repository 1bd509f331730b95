import { describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { createEchoes, OWN, WINDOW_MS } from "../../src/ports/echoes.ts";
import { createForwarding, type ForwardPlan } from "../../src/ports/forwarding.ts";
import { RING_MS } from "../../src/ports/rings.ts";
import { createSecondHand, SECOND_HAND_MS } from "../../src/ports/second-hand.ts";

const plan = (over: Partial<ForwardPlan> = {}): ForwardPlan => ({
  to: "displays",
  from: ["bus"],
  only: [],
  not: [],
  everyMs: undefined,
  ...over,
});

function forwarding(plans: ForwardPlan[], optional: string[] = []) {
  const out: string[] = [];
  const rings: string[] = [];
  const made = createForwarding({
    plans,
    checksumOptional: new Set(optional),
    send: (to, text) => void out.push(`${to} ${text}`),
    ring: (to, from, closed) => void rings.push(`${to} ${from} ${closed ? "closed" : "open"}`),
  });
  return { made, out, rings };
}

const DEPTH = seal("SDDPT,6.0,0.4,");
const FIX = seal("GPRMC,120000,A,5045.6120,N,00118.2340,W,0.1,,150626,,,A");

describe("what is passed on", () => {
  test("sound sentences of the ports named, each once for every port that wants it", () => {
    const { made, out } = forwarding([plan(), plan({ to: "air", from: ["bus", "net"] })]);
    made.pass(DEPTH, "bus", 0);
    made.pass(FIX, "net", 0);
    made.pass(seal("HCHDT,100.0,T"), "elsewhere", 0);
    expect(out).toEqual([`displays ${DEPTH}`, `air ${DEPTH}`, `air ${FIX}`]);
  });

  test("never a broken frame; glued and tagged ones apart, without their TAG blocks", () => {
    const { made, out } = forwarding([plan()]);
    made.pass("$SDDPT,6.0,0.4,*00", "bus", 0);
    made.pass("$SDDPT,6.0,0.4,", "bus", 0);
    made.pass("noise", "bus", 0);
    expect(out).toEqual([]);
    made.pass(`\\c:1781526919,s:rodeward*2F\\${FIX}${DEPTH}`, "bus", 0);
    expect(out).toEqual([`displays ${FIX}`, `displays ${DEPTH}`]);
  });

  test("without a checksum only where the port may, and then with one", () => {
    const { made, out } = forwarding([plan()], ["bus"]);
    made.pass("$SDDPT,6.0,0.4,", "bus", 0);
    expect(out).toEqual([`displays ${DEPTH}`]);
  });

  test("other ships keep their mark, our own orders are never passed on", () => {
    const { made, out } = forwarding([plan()]);
    const ship = "!AIVDM,1,1,,A,14eG;o@034o8sd<L9i:a;WF>062D,0*7D"; // checksum as published with it
    made.pass(ship, "bus", 0);
    made.pass(seal("PRDW,AWEIGH"), "bus", 0);
    expect(out).toEqual([`displays ${ship}`]);
  });

  test.each([
    [["RMC"], [], ["GPRMC,1", "GNRMC,1"]],
    [["GP"], [], ["GPRMC,1", "GPVTG,1"]],
    [["GNRMC", "SD"], [], ["GNRMC,1", "SDDPT,1"]],
    [[], ["GP", "DPT"], ["GNRMC,1", "PGRME,1"]],
    [["PGRM"], [], ["PGRME,1"]],
    [["PG"], [], ["PGRME,1"]],
    [["GP"], ["VTG"], ["GPRMC,1"]],
  ])("only %j, not %j", (only, not, passed) => {
    const { made, out } = forwarding([plan({ only, not })]);
    for (const body of ["GPRMC,1", "GNRMC,1", "GPVTG,1", "SDDPT,1", "PGRME,1"])
      made.pass(seal(body), "bus", 0);
    expect(out).toEqual(passed.map((body) => `displays ${seal(body)}`));
  });

  test("decimate: one of a kind in the time, each kind by itself, a tenth early is in time", () => {
    const { made, out } = forwarding([plan({ everyMs: 1000 })]);
    for (let ms = 0; ms < 5000; ms += 100) made.pass(seal(`HCHDT,${ms / 100}.0,T`), "bus", ms);
    const headings = out.length;
    expect(headings).toBeGreaterThanOrEqual(5);
    expect(headings).toBeLessThanOrEqual(6);
    // A 1 Hz receiver that is 60 ms early every other second loses nothing.
    for (let n = 0; n < 5; n++) made.pass(seal(`GPVTG,${n}`), "bus", 10_000 + 1000 * n - (n % 2) * 60);
    expect(out.length - headings).toBe(5);
    expect(made.counts().thinned).toBe(50 - headings);
  });

  test("decimate leaves ships and satellites alone: they come in parts", () => {
    const { made, out } = forwarding([plan({ everyMs: 60_000 })]);
    for (let n = 1; n <= 4; n++) made.pass(seal(`GPGSV,4,${n},16`), "bus", n);
    expect(out).toHaveLength(4);
  });
});

describe("loops and duplicates", () => {
  test("what we sent ourselves is an echo on any port, within the window", () => {
    const { made } = forwarding([]);
    made.sent(seal("IIWPL,5045.6310,N,00118.2090,W,ANCHOR"), "displays", 1000);
    const back = seal("IIWPL,5045.6310,N,00118.2090,W,ANCHOR");
    expect(made.isEcho(back, "bus", 1500)).toBe(true);
    expect(made.isEcho(`\\s:other*${"00"}\\${back}`, "bus", 1500)).toBe(true);
    expect(made.isEcho(back, "net", 1000 + WINDOW_MS)).toBe(true);
    expect(made.isEcho(back, "bus", 1001 + WINDOW_MS)).toBe(false);
    expect(made.isEcho(DEPTH, "bus", 1500)).toBe(false);
    // A line with anything else in it is heard.
    expect(made.isEcho(back + DEPTH, "bus", 1500)).toBe(false);
  });

  test("a steady value is heard each second from where it comes, and is an echo from elsewhere", () => {
    const { made, out } = forwarding([plan({ to: "net" }), plan({ to: "bus", from: ["net"] })]);
    for (let second = 0; second < 30; second++) {
      expect(made.isEcho(DEPTH, "bus", 1000 * second)).toBe(false);
      made.pass(DEPTH, "bus", 1000 * second);
      expect(made.isEcho(DEPTH, "net", 1000 * second + 40)).toBe(true);
    }
    expect(out).toEqual(Array.from({ length: 30 }, () => `net ${DEPTH}`));
  });

  test("by two paths: once, from whichever came first; after the window the other path serves", () => {
    const { made, out } = forwarding([plan({ from: ["bus", "net"] })]);
    made.pass(DEPTH, "bus", 0);
    made.pass(DEPTH, "net", 30);
    expect(out).toHaveLength(1);
    expect(made.counts().duplicates).toBe(1);
    made.pass(DEPTH, "net", WINDOW_MS + 31);
    expect(out).toHaveLength(2);
  });

  test("an acknowledgement with the same text from another display is meant", () => {
    const { made } = forwarding([plan({ to: "net", from: ["bus"] })]);
    const ack = seal("IIACK,801");
    made.pass(ack, "bus", 0);
    expect(made.isEcho(ack, "net", 10)).toBe(false);
    const order = seal("PRDW,BROUGHTUP");
    made.sent(order, "net", 0);
    expect(made.isEcho(order, "net", 10)).toBe(false);
    const answer = seal("PRDW,ACK,BROUGHTUP");
    made.sent(answer, "net", 0);
    expect(made.isEcho(answer, "net", 10)).toBe(true);
  });

  test("the same again within a tenth of a second is a ring's storm, not a sender", () => {
    const { made, out } = forwarding([plan()]);
    for (let ms = 0; ms < 1000; ms += 10) made.pass(DEPTH, "bus", ms);
    expect(out.length).toBeLessThanOrEqual(12);
    // Ten times a second is a fast sender's rate.
    out.length = 0;
    for (let ms = 2000; ms < 3000; ms += 100) made.pass(DEPTH, "bus", ms);
    expect(out).toHaveLength(10);
  });

  test("an acknowledgement goes on once in the window: in a ring it would still alarms to come", () => {
    const { made, out } = forwarding([plan()]);
    for (const ms of [0, 400, 4000, WINDOW_MS - 1]) made.pass(seal("IIACK,801"), "bus", ms);
    expect(out).toHaveLength(1);
    made.pass(seal("IIACK,801"), "bus", WINDOW_MS + 1);
    expect(out).toHaveLength(2);
  });

  test("memory is bounded by time and by number", () => {
    const echoes = createEchoes();
    for (let n = 0; n < 50_000; n++) echoes.note(`SDDPT,${n}`, OWN, true, 0);
    expect(echoes.kept()).toBeLessThan(33_100);
    for (let n = 0; n < 300; n++) echoes.note(`SDDPT,${n}`, OWN, true, WINDOW_MS + 1);
    expect(echoes.kept()).toBe(300);
  });
});

describe("a ring of gateways", () => {
  const ANCHOR = seal("IIWPL,5045.6310,N,00118.2090,W,ANCHOR");

  test("what went out on displays alone and comes back on the bus closes that way for ten minutes", () => {
    const { made, out, rings } = forwarding([plan(), plan({ to: "air", from: ["bus"] })]);
    made.sent(ANCHOR, "displays", 0);
    expect(made.isEcho(ANCHOR, "bus", 50)).toBe(true);
    expect(rings).toEqual(["displays bus closed"]);
    made.pass(DEPTH, "bus", 100);
    expect(out).toEqual([`air ${DEPTH}`]);
    made.pass(FIX, "bus", 50 + RING_MS);
    expect(rings).toEqual(["displays bus closed", "displays bus open"]);
    expect(out.slice(1)).toEqual([`displays ${FIX}`, `air ${FIX}`]);
  });

  test("one that goes on coming back keeps it closed", () => {
    const { made, rings } = forwarding([plan()]);
    for (const atMs of [0, RING_MS / 2]) {
      made.sent(ANCHOR, "displays", atMs);
      made.isEcho(ANCHOR, "bus", atMs + 50);
    }
    made.pass(FIX, "bus", RING_MS + 60);
    expect(rings).toEqual(["displays bus closed"]);
  });

  test("what went out on several ports may have come by any of them", () => {
    const { made, rings } = forwarding([plan({ to: "plotter", from: ["wifi"] })]);
    for (const to of ["plotter", "mux"]) made.sent(ANCHOR, to, 0);
    made.isEcho(ANCHOR, "wifi", 50);
    expect(rings).toEqual([]);
  });

  test("what went out on the bus as well, or is not passed on from where it is heard, is no sign of one", () => {
    const { made, rings } = forwarding([plan()]);
    made.sent(ANCHOR, "bus", 0);
    made.sent(ANCHOR, "displays", 0);
    made.isEcho(ANCHOR, "bus", 50);
    made.isEcho(ANCHOR, "displays", 50);
    made.isEcho(ANCHOR, "air", 50);
    expect(rings).toEqual([]);
  });
});

describe("an order that comes by two ways", () => {
  const PLACE = seal("PRDW,PLACE,180,T,20,M");

  test("is one: on another port within two seconds it is the same", () => {
    const { isSecondHand } = createSecondHand();
    expect(isSecondHand(PLACE, "tcp", 0)).toBe(false);
    expect(isSecondHand(`\\c:1781526919,s:mux*00\\${PLACE}`, "udp", 300)).toBe(true);
    expect(isSecondHand(PLACE, "udp", SECOND_HAND_MS + 1)).toBe(false);
  });

  test("is two on the same port, and nothing else is held back", () => {
    const { isSecondHand } = createSecondHand();
    for (const port of ["tcp", "tcp", "tcp"]) expect(isSecondHand(PLACE, port, 0)).toBe(false);
    for (const port of ["tcp", "udp"]) {
      expect(isSecondHand(DEPTH, port, 0)).toBe(false);
      expect(isSecondHand(`${PLACE}${DEPTH}`, port, 0)).toBe(false);
    }
  });

  test("a damaged copy does not take the good one with it", () => {
    const { isSecondHand } = createSecondHand();
    expect(isSecondHand("$PRDW,LETGO*00", "udp", 0)).toBe(false);
    expect(isSecondHand(seal("PRDW,LETGO"), "serial", 100)).toBe(false);
    expect(isSecondHand(seal("PRDW,LETGO"), "udp", 200)).toBe(true);
  });

  test("memory is bounded", () => {
    const { isSecondHand } = createSecondHand();
    for (let n = 0; n < 1000; n++) isSecondHand(seal(`PRDW,RODE,${n},M`), "tcp", n);
    expect(isSecondHand(seal("PRDW,RODE,1,M"), "udp", 1000)).toBe(false);
    expect(isSecondHand(seal("PRDW,RODE,999,M"), "udp", 1000)).toBe(true);
  });
});
