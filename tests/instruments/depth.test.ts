import { describe, expect, test } from "vitest";
import { depthFrom, type EchoState, judgeEcho, NO_ECHOES, rawDepthOf } from "../../src/instruments/depth.ts";
import { seal } from "../../src/nmea/seal.ts";
import { sentenceIn } from "../nmea/sentence-in.ts";
import { aboard, INSTRUMENTS } from "./aboard.ts";

const UNKNOWN = { ...INSTRUMENTS, transducerBelowWaterM: undefined };
const NO_DRAUGHT = { ...INSTRUMENTS, draughtM: undefined };

function depthOf(body: string, settings = INSTRUMENTS) {
  const raw = rawDepthOf(sentenceIn(body.startsWith("$") ? body : seal(body)));
  return raw && depthFrom(raw, settings);
}

// Fields and signs: IEC 61162-1 as documented by gpsd ("NMEA Revealed"); the 6.29 m is a research vessel's recording.
describe("transducer 0.4 m below the water, drives 0.8 m down: depth from the surface and under the keel", () => {
  test.each([
    ["$SDDPT,6.3,0.5,100.0*54", "DPT, offset to the waterline", 6.8, 6.0],
    ["$SDDPT,0006.29,002.40*6C", "DPT, leading zeros", 8.69, 7.89],
    ["$SDDPT,6.3,-1.4,100.0*79", "DPT, offset to the keel", 5.7, 4.9],
    ["$INDPT,2.3,0.0*46", "DPT, no offset: as configured", 2.7, 1.9],
    ["SDDPT,2.3,", "DPT, offset empty: as configured", 2.7, 1.9],
    ["$SDDBS,36.1,f,11.0,M,6.0,F*03", "DBS", 11, 10.2],
    ["$SDDBK,16.4,f,5.0,M,2.7,F*2A", "DBK", 5.8, 5],
    ["$SDDBT,32.8,f,10.0,M,5.5,F*0E", "DBT, metres before feet", 10.4, 9.6],
    ["SDDBT,32.8,f,,M,5.5,F", "DBT, feet before fathoms", 10.39744, 9.59744],
    ["SDDBT,,f,,M,5.5,F", "DBT, fathoms alone", 10.4584, 9.6584],
    ["SDDBT,,f,22.5,M,,F", "DBT, metres alone", 22.9, 22.1],
  ])("%s (%s)", (body, _, surfaceM, underKeelM) => {
    const depth = depthOf(body);
    expect(depth?.surfaceM).toBeCloseTo(surfaceM, 9);
    expect(depth?.underKeelM).toBeCloseTo(underKeelM, 9);
    expect(depth?.referenceKnown).toBe(true);
  });
});

describe("a reference that is not known is taken on the safe side both ways", () => {
  test.each(["$INDPT,2.3,0.0*46", "SDDPT,2.3,", "SDDBT,,f,2.3,M,,F"])("%s", (body) => {
    const depth = depthOf(body, UNKNOWN);
    // Scope as if measured from the keel, keel as if measured from the surface.
    expect(depth?.surfaceM).toBeCloseTo(3.1, 9);
    expect(depth?.underKeelM).toBeCloseTo(1.5, 9);
    expect(depth?.referenceKnown).toBe(false);
    for (const belowWaterM of [0, 0.4, 0.8]) {
      const truth = depthOf(body, { ...INSTRUMENTS, transducerBelowWaterM: belowWaterM });
      expect(depth?.surfaceM).toBeGreaterThanOrEqual(truth?.surfaceM ?? Number.NaN);
      expect(depth?.underKeelM).toBeLessThanOrEqual(truth?.underKeelM ?? Number.NaN);
    }
  });

  test("a keel in soft ground has no water under it, which is not no depth, where it came to that by and by", () => {
    const boat = aboard();
    const at = (s: number, metres: number) =>
      boat.second(s, `SDDPT,${metres.toFixed(1)},-1.4,100.0`).depth?.value.underKeelM;
    expect(at(0, 2)).toBeCloseTo(0.6, 9);
    expect(at(1, 1.2)).toBeCloseTo(-0.2, 9);
    const deep = aboard();
    for (let s = 0; s <= 40; s++) deep.second(s, `SDDPT,${s > 5 ? "1.2" : "17.3"},-1.4,100.0`);
    expect(deep.second(41, "SDDPT,1.2,-1.4,100.0").depth).toBeUndefined();
  });

  test("without the draught, what would need it is absent, not 0", () => {
    expect(depthOf("$SDDPT,6.3,0.5,100.0*54", NO_DRAUGHT)).toMatchObject({
      surfaceM: 6.8,
      underKeelM: undefined,
    });
    expect(depthOf("$SDDBK,16.4,f,5.0,M,2.7,F*2A", NO_DRAUGHT)).toMatchObject({
      surfaceM: undefined,
      underKeelM: 5,
    });
  });
});

