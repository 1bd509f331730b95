import { describe, expect, test } from "vitest";
import { noInstruments, observe } from "../../src/instruments/picture.ts";
import { seal } from "../../src/nmea/seal.ts";
import { distanceM, type Position } from "../../src/units/position.ts";
import { sentenceIn } from "../nmea/sentence-in.ts";
import { type Aboard, ANCHORAGE, aboard, EVENING_MS, INSTRUMENTS, rmc } from "./aboard.ts";

const fromAnchorageM = (position: Position | undefined): number =>
  position === undefined ? Number.NaN : distanceM(ANCHORAGE, position);

test("a boat with no instruments has a picture with nothing in it, and no 0", () => {
  const { held, ...picture } = aboard().second(0);
  expect(held).toEqual({ fixes: 0, depths: 0 });
  const told = Object.entries(picture).filter(([, value]) => value !== undefined);
  expect(told).toEqual([["atMs", EVENING_MS]]);
});

test("each quantity says its source and its time", () => {
  const picture = aboard().second(7, "gps>GPGLL,5045.6120,N,00118.2340,W,200007.00,A,A", "SDDPT,6.3,0.5");
  expect(picture.position).toMatchObject({ source: "gps/GP", atMs: EVENING_MS + 7000 });
  expect(picture.depth).toMatchObject({ source: "bus/SD", atMs: EVENING_MS + 7000 });
});

describe("stale is missing", () => {
  const lines = [
    rmc(0, { sogKn: 1, cogDeg: 10 }),
    "HEHDT,214.6,T",
    "SDDPT,6.3,0.5",
    "WIMWV,012.0,R,18.4,N,A",
    "VWVDR,065.0,T,,M,0.6,N",
    "IIXDR,D,35.0,M,RODE",
    "IIXDR,U,12.6,V,BATT",
    "VWVHW,,T,,M,0.6,N,,K",
  ];

  test.each([
    ["position", 5],
    ["motion", 5],
    ["headingDeg", 5],
    ["depth", 10],
    ["wind", 10],
    ["apparentWind", 10],
    ["current", 10],
    ["rodeCountedM", 10],
    ["supplyV", 10],
    ["waterSpeedMps", 10],
  ] as const)("%s after %d s", (quantity, seconds) => {
    const boat = aboard();
    expect(boat.second(0, ...lines)[quantity]).toBeDefined();
    expect(boat.second(seconds)[quantity]).toBeDefined();
    expect(boat.second(seconds + 1)[quantity]).toBeUndefined();
  });

  test("the last accepted fix is kept apart, however old", () => {
    const boat = aboard();
    boat.second(0, rmc(0));
    const later = boat.second(36_000);
    expect(later.position).toBeUndefined();
    expect(later.lastFix?.atMs).toBe(EVENING_MS);
  });
});

describe("a fix", () => {
  test.each([
    "GPRMC,200001.00,V,5045.6120,N,00118.2340,W,0.2,214.5,150626,,,N",
    "GPRMC,200001.00,A,5045.6120,N,00118.2340,W,0.2,214.5,150626,,,E",
    "GPGGA,200001.00,5045.6120,N,00118.2340,W,0,00,99.9,,M,,M,,",
    "GPGGA,200001.00,5045.6120,N,00118.2340,W,6,09,0.9,3.4,M,47.3,M,,",
    "GPGLL,5045.6120,N,00118.2340,W,200001.00,V,N",
    "GNGNS,200001.00,5045.6120,N,00118.2340,W,NNN,15,0.8,3.4,47.3,,",
    "GPRMC,200001.00,A,,,,,0.2,214.5,150626,,,A",
  ])("is not taken from %s", (line) => {
    const picture = aboard().second(1, line);
    expect(picture.position).toBeUndefined();
    expect(picture.lastFix).toBeUndefined();
  });

  test("of several in one second is the latest, in whatever order they came, over midnight too", () => {
    const late = "GPGLL,5045.6300,N,00118.2400,W,000000.10,A,A";
    const early = "GPGLL,5045.6400,N,00118.2400,W,235959.60,A,A";
    for (const order of [
      [late, early],
      [early, late],
    ])
      expect(fromAnchorageM(aboard().second(14_400, ...order).position?.value)).toBeLessThan(0.1);
  });

  test("off by a jump is held back, counted, and no position; doubt ends with the fixes that made it", () => {
    const boat = aboard();
    for (let s = 0; s < 10; s++) boat.second(s, rmc(s));
    for (let s = 10; s < 20; s++) boat.second(s, rmc(s, { northM: 147 }));
    const hidden = boat.second(20, rmc(20, { northM: 147 }));
    expect(hidden.position).toBeUndefined();
    expect(hidden.heldBack).toEqual({ sinceMs: EVENING_MS + 10_000 });
    expect(hidden.held.fixes).toBe(11);
    expect(boat.second(40).heldBack).toBeUndefined();
    expect(boat.second(41, rmc(41)).position).toBeDefined();
  });
});

