import { describe, expect, test } from "vitest";
import { deck, placeOf, type Seen } from "./deck.ts";
import { boatSettings } from "./stays.ts";

function riding(act: readonly string[] = [], seen: Partial<Seen> = {}) {
  const boat = deck();
  boat.live(70, seen);
  for (const one of act) boat.give(one);
  boat.give("LETGO");
  boat.give("RODE,40,M");
  // Long enough for the new place to be believed.
  boat.live(20, { north: -32 });
  boat.give("BROUGHTUP");
  return boat;
}

type Boat = ReturnType<typeof riding>;
const guidance = (boat: Boat) => boat.core().last.figures.guidance;
const keys = (boat: Boat) => guidance(boat).reminders.map(({ key }) => key);
const alert = (boat: Boat, key: "wind-shift" | "not-brought-up") => boat.core().alerts.active[key];

describe("on being brought up", () => {
  test("asks once for the most wind before morning, and says what it takes now", () => {
    const boat = riding();
    boat.live(15);
    expect(keys(boat)).toContain("ask-tonight");
    boat.give("EXPECT,25,N");
    boat.live(12);
    expect(keys(boat)).not.toContain("ask-tonight");
    // 7 to 1 from 20 kn on, over 6 + 1.1 m: 49.7 m.
    expect(guidance(boat).callout?.text).toBe("Tonight 25 kn: veer to 50 m now");
    boat.give("RODE,50,M");
    boat.live(700);
    expect(keys(boat)).toEqual([]);
  });

  test("untested until she has been loaded; then the greatest wind held, and when", () => {
    const boat = riding([], { wind: { fromDeg: 0, kn: 6 } });
    boat.live(800);
    expect(guidance(boat).callout?.text).toBe("Lying quiet, untested");
    boat.live(20, { wind: { fromDeg: 0, kn: 18 } });
    expect(guidance(boat).callout?.text).toBe("No drag");
    expect(guidance(boat).callout?.why).toMatch(/^Held 18 kn at 12:1\d; /);
  });
});

describe("the wind shifts", () => {
  function shifted(marks: readonly string[]) {
    const boat = riding(marks);
    boat.live(60);
    boat.live(900, { wind: { fromDeg: 90, kn: 12 } });
    return alert(boat, "wind-shift");
  }
  test("a caution by itself", () => expect(shifted([])?.priority).toBe("caution"));
  test("a warning where it puts a mark to leeward", () => {
    // From the east: leeward is west of the anchor.
    const found = shifted(["KEEPOFF,270,T,70,M,wreck"]);
    expect(found?.priority).toBe("warning");
    expect(found?.text).toBe("Wind veered 90 deg to 090: wreck to leeward");
  });
  test("not where the mark is elsewhere", () => {
    expect(shifted(["KEEPOFF,90,T,70,M,wreck"])?.priority).toBe("caution");
  });
});

test("let go, and never any sign of holding: said after the limit, not before", () => {
  const boat = deck();
  boat.live(70);
  boat.give("LETGO");
  boat.give("RODE,30,M");
  // Going on and on at 6 m a minute.
  for (let i = 0; i < 595; i++) boat.live(1, { north: -i * 0.1 });
  expect(alert(boat, "not-brought-up")).toBeUndefined();
  for (let i = 595; i < 615; i++) boat.live(1, { north: -i * 0.1 });
  expect(alert(boat, "not-brought-up")?.text).toMatch(/^Crept \d+ m in 10 min: re-anchor$/);
});

test("out of the circle: steps with this boat's figures, forward only with lifejacket and clip", () => {
  const boat = riding(["KEEPOFF,180,T,160,M,rocks"]);
  boat.live(30);
  for (let i = 0; i < 60; i++) boat.live(1, { north: -32 - i * 1.5 });
  const { steps, callout } = guidance(boat);
  expect(callout?.text).toBe("Engine on, look to leeward");
  expect(steps).toHaveLength(5);
  expect(steps[0]).toBe("Engine on, kill cord on, at the helm");
  expect(steps[1]).toMatch(/^Look to leeward: \d+ m ± \d+ m to rocks/);
  for (const step of steps.slice(2)) expect(step).toMatch(/^(Lifejacket, clip on|No )/);
});

test("leaving at speed with the bow leading: the alarm stands, weighing is offered", () => {
  const boat = riding();
  boat.live(30);
  for (let i = 0; i < 80; i++) boat.live(1, { north: -32 + i * 2.5, sogKn: 5, cogDeg: 0 });
  expect(guidance(boat).leaving).toBe(true);
  expect(boat.core().alerts.active["outside-circle"]?.priority).toBe("alarm");
  boat.give("WEIGH");
  boat.live(1);
  expect(guidance(boat).leaving).toBe(false);
});

test("anchor light once the sun has set, not again within the night", () => {
  // 50.5 N in mid June: the sun sets about 20:15 UTC (from memory), so not at noon, and by midnight it has.
  const boat = riding();
  boat.live(20);
  expect(keys(boat)).toContain("day-shape");
  expect(keys(boat)).not.toContain("anchor-light");
});

test("reminders stand beside how she lies, never in its place; fog is not guessed, only its signal told once", () => {
  const boat = riding();
  boat.give("EXPECT,12,N");
  boat.live(200);
  expect(keys(boat)).toContain("day-shape");
  expect(guidance(boat).callout?.key).toBe("no-drag");
  // Under 12 m: an efficient sound each two minutes (COLREGs rule 35; the two minutes from memory).
  const fog = guidance(boat).reminders.find(({ key }) => key === "fog-signal");
  expect(fog?.figures).toEqual(["sound each 2 minutes"]);
  boat.live(700);
  expect(keys(boat)).not.toContain("fog-signal");
});

test("chafe: above the gust limit, each three hours", () => {
  const boat = riding();
  boat.live(30, { wind: { fromDeg: 0, kn: 32 } });
  const begun = boat.core().watch.memory.reminded.chafe ?? 0;
  expect(keys(boat)).toContain("chafe");
  expect(begun).toBeGreaterThan(0);
  boat.live(1000);
  expect(keys(boat)).not.toContain("chafe");
  expect(boat.core().watch.memory.reminded.chafe).toBe(begun);
});

test("where to let go so that the stern ends on the wished place", () => {
  const boat = deck();
  // Lying head to a 12 kn northerly, drifting with it; the place is 60 m south.
  boat.live(70, { wind: { fromDeg: 0, kn: 12 } });
  boat.give(`LIE,${placeOf(-60, 0)}`);
  boat.live(30, { sogKn: 0.1, cogDeg: 180 });
  const { approach } = guidance(boat);
  expect(approach?.neutral).toBe(true);
  const lie = approach?.lie;
  if (lie === undefined) return expect(approach?.lacks).toBeDefined();
  expect(approach?.letGo?.distanceM).toBeGreaterThan(0);
});

test("brought up by itself only where the boat is set so", () => {
  const run = (auto: boolean) => {
    const boat = deck(boatSettings(auto));
    boat.live(70);
    boat.give("LETGO");
    boat.give("RODE,40,M");
    boat.live(120, { north: -32 });
    return boat.core().watch.stay.phase;
  };
  expect(run(true)).toBe("riding");
  expect(run(false)).toBe("let-go");
});
