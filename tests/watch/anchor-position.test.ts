import { describe, expect, test } from "vitest";
import { distanceM } from "../../src/units/position.ts";
import { act } from "../../src/watch/acts.ts";
import { orderOf, PHASES, pictured, place, seen, WATCH } from "./aboard.ts";

/** The anchor after LETGO with the antenna at the anchorage. */
function letGo(headingDeg: number | undefined, offset: { rollerToAntennaM?: undefined } = {}) {
  const picture = pictured(10, {
    ...seen.fix(10, 0),
    ...(headingDeg === undefined ? {} : seen.heading(10, headingDeg)),
    ...seen.depth(10, 5),
  });
  const boat = { ...WATCH.boat, ...offset };
  const answer = act(PHASES.underway(), orderOf("LETGO"), picture, { ...WATCH, boat });
  const anchor = answer.ok ? answer.state.stay.anchor : undefined;
  if (anchor === undefined) throw new Error("not let go");
  return anchor;
}

describe("the anchor is marked at the roller, not at the antenna", () => {
  test.each([
    [0, 6, 0],
    [90, 0, 6],
    [214.6, -4.9388, -3.4071], // 6·cos, 6·sin of 214.6°
  ])("heading %d°: %d m north, %d m east of the antenna", (headingDeg, north, east) => {
    expect(distanceM(letGo(headingDeg).position, place(north, east))).toBeLessThan(0.01);
  });

  test("the depth and the time of letting go are kept", () => {
    expect(letGo(0)).toMatchObject({ depthM: 5, sinceMs: pictured(10).atMs });
  });

  test("without a heading it is the antenna, less sure by the offset; without the offset, by a boat's", () => {
    const known = letGo(0);
    const noHeading = letGo(undefined);
    expect(distanceM(noHeading.position, place(0))).toBeLessThan(0.01);
    expect(noHeading.uncertaintyM).toBeGreaterThanOrEqual(6);
    expect(known.uncertaintyM).toBeLessThan(noHeading.uncertaintyM);
    const noOffset = letGo(0, { rollerToAntennaM: undefined });
    expect(distanceM(noOffset.position, place(0))).toBeLessThan(0.01);
    expect(noOffset.uncertaintyM).toBeGreaterThan(known.uncertaintyM);
  });

  test("let go there: the place told, antenna and heading have no part in it", () => {
    const answer = act(
      PHASES.underway(),
      orderOf("LETGO,5045.6500,N,00118.2400,W"),
      pictured(10, { ...seen.fix(10, 0), ...seen.heading(10, 90) }),
      WATCH,
    );
    const anchor = answer.ok ? answer.state.stay.anchor : undefined;
    expect(anchor?.position.latDeg).toBeCloseTo(50 + 45.65 / 60, 9);
    expect(anchor?.position.lonDeg).toBeCloseTo(-(1 + 18.24 / 60), 9);
  });
});
