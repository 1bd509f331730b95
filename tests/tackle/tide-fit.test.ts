import { describe, expect, test } from "vitest";
import { fitTide, SEMIDIURNAL_MS, type Sounding } from "../../src/tackle/tide-fit.ts";

const HOUR = 3_600_000;
const MINUTE = 60_000;

/** Small seeded generator, so that a failure can be run again. */
function uniform(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
}

interface Sea {
  hours: number;
  rangeM: number;
  highAtHour: number;
  noiseM: number;
  seed: number;
}

/** Soundings each minute, with the noise of a sounder and of a boat wandering over an uneven bottom. */
function soundings({ hours, rangeM, highAtHour, noiseM, seed }: Sea): Sounding[] {
  const random = uniform(seed);
  let wanderM = 0;
  return Array.from({ length: Math.round(hours * 60) }, (_, i) => {
    const atMs = i * MINUTE;
    wanderM = 0.95 * wanderM + noiseM * Math.sqrt(1 - 0.95 ** 2) * normal(random);
    return { atMs, depthM: 6 + tideM(rangeM, highAtHour, atMs) + wanderM + noiseM * normal(random) };
  });
}

function tideM(rangeM: number, highAtHour: number, atMs: number): number {
  return (rangeM / 2) * Math.cos((2 * Math.PI * (atMs - highAtHour * HOUR)) / SEMIDIURNAL_MS);
}

describe("a tide read off the soundings", () => {
  test("six hours of a clean record: range, turns, rise and fall to come", () => {
    const fit = fitTide(soundings({ hours: 6, rangeM: 3, highAtHour: 8, noiseM: 0.001, seed: 3 }));
    expect(fit?.rangeM).toBeCloseTo(3, 1);
    expect(fit?.meanDepthM).toBeCloseTo(6, 1);
    expect(Math.abs((fit?.highMs ?? 0) - 8 * HOUR)).toBeLessThan(3 * MINUTE);
    expect(Math.abs((fit?.lowMs ?? 0) - (8 * HOUR + SEMIDIURNAL_MS / 2))).toBeLessThan(3 * MINUTE);
    const levelM = tideM(3, 8, 5 * HOUR + 55 * MINUTE);
    expect(fit?.riseToComeM).toBeCloseTo(1.5 - levelM, 1);
    expect(fit?.fallToComeM).toBeCloseTo(1.5 + levelM, 1);
  });

  test("is silent before two hours, and with gaps that leave too little", () => {
    expect(
      fitTide(soundings({ hours: 1.8, rangeM: 3, highAtHour: 8, noiseM: 0.05, seed: 3 })),
    ).toBeUndefined();
    const gappy = soundings({ hours: 6, rangeM: 3, highAtHour: 8, noiseM: 0.05, seed: 3 });
    expect(fitTide(gappy.filter(({ atMs }) => atMs < HOUR || atMs > 5.9 * HOUR))).toBeUndefined();
    expect(fitTide([])).toBeUndefined();
  });

  test("the longer the record the surer", () => {
    const sdAfter = (hours: number) =>
      fitTide(soundings({ hours, rangeM: 3, highAtHour: 9, noiseM: 0.1, seed: 11 }))?.riseSdM ?? Number.NaN;
    expect(sdAfter(2)).toBeGreaterThan(3 * sdAfter(5));
  });

  test("false echoes now and then change little", () => {
    const clean = soundings({ hours: 5, rangeM: 3, highAtHour: 8, noiseM: 0.05, seed: 5 });
    const echoes = clean.map((s, i) => (i % 7 === 0 ? { ...s, depthM: 0.6 } : s));
    expect(fitTide(echoes)?.riseToComeM).toBeCloseTo(fitTide(clean)?.riseToComeM ?? 0, 0);
  });

  test("the truth lies within two of its standard deviations in seven seas of eight", () => {
    const random = uniform(99);
    let kept = 0;
    for (let i = 0; i < 200; i++) {
      const sea = {
        hours: 2.5 + 5 * random(),
        rangeM: 0.5 + 4 * random(),
        highAtHour: 12.4 * random(),
        noiseM: 0.1,
        seed: i + 1,
      };
      const record = soundings(sea);
      const fit = fitTide(record);
      const lastBinMs = (Math.floor((record.at(-1)?.atMs ?? 0) / (10 * MINUTE)) + 0.5) * 10 * MINUTE;
      const truth = sea.rangeM / 2 - tideM(sea.rangeM, sea.highAtHour, lastBinMs);
      if (fit && Math.abs(fit.riseToComeM - truth) <= 2 * fit.riseSdM) kept++;
    }
    expect(kept).toBeGreaterThan(175);
  });
});
