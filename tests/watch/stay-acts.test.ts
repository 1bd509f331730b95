import { describe, expect, test } from "vitest";
import { distanceM, moved } from "../../src/units/position.ts";
import { deck, PLACE, placeOf } from "./deck.ts";

const HERE = placeOf(0, 0);
/** 5.4 nautical miles north. */
const FAR = placeOf(10_000, 0);

/** Into each phase from a boat lying still. */
const INTO: Readonly<Record<string, readonly string[]>> = {
  underway: [],
  "let-go": ["LETGO"],
  riding: ["LETGO", "RODE,30,M", "BROUGHTUP"],
  weighing: ["LETGO", "RODE,30,M", "BROUGHTUP", "WEIGH"],
};

function boatIn(phase: string) {
  const boat = deck();
  boat.live(3);
  for (const act of INTO[phase] ?? []) {
    expect(boat.give(act)).toBe("ACK");
    boat.live(1);
  }
  expect(boat.core().watch.stay.phase).toBe(phase);
  return boat;
}

/** Act, then the answer in underway, let-go, riding, weighing. */
const TABLE: readonly (readonly [string, string, string, string, string])[] = [
  ["LETGO", "ACK", "NAK phase", "NAK phase", "NAK phase"],
  [`LETGO,${FAR}`, "NAK far", "NAK phase", "NAK phase", "NAK phase"],
  ["RODE,20,M", "NAK phase", "ACK", "ACK", "ACK"],
  ["RODE,200,M", "NAK phase", "NAK rode", "NAK rode", "NAK rode"],
  ["RODE,20", "NAK format", "NAK format", "NAK format", "NAK format"],
  ["BROUGHTUP", "NAK phase", "ACK", "ACK", "NAK phase"],
  [`PLACE,${HERE}`, "NAK phase", "ACK", "ACK", "ACK"],
  [`PLACE,${FAR}`, "NAK phase", "NAK far", "NAK far", "NAK far"],
  ["WEIGH", "NAK phase", "ACK", "ACK", "NAK phase"],
  ["AWEIGH", "NAK phase", "ACK", "ACK", "ACK"],
  ["SLIP", "NAK phase", "ACK", "ACK", "ACK"],
  ["RISE,1.5,M", "ACK", "ACK", "ACK", "ACK"],
  ["SPLICE", "NAK phase", "ACK", "ACK", "ACK"],
  ["BOTTOM", "NAK phase", "ACK", "NAK phase", "NAK phase"],
  ["KEEPOFF,90,T,60,M,rock", "ACK", "ACK", "ACK", "ACK"],
  ["KEEPOFF,90,T,0,M,rock", "NAK range", "NAK range", "NAK range", "NAK range"],
  ["KEEPOFF,90,T,12000,M,rock", "NAK far", "NAK far", "NAK far", "NAK far"],
  ["KEEPOFF,90,M,60,M,rock", "NAK format", "NAK format", "NAK format", "NAK format"],
  ["EXPECT,25,N", "ACK", "ACK", "ACK", "ACK"],
  ["EXPECT,400,N", "NAK range", "NAK range", "NAK range", "NAK range"],
  ["NEUTRAL", "ACK", "NAK phase", "NAK phase", "NAK phase"],
  [`LIE,${HERE}`, "ACK", "ACK", "ACK", "NAK phase"],
  [`LIE,${FAR}`, "NAK far", "NAK far", "NAK far", "NAK phase"],
  ["WIND,15,N,230", "ACK", "ACK", "ACK", "ACK"],
  ["HEAVE", "NAK format", "NAK format", "NAK format", "NAK format"],
];
const PHASES = ["underway", "let-go", "riding", "weighing"] as const;

describe.each(PHASES.map((phase, i) => [phase, i] as const))("%s", (phase, i) => {
  test.each(TABLE.map((row) => [row[0], row[i + 1] as string] as const))("%s: %s", (act, answer) => {
    const boat = boatIn(phase);
    const before = structuredClone(boat.core().watch);
    expect(boat.give(act)).toBe(answer);
    if (answer !== "ACK") expect(boat.core().watch).toEqual(before);
  });

  // Everything that a person does can be taken back within a minute.
  const accepted = TABLE.filter((row) => row[i + 1] === "ACK").map(([act]) => act);
  test.each(accepted)("%s, then UNDO", (act) => {
    const boat = boatIn(phase);
    const { stay, windTold } = structuredClone(boat.core().watch);
    boat.give(act);
    boat.live(5);
    expect(boat.give("UNDO")).toBe("ACK");
    expect(boat.core().watch.stay).toEqual(stay);
    expect(boat.core().watch.windTold).toEqual(windTold);
    expect(boat.give("UNDO")).toBe("NAK phase");
  });

  test("UNDO after more than a minute is too late", () => {
    const boat = boatIn(phase);
    boat.give("EXPECT,20,N");
    boat.live(61);
    expect(boat.give("UNDO")).toBe("NAK phase");
  });
});

