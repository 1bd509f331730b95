import { describe, expect, test } from "vitest";
import {
  apparentFrom,
  type GroundWind,
  groundWind,
  meanWind,
  NO_WIND,
  recordWind,
  waterWind,
} from "../../src/instruments/wind.ts";
import { turnDeg } from "../../src/units/angle.ts";
import { fromKn, toKn } from "../../src/units/speed.ts";
import { aboard, rmc } from "./aboard.ts";

const bow = (knots: number, angleDeg: number) => ({ speedMps: fromKn(knots), angleDeg });

// Computed by hand from x = AWS·sin AWA, y = AWS·cos AWA − STW.
test.each([
  [20, 30, 6, 15.1048, 41.4559],
  [10, 90, 5, 11.1803, 116.5651],
  [15, 330, 6, 10.2526, 312.9858],
  [8, 180, 5, 13, 180],
  [18.4, 12, 0, 18.4, 12],
])("over the water: %d kn at %d°, speed %d kn → %d kn at %d°", (knots, angle, speed, trueKn, trueDeg) => {
  const wind = waterWind(bow(knots, angle), fromKn(speed));
  expect(toKn(wind.speedMps)).toBeCloseTo(trueKn, 4);
  expect(wind.angleDeg).toBeCloseTo(trueDeg, 4);
});

describe("over the ground: the boat's own velocity taken out of the apparent wind", () => {
  // Computed by hand as vectors; the third row with 0.2 kn over the ground added whatever it is worth.
  test.each([
    [20, 30, 0, 6, 0, 15.1048, 41.4559],
    [10, 90, 350, 5, 350, 11.1803, 106.5651],
    [12, -45, 270, 1.5, 90, 13.1037, 229.6428],
  ])(
    "%d kn at %d°, heading %d°, %d kn towards %d°",
    (knots, angle, headingDeg, sogKn, cogDeg, speed, from) => {
      const motion = { sogMps: fromKn(sogKn), cogDeg };
      const wind = groundWind(bow(knots, angle), headingDeg, motion);
      expect(toKn(wind.speedMps)).toBeCloseTo(speed, 4);
      expect(wind.fromDeg).toBeCloseTo(from, 4);
      const back = apparentFrom(wind, headingDeg, motion);
      expect(toKn(back?.speedMps ?? Number.NaN)).toBeCloseTo(knots, 6);
      expect(turnDeg(angle, back?.angleDeg ?? Number.NaN)).toBeCloseTo(0, 6);
    },
  );

  test("below 0.3 kn the receiver's noise is left out (the full sum would be 18.2045 kn from 226.7319°)", () => {
    const wind = groundWind(bow(18.4, 12), 214.6, { sogMps: fromKn(0.2), cogDeg: 214.5 });
    expect(toKn(wind.speedMps)).toBeCloseTo(18.4, 9);
    expect(wind.fromDeg).toBeCloseTo(226.6, 9);
  });

  test("without a heading there is a speed and no direction", () => {
    expect(groundWind(bow(12, 20), undefined, undefined)).toEqual({
      speedMps: expect.closeTo(fromKn(12), 9),
      fromDeg: undefined,
    });
  });
});

/** Records one wind for each second from 1 on (undefined: none heard), and returns the mean at the end. */
function meanOf(winds: readonly (GroundWind | undefined)[]) {
  let history = NO_WIND;
  for (const [i, wind] of winds.entries()) {
    if (wind !== undefined) history = recordWind(history, wind, (i + 1) * 1000);
  }
  return meanWind(history, winds.length * 1000);
}

const steady = (seconds: number, speedMps: number, fromDeg?: number): GroundWind[] =>
  Array.from({ length: seconds }, () => ({ speedMps, fromDeg }));

