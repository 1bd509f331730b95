import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { moved, type Position } from "../../src/units/position.ts";
import { leastRodeForM } from "../../src/watch/rode-known.ts";
import { inMarks, veeringOf } from "../../src/watch/veering.ts";
import { deck, PLACE } from "./deck.ts";

/** Great circle on a sphere of 6371008.8 m (the IUGG mean radius): none of the code's own geometry. */
function haversineM(a: Position, b: Position): number {
  const rad = Math.PI / 180;
  const half = (deg: number) => Math.sin((deg * rad) / 2) ** 2;
  const h =
    half(b.latDeg - a.latDeg) +
    Math.cos(a.latDeg * rad) * Math.cos(b.latDeg * rad) * half(b.lonDeg - a.lonDeg);
  return 2 * 6371008.8 * Math.asin(Math.sqrt(h));
}

function riding(rodeM: number) {
  const boat = deck();
  boat.live(3);
  boat.give("LETGO");
  boat.give(`RODE,${rodeM},M`);
  // Long enough for the new place to be believed.
  boat.live(20, { north: -rodeM + 2 });
  boat.give("BROUGHTUP");
  boat.live(2);
  return boat;
}

test("the mark lies where it was seen: bearing and distance from the antenna", () => {
  const boat = deck();
  boat.live(3);
  boat.give("KEEPOFF,135,T,80,M,rock");
  const mark = boat.core().watch.stay.keepOffs[0]?.position ?? PLACE;
  // Half a per cent: sphere against ellipsoid.
  expect(Math.abs(haversineM(PLACE, mark) - 80)).toBeLessThan(0.4);
  expect(mark.latDeg).toBeLessThan(PLACE.latDeg);
  expect(mark.lonDeg).toBeGreaterThan(PLACE.lonDeg);
});

describe("room to swing", () => {
  const mostRode = (farM: number) => {
    const boat = riding(30);
    const { anchor } = boat.core().watch.stay;
    // Abeam, so many metres from the anchor; told as a place seen from the boat.
    const mark = moved(anchor?.position ?? PLACE, { north: 0, east: farM });
    const fix = moved(PLACE, { north: -28, east: 0 });
    const rad = Math.PI / 180;
    const north = (mark.latDeg - fix.latDeg) * 111_229;
    const east = (mark.lonDeg - fix.lonDeg) * 111_320 * Math.cos(50.4731 * rad);
    const bearing = (Math.atan2(east, north) / rad + 360) % 360;
    boat.give(`KEEPOFF,${bearing.toFixed(1)},T,${Math.hypot(north, east).toFixed(1)},M,neighbour`);
    boat.live(2);
    return { boat, room: boat.core().last.figures.guidance.room };
  };

  test("the stern's circle at the most rode, and twice the uncertainty, come just to the mark", () => {
    const { boat, room } = mostRode(90);
    const { anchor, keepOffs } = boat.core().watch.stay;
    const most = room?.mostRodeM ?? 0;
    // By Pythagoras over roller above seabed (6 + 1.1 m), 5 % stretch, the 9.2 m boat.
    const reach = Math.sqrt((most * 1.05) ** 2 - 7.1 ** 2);
    const unsure = 2 * Math.hypot(anchor?.uncertaintyM ?? 0, keepOffs[0]?.uncertaintyM ?? 0);
    const far = haversineM(anchor?.position ?? PLACE, keepOffs[0]?.position ?? PLACE);
    expect(Math.abs(reach + 9.2 + unsure - far)).toBeLessThan(0.6);
    expect(room?.limitedBy).toBe("neighbour");
  });

  test("no advice to veer reaches a mark: the words change", () => {
    const short = (farM: number | undefined) => {
      const { boat } = farM === undefined ? { boat: riding(30) } : mostRode(farM);
      boat.give("RODE,22,M");
      boat.live(10);
      const texts = boat.core().last.figures.guidance.callout?.text ?? "";
      const alert = boat.core().alerts.active["scope-short"]?.text ?? "";
      return { texts, alert };
    };
    expect(short(undefined).alert).toMatch(/veer \d+ m$/);
    expect(short(55)).toEqual({ texts: "No room to veer: re-anchor", alert: "No room to veer: re-anchor" });
  });
});

test("metres and minutes to leeward, with their plus and minus", () => {
  const boat = riding(30);
  boat.give("KEEPOFF,180,T,100,M,shoal");
  for (let i = 0; i < 80; i++) boat.live(1, { north: -28 - i * 0.2, sogKn: 0.39, cogDeg: 180 });
  const leeward = boat.core().last.figures.guidance.room?.leeward;
  // 100 m at first, 15.8 m gone (79 steps of 0.2), 3.2 m of boat abaft the antenna.
  expect(Math.abs((leeward?.distanceM ?? 0) - (100 - 15.8 - 3.2))).toBeLessThan(0.5);
  const minutes = leeward?.minutes;
  expect(Math.abs((minutes?.likely ?? 0) - 81 / 0.2 / 60)).toBeLessThan(0.3);
  expect(minutes?.soonest).toBeLessThan(minutes?.likely ?? 0);
  expect(minutes?.latest).toBeGreaterThan(minutes?.likely ?? 0);
});

describe("veering", () => {
  test("never less than 0 to go, and never more than there is aboard", () => {
    const metres = fc.double({ min: 0, max: 300, noNaN: true });
    fc.assert(
      fc.property(metres, metres, metres, (requiredM, aboardM, rodeM) => {
        const scope = { requiredM, aboardM, now: 1, atHighWater: 1, target: 5, shortM: 0 };
        const veer = veeringOf({ ...scope, basis: "measured" }, rodeM, []);
        expect(veer?.remainingM).toBeGreaterThanOrEqual(0);
        expect(veer?.toM).toBe(Math.min(requiredM, aboardM));
      }),
    );
  });

  test("in the rode's own marks", () => {
    const marks = [10, 20, 30, 40, 50];
    expect(inMarks(12, 43, marks)).toEqual({ count: 3, lastMarkM: 40, beyondM: 3 });
    expect(inMarks(12, 40, marks)).toEqual({ count: 3, lastMarkM: 40, beyondM: 0 });
    expect(inMarks(41, 47, marks)).toEqual({ count: 0, lastMarkM: undefined, beyondM: 6 });
  });

  test("the shortest rode over 20 m of ground and 21 m of height is 29 m (20, 21, 29: a Pythagorean triple)", () => {
    expect(leastRodeForM(20, 21)).toBe(29);
  });

  test("told too little: said, once the distance needs more beyond all doubt", () => {
    const boat = deck();
    boat.live(3);
    boat.give("LETGO");
    boat.give("RODE,20,M");
    boat.live(100, { north: -36 });
    const { callout, rode } = boat.core().last.figures.guidance;
    expect(rode.contradicted).toBe(true);
    // 36 m back; 7.1 m high.
    expect(rode.leastM).toBeCloseTo(Math.hypot(36, 7.1), 1);
    expect(callout?.text).toBe("Said 20 m, distance needs 37 m");
  });
});
