import { describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { ALL_VERBS } from "../../src/nmea/sentences/own.ts";
import { decode } from "../../src/nmea/table.ts";
import { readAct } from "../../src/page/act.ts";

const here = { lat: 54.46803, lon: -10.38161 };

// The right column is written by hand from the forms of our own sentences.
const GOOD: [object, string][] = [
  [{ verb: "LETGO" }, "PRDW,LETGO"],
  [{ verb: "LETGO", position: here }, "PRDW,LETGO,5428.08180,N,01022.89660,W"],
  [{ verb: "RODE", length: "35 m" }, "PRDW,RODE,35.0,M"],
  [{ verb: "RODE", length: "100ft" }, "PRDW,RODE,30.5,M"],
  [{ verb: "RODE", length: "5 fathoms" }, "PRDW,RODE,9.1,M"],
  [{ verb: "BROUGHTUP" }, "PRDW,BROUGHTUP"],
  [{ verb: "PLACE", position: here }, "PRDW,PLACE,5428.08180,N,01022.89660,W"],
  [{ verb: "PLACE", bearingDeg: 45, range: "12 m" }, "PRDW,PLACE,045.0,T,12.0,M"],
  [{ verb: "UNDO" }, "PRDW,UNDO"],
  [{ verb: "WEIGH" }, "PRDW,WEIGH"],
  [{ verb: "WEIGH", ball: true }, "PRDW,WEIGH,BALL"],
  [{ verb: "AWEIGH" }, "PRDW,AWEIGH"],
  [{ verb: "SLIP" }, "PRDW,SLIP"],
  [{ verb: "RISE", length: "1.2 m" }, "PRDW,RISE,1.2,M"],
  [{ verb: "SPLICE" }, "PRDW,SPLICE"],
  [{ verb: "BOTTOM" }, "PRDW,BOTTOM"],
  [{ verb: "KEEPOFF", bearingDeg: 200, range: "60 m", name: "Rocks" }, "PRDW,KEEPOFF,200.0,T,60.0,M,Rocks"],
  [{ verb: "KEEPOFF", bearingDeg: 7, range: "60 m", name: "a,b*c" }, "PRDW,KEEPOFF,007.0,T,60.0,M,a^2Cb^2Ac"],
  [{ verb: "EXPECT", speed: "24 kn" }, "PRDW,EXPECT,24.0,N"],
  [{ verb: "EXPECT", speed: "10 m/s" }, "PRDW,EXPECT,19.4,N"],
  [{ verb: "NEUTRAL" }, "PRDW,NEUTRAL"],
  [{ verb: "LIE", position: here }, "PRDW,LIE,5428.08180,N,01022.89660,W"],
  [{ verb: "WIND", speed: "18 kn" }, "PRDW,WIND,18.0,N"],
  [{ verb: "WIND", speed: "18 kn", fromDeg: 225 }, "PRDW,WIND,18.0,N,225.0"],
];

describe("acts become sentences", () => {
  test.each(GOOD)("%j", (json, body) => {
    expect(readAct(json)).toEqual({ ok: true, verb: (json as { verb: string }).verb, body });
    const [piece] = decode(seal(body), { checksum: "required" }).pieces;
    expect(piece).toMatchObject({ kind: "sentence", sentence: { content: { problem: undefined } } });
  });

  test("every verb of the operator is there, and none of the edges' or the answers", () => {
    const notActs = ["SET", "FACT", "ACK", "NAK"];
    expect(new Set(GOOD.map(([json]) => (json as { verb: string }).verb))).toEqual(
      new Set(ALL_VERBS.filter((verb) => !notActs.includes(verb))),
    );
    for (const verb of notActs) expect(readAct({ verb, key: "a", value: "b" })).toMatchObject({ ok: false });
  });
});

describe("what is no act is refused in words", () => {
  test.each([
    [null, "object"],
    ["RODE", "object"],
    [{ length: "35 m" }, "verb"],
    [{ verb: "constructor" }, "no act"],
    [{ verb: "rode", length: "35 m" }, "no act"],
    [{ verb: "RODE" }, "RODE.length"],
    [{ verb: "RODE", length: 35 }, "RODE.length"],
    [{ verb: "RODE", length: "35" }, '"35 m" or "35 ft"'],
    [{ verb: "RODE", length: "35 kn" }, "no unit of a length"],
    [{ verb: "RODE", length: "35 m", lengthM: 35 }, "RODE"],
    [{ verb: "BROUGHTUP", now: true }, "BROUGHTUP"],
    [{ verb: "LETGO", position: { lat: 91, lon: 0 } }, "outside"],
    [{ verb: "LETGO", position: { lat: 54 } }, "LETGO.position.lon"],
    [{ verb: "LETGO", position: { lat: "54", lon: 10 } }, "LETGO.position.lat"],
    [{ verb: "LIE", position: { lat: 54, lon: 180.5 } }, "outside"],
    [{ verb: "PLACE", bearingDeg: 361, range: "10 m" }, "outside"],
    [{ verb: "PLACE", bearingDeg: 10 }, "PLACE"],
    [{ verb: "KEEPOFF", bearingDeg: 10, range: "-5 m" }, "outside"],
    [{ verb: "KEEPOFF", bearingDeg: 10, range: "5 m", name: "скала" }, "Latin"],
    [{ verb: "KEEPOFF", bearingDeg: 10, range: "5 m", name: "a\r\n$PRDW" }, "Latin"],
    [{ verb: "KEEPOFF", bearingDeg: 10, range: "5 m", name: "******************" }, "outside"],
    [{ verb: "WIND", speed: "-3 kn" }, "outside"],
    [JSON.parse('{"verb":"WIND","speed":"3 kn","fromDeg":1e999}'), "WIND.fromDeg"],
  ])("%j", (json, words) => {
    const read = readAct(json);
    expect(read.ok).toBe(false);
    expect(read.ok ? "" : read.problem).toContain(words);
  });
});