/** Recorded at Geneva: the same valid RMC, time included, for 38 minutes while wind and heading live on. */
describe("a hung receiver", () => {
  function hungFrom(boat: Aboard): void {
    for (let s = 0; s <= 10; s++) boat.second(s, rmc(s, { sogKn: 3, cogDeg: 90 }));
  }
  const hung = rmc(10, { sogKn: 3, cogDeg: 90 });

  test("is no receiver: the position goes stale, and its speed with it", () => {
    const boat = aboard();
    hungFrom(boat);
    for (let s = 11; s <= 15; s++) expect(boat.second(s, hung).position).toBeDefined();
    const gone = boat.second(16, hung);
    expect(gone.position).toBeUndefined();
    expect(gone.motion).toBeUndefined();
    expect(gone.lastFix?.atMs).toBe(EVENING_MS + 10_000);
  });

  test("gives way to the other receiver", () => {
    const boat = aboard();
    hungFrom(boat);
    for (let s = 11; s <= 20; s++) boat.second(s, hung, `other>${rmc(s)}`);
    expect(boat.second(21, hung, `other>${rmc(21)}`).position?.source).toBe("other/GP");
  });

  test("that comes back is taken again at once; one that repeats a place while its time runs is alive", () => {
    const boat = aboard();
    hungFrom(boat);
    for (let s = 11; s <= 60; s++) boat.second(s, hung);
    expect(boat.second(61, rmc(61)).position).toBeDefined();
    for (let s = 62; s <= 120; s++) expect(boat.second(s, rmc(s)).position).toBeDefined();
  });
});

test("sources are bounded in number, on every quantity", () => {
  const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
  const talkers = [...letters]
    .flatMap((a) => [...letters].map((b) => a + b))
    .filter((t) => !t.startsWith("P"));
  let instruments = noInstruments();
  for (let s = 0; s < 20; s++) {
    const heard = talkers
      .slice(s * 30, s * 30 + 30)
      .flatMap((talker) =>
        [
          rmc(s, { talker }),
          seal(`${talker}HDT,10.0,T`),
          seal(`${talker}DPT,5.0,0.5`),
          seal(`${talker}MWV,012.0,R,18.4,N,A`),
          seal(`${talker}XDR,D,35.0,M,RODE`),
        ].map((text) => ({ sentence: sentenceIn(text), port: "wifi" })),
      );
    instruments = observe(instruments, heard, INSTRUMENTS, EVENING_MS + s * 1000).instruments;
  }
  for (const channel of Object.values(instruments.channels))
    expect(Object.keys(channel.readings).length).toBeLessThanOrEqual(16);
});

test("a counter's length by its type, unit and name; other measurements are not it", () => {
  const counted = (groups: string) => aboard().second(0, `IIXDR,${groups}`).rodeCountedM?.value;
  expect(counted("D,35.0,M,RODE")).toBe(35);
  expect(counted("C,18.2,C,AIRT,D,12.5,M,RODE")).toBe(12.5);
  for (const other of ["D,35.0,M,RODEREQ", "A,35.0,D,RODE", "D,115.0,I,RODE", "D,,M,RODE"])
    expect(counted(other)).toBeUndefined();
});
