/** A plotter's active waypoint as the place wished for, and the stream by log, as they come in on the bus. */
import { describe, expect, test } from "vitest";
import { turnDeg } from "../../src/units/angle.ts";
import { distanceM, moved } from "../../src/units/position.ts";
import { deck, PLACE, placeOf } from "./deck.ts";

const bwc = (north: number, name = "MARK1") =>
  `GPBWC,120000.00,${placeOf(north, 0)},180.0,T,,M,0.030,N,${name},A`;
const rmb = (north: number, status = "A") =>
  `GPRMB,${status},0.00,L,,MARK2,${placeOf(north, 0)},0.0,180.0,0.0,V,A,S`;

describe("the active waypoint", () => {
  test("BWC and RMB close by are where the stern is wished, and stay so from let go on", () => {
    const boat = deck();
    boat.live(3);
    boat.hear(bwc(-60));
    boat.live(1);
    expect(boat.core().last.picture.waypoint?.value.name).toBe("MARK1");
    boat.give("LETGO");
    const lie = boat.core().watch.stay.lie;
    expect(distanceM(lie ?? PLACE, moved(PLACE, { north: -60, east: 0 }))).toBeLessThan(0.1);
    // Tomorrow's route is another matter.
    boat.hear(bwc(-300));
    boat.live(1);
    expect(boat.core().watch.stay.lie).toEqual(lie);
  });

  test("the operator's LIE comes before it", () => {
    const boat = deck();
    boat.live(3);
    boat.give(`LIE,${placeOf(-40, 0)}`);
    boat.hear(bwc(-60));
    boat.live(1);
    boat.give("LETGO");
    const { lie } = boat.core().watch.stay;
    expect(distanceM(lie ?? PLACE, moved(PLACE, { north: -40, east: 0 }))).toBeLessThan(0.1);
  });

  test.each([
    ["half a mile off: where a passage goes", bwc(-900)],
    ["our own anchor, come back", bwc(-60, "ANCHOR")],
    ["a void RMB", rmb(-60, "V")],
  ])("%s: not wished for", (_, body) => {
    const boat = deck();
    boat.live(3);
    boat.hear(body);
    boat.live(1);
    boat.give("LETGO");
    expect(boat.core().watch.stay.lie).toBeUndefined();
  });

  test("says where to let go for it, by name", () => {
    const boat = deck();
    // Set south at a knot with hardly any wind: tide rules, bow north.
    for (let s = 0; s < 130; s++) {
      boat.hear(rmb(-150));
      boat.hear("VDVDR,180.0,T,,M,1.5,N");
      boat.live(1, { north: -s * 0.5, sogKn: 1, cogDeg: 180, wind: { fromDeg: 0, kn: 6 } });
    }
    const { approach } = boat.core().last.figures.guidance;
    expect(approach?.current?.from).toBe("told");
    expect(approach?.lie?.rules).toBe("tide");
    expect(Math.abs(turnDeg(0, approach?.lie?.headingDeg ?? 90))).toBeLessThan(1);
    expect(approach?.letGo?.waypoint).toBe("MARK2");
  });
});

describe("the stream by her own log, drifting", () => {
  const drifting = (log: (s: number) => string | undefined) => {
    const boat = deck();
    for (let s = 0; s < 130; s++) {
      const line = log(s);
      if (line !== undefined) boat.hear(line);
      // Bow east, hardly any wind; over the ground 0.5 kn to the north.
      boat.live(1, { north: s * 0.257, headingDeg: 90, sogKn: 0.5, cogDeg: 0, wind: { fromDeg: 0, kn: 2 } });
    }
    return boat.core().last.figures.guidance.approach?.current;
  };

  test("VBW: 1 kn ahead and 0.5 kn to starboard through the water, 0.5 kn north over the ground: 1.41 kn to 315", () => {
    // By hand: ground (0 E, 0.5 N) less water (1 E, −0.5 N) is (−1 E, 1 N).
    const current = drifting(() => "VDVBW,1.0,0.5,A,,,V,,V,,V");
    expect(current?.from).toBe("log");
    expect(Math.abs((current?.setDeg ?? 0) - 315)).toBeLessThan(4);
    expect((current?.driftMps ?? 0) / 0.514444).toBeCloseTo(1.41, 1);
  });

  test("VHW gives the part along her; a paddle that stands still gives none", () => {
    expect(drifting(() => "VWVHW,,T,,M,1.0,N,,K")?.from).toBe("log");
    expect(drifting(() => "VWVHW,,T,,M,0.0,N,,K")?.from).toBe("drift");
    expect(drifting(() => undefined)?.from).toBe("drift");
  });
});