// Mean over 10 minutes: WMO-No. 8 part I chapter 5. Gust as a 3-second mean: WMO-No. 306.
describe("mean and gust", () => {
  test("from 60 s of wind on", () => {
    expect(meanOf(steady(59, 8, 200))).toBeUndefined();
    expect(meanOf(steady(60, 8, 200))).toMatchObject({ overS: 60, speedMps: expect.closeTo(8, 9) });
  });

  test("direction weighted by speed: 350° at 10, 020° at 5 → 359.8961°", () => {
    const mean = meanOf(steady(60, 10, 350).flatMap((wind) => [wind, { speedMps: 5, fromDeg: 20 }]));
    expect(mean?.fromDeg).toBeCloseTo(359.8961, 4);
  });

  test("no direction from winds all round, nor where most have none", () => {
    expect(meanOf([...steady(60, 6, 0), ...steady(60, 6, 180)])?.fromDeg).toBeUndefined();
    expect(meanOf([...steady(40, 6, 90), ...steady(60, 6, undefined)])?.fromDeg).toBeUndefined();
  });

  test("the gust is the largest mean of 3 s: one second of 18 in 9 makes 12", () => {
    const mean = meanOf([...steady(80, 9), ...steady(1, 18), ...steady(80, 9)]);
    expect(mean?.gustMps).toBeCloseTo(12, 9);
    expect(meanOf([...steady(80, 9), ...steady(3, 18), ...steady(80, 9)])?.gustMps).toBeCloseTo(18, 9);
  });

  test("the first reading alone is no gust", () => {
    expect(meanOf([...steady(1, 30), ...steady(100, 5)])?.gustMps).toBeLessThan(14);
  });

  test("both are of the last 10 minutes: what was before is gone", () => {
    const mean = meanOf([...steady(300, 20, 90), ...steady(611, 5, 180)]);
    expect(mean?.speedMps).toBeCloseTo(5, 9);
    expect(mean?.gustMps).toBeCloseTo(5, 9);
    expect(mean?.fromDeg).toBeCloseTo(180, 9);
  });

  // Recorded at Geneva (2014-07-22): the masthead is heard every 2.7 s on average.
  test.each([2, 3, 5])("a masthead heard every %d s has gusts as well", (everyS) => {
    const winds = Array.from({ length: 600 }, (_, i) =>
      i % everyS === 0 ? { speedMps: i >= 300 && i < 320 ? 16 : 8, fromDeg: 200 } : undefined,
    );
    expect(meanOf(winds)?.gustMps).toBeCloseTo(16, 9);
  });

  test("a gust is never less than the mean", () => {
    const sparse = Array.from({ length: 800 }, (_, i) => (i % 8 === 0 ? steady(1, 8, 200)[0] : undefined));
    expect(meanOf(sparse)?.gustMps).toBeGreaterThanOrEqual(8 - 1e-9);
  });

  test("the history stays small", () => {
    let history = NO_WIND;
    for (let s = 0; s < 5000; s++) history = recordWind(history, { speedMps: 8, fromDeg: 200 }, s * 1000);
    expect(JSON.stringify(history).length).toBeLessThan(15_000);
  });
});

describe("in the picture", () => {
  test("MWV R is apparent; MWV T is from the bow, not geographic; MWD is geographic", () => {
    const felt = aboard().second(0, "WIMWV,012.0,R,18.4,N,A", "HEHDT,100.0,T");
    expect(felt.wind?.value.fromDeg).toBeCloseTo(112, 6);
    expect(toKn(felt.wind?.value.speedMps ?? 0)).toBeCloseTo(18.4, 6);
    const theoretical = aboard().second(0, "WIMWV,348.0,T,9.5,M,A", "HEHDT,100.0,T");
    expect(theoretical.wind?.value.fromDeg).toBeCloseTo(88, 6);
    expect(theoretical.apparentWind).toBeUndefined();
    const told = aboard().second(0, "$WIMWD,226.6,T,227.7,M,18.3,N,9.4,M*6D");
    expect(told.wind?.value).toEqual({ fromDeg: 226.6, speedMps: 9.4 });
  });

  test("no heading: a wind without direction, never the bow angle as one", () => {
    const picture = aboard().second(0, "WIMWV,012.0,R,18.4,N,A");
    expect(picture.wind?.value.fromDeg).toBeUndefined();
    expect(picture.apparentWind?.value.angleDeg).toBe(12);
  });

  test.each(["WIMWV,,R,,N,V", "WIMWV,012.0,R,18.4,N,V", "WIMWV,012.0,R,,N,A", "WIMWV,012.0,R,18.4,X,A"])(
    "%s is no wind",
    (line) => expect(aboard().second(0, line).wind).toBeUndefined(),
  );

  test("a boat making way has it taken out", () => {
    const picture = aboard().second(
      0,
      rmc(0, { sogKn: 6, cogDeg: 0 }),
      "HEHDT,0.0,T",
      "WIMWV,030.0,R,20.0,N,A",
    );
    expect(toKn(picture.wind?.value.speedMps ?? 0)).toBeCloseTo(15.1048, 3);
    expect(picture.wind?.value.fromDeg).toBeCloseTo(41.4559, 3);
  });

  test("of several readings in one second the mean is taken: no angle is preferred", () => {
    const angles = ["350.0", "355.0", "005.0", "010.0"];
    const picture = aboard().second(0, ...angles.map((angle) => `WIMWV,${angle},R,10.0,M,A`));
    expect(turnDeg(0, picture.apparentWind?.value.angleDeg ?? Number.NaN)).toBeCloseTo(0, 6);
  });
});

test.each([
  "WIMWV,0.0,R,999.0,N,A",
  "WIMWV,30.0,T,195.0,N,A",
  "WIMWD,200.0,T,,M,9999.0,N,,M",
  "IIVWR,20.0,L,400.0,N,,M,,K",
])("%s is beyond any wind that an anchor is watched in, and none", (body) => {
  const { wind, apparentWind } = aboard().second(0, body, "HEHDT,10.0,T");
  expect(wind ?? apparentWind).toBeUndefined();
});