test("AWEIGH taken back: the stay that was closed goes on as one", () => {
  const boat = boatIn("weighing");
  const begun = boat.core().watch.memory.journal?.fromMs;
  boat.give("AWEIGH");
  boat.live(5);
  expect(boat.core().watch.memory.closed?.how).toBe("aweigh");
  boat.give("UNDO");
  boat.live(5);
  expect(boat.core().watch.memory.closed).toBeUndefined();
  boat.give("SLIP");
  boat.live(1);
  const { memory, stay } = boat.core().watch;
  expect(memory.closed?.how).toBe("slipped");
  expect(memory.closed?.fromMs).toBe(begun);
  expect(memory.closed?.phases.map(({ phase }) => phase)).toContain("weighing");
  expect(stay.slipped).toBeDefined();
});

test("marks told before let go stand through it, and are gone with the next stay", () => {
  const boat = boatIn("underway");
  boat.give("KEEPOFF,90,T,60,M,rock");
  boat.give("KEEPOFF,90,T,80,M,rock");
  boat.give(`LIE,${HERE}`);
  boat.give("LETGO");
  const { keepOffs, lie } = boat.core().watch.stay;
  expect(keepOffs).toHaveLength(1);
  expect(distanceM(keepOffs[0]?.position ?? PLACE, moved(PLACE, { north: 0, east: 80 }))).toBeLessThan(0.1);
  expect(distanceM(lie ?? PLACE, PLACE)).toBeLessThan(0.1);
  boat.give("AWEIGH");
  expect(boat.core().watch.stay.keepOffs).toEqual([]);
});

describe("the anchor's place", () => {
  test("is the roller: 6 m ahead of the antenna on the heading", () => {
    const boat = deck();
    boat.live(3, { headingDeg: 90 });
    boat.give("LETGO");
    const { anchor } = boat.core().watch.stay;
    expect(distanceM(anchor?.position ?? PLACE, moved(PLACE, { north: 0, east: 6 }))).toBeLessThan(0.05);
  });

  test("deep water: unsure by 0.3 of the depth until BOTTOM, then halfway to where the roller is by then", () => {
    const boat = deck();
    boat.live(3, { depthM: 30 });
    boat.give("LETGO");
    expect(boat.core().watch.stay.anchor?.uncertaintyM).toBeCloseTo(9, 1);
    boat.live(30, { north: -8 });
    expect(boat.give("BOTTOM")).toBe("ACK");
    const { anchor } = boat.core().watch.stay;
    expect(distanceM(anchor?.position ?? PLACE, moved(PLACE, { north: 2, east: 0 }))).toBeLessThan(0.1);
    expect(anchor?.uncertaintyM).toBeCloseTo(4, 1);
    expect(boat.give("BOTTOM")).toBe("NAK phase");
  });

  test("no heading: ahead on the last course, then by the bearing in which she falls back", () => {
    const boat = deck();
    // Came up heading 030 by her course, really lies 000 when she lets go, falls back to 180.
    boat.live(5, { headingDeg: undefined, sogKn: 3, cogDeg: 30 });
    boat.live(1, { sogKn: 0, cogDeg: undefined });
    boat.give("LETGO");
    const first = boat.core().watch.stay.anchor;
    const ahead = { north: 6 * Math.cos(Math.PI / 6), east: 3 };
    expect(distanceM(first?.position ?? PLACE, moved(PLACE, ahead))).toBeLessThan(0.1);
    expect(first?.uncertaintyM).toBeGreaterThan(3);
    for (let i = 0; i < 90; i++) boat.live(1, { north: -Math.min(30, i * 0.4) });
    const { anchor } = boat.core().watch.stay;
    expect(distanceM(anchor?.position ?? PLACE, moved(PLACE, { north: 6, east: 0 }))).toBeLessThan(0.3);
    expect(anchor?.uncertaintyM).toBeLessThanOrEqual(first?.uncertaintyM ?? 0);
  });
});