describe("no depth at all", () => {
  test.each([
    ["$SDDPT,,0.5,*50", "no bottom"],
    ["SDDPT,0.0,0.5,100.0", "0.0, sent when the bottom is lost"],
    ["SDDPT,120.0,0.5,100.0", "beyond its own range scale"],
    ["SDDPT,0.5,-1.4,100.0", "less than the keel's own depth"],
    ["SDDBT,0.0,f,0.0,M,0.0,F", "0.0"],
    ["SDDBT,,f,,M,,F", "empty"],
    ["SDDBT,32.8,M,,f,,F", "feet in the place of metres"],
    ["$GPGLL,5045.6120,N,00118.2340,W,123519.00,A,A*7A", "another sentence"],
  ])("%s (%s)", (body) => expect(depthOf(body)).toBeUndefined());
});

describe("false echoes", () => {
  function judged(depthsM: readonly (number | undefined)[]): (number | undefined)[] {
    let state: EchoState = NO_ECHOES;
    return depthsM.map((depthM, s) => {
      if (depthM !== undefined)
        state = judgeEcho(state, { from: "DBT", depthM, reference: "transducer" }, s * 1000);
      return state.accepted?.depthM;
    });
  }

  // Recorded at Geneva, in consecutive readings.
  test("2.5, 61.7, 61.7, 2.7: the two are held back", () => {
    expect(judged([2.5, 61.7, 61.7, 2.7])).toEqual([2.5, 2.5, 2.5, 2.7]);
  });

  test("shallower is believed after 5 s: it may be the ground coming up", () => {
    expect(judged([12, 4, 4, 4, 4, 4, 4])).toEqual([12, 12, 12, 12, 12, 12, 4]);
  });

  // Recorded at Geneva on 2014-08-19 while lying still: 41 to 60 m for 20 s in 3 m of water.
  test("deeper is believed only after a minute", () => {
    const deeper = judged([4, ...Array.from({ length: 62 }, () => 50)]);
    expect(deeper.slice(0, 61)).toEqual(Array.from({ length: 61 }, () => 4));
    expect(deeper[61]).toBe(50);
  });

  test("a slope is followed at once", () => {
    const slope = Array.from({ length: 30 }, (_, i) => 12 - i * 0.35);
    expect(judged(slope)).toEqual(slope);
  });

  test("readings of which no two agree are no depth: none of them is taken", () => {
    expect(new Set(judged([3, 60, 20, 100, 7, 40, 15, 90, 25, 55]))).toEqual(new Set([3]));
  });

  test("held back all the while, the depth goes stale and is missing", () => {
    const boat = aboard();
    boat.second(0, "SDDBT,,f,3.0,M,,F");
    for (let s = 1; s <= 10; s++) boat.second(s, `SDDBT,,f,${[60, 20, 100, 7][s % 4]}.0,M,,F`);
    const picture = boat.second(11, "SDDBT,,f,60.0,M,,F");
    expect(picture.depth).toBeUndefined();
    expect(picture.held.depths).toBe(11);
  });

  test("of several readings in one second the shallowest stands: one deep echo each second hides nothing", () => {
    const boat = aboard();
    for (let s = 0; s < 30; s++) {
      const picture = boat.second(s, "SDDBT,,f,2.5,M,,F", "SDDBT,,f,61.7,M,,F", "SDDBT,,f,2.6,M,,F");
      expect(picture.depth?.value.surfaceM).toBeCloseTo(2.9, 9);
    }
  });
});

test("the better kind of sentence of one sounder is used: DPT before DBS before DBT before DBK", () => {
  const kinds = ["SDDBK,,f,5.0,M,,F", "SDDBT,,f,6.0,M,,F", "SDDBS,,f,7.0,M,,F", "SDDPT,8.0,0.5"];
  const surfaceM = [5.8, 6.4, 7, 8.5];
  for (let best = 0; best < kinds.length; best++) {
    const depth = aboard().second(0, ...kinds.slice(0, best + 1)).depth;
    expect(depth?.value.surfaceM).toBeCloseTo(surfaceM[best] ?? Number.NaN, 9);
  }
});
