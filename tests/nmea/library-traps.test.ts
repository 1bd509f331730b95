/**
 * What the general codec nmea-simple 3.3.0 lets through. Each test first shows that it does (and so tells us when
 * it is mended), then that our decode does not.
 */
import { parseNmeaSentence } from "nmea-simple";
import { describe, expect, test } from "vitest";
import { refused } from "../../src/nmea/frame.ts";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import { decode, type Piece, TABLE } from "../../src/nmea/table.ts";
import { sentenceIn } from "./sentence-in.ts";

function ours(text: string): Piece[] {
  return decode(text, { checksum: "required" }).pieces;
}

describe("an empty place is 0 to it, and missing to us", () => {
  test("RMC void, without a position", () => {
    const text = "$GPRMC,123520.00,V,,,,,,,150626,,,N,V*06";
    expect(parseNmeaSentence(text)).toMatchObject({ speedKnots: 0, trackTrue: 0, status: "warning" });
    // Its latitude and longitude are minus zero.
    expect(parseNmeaSentence(text)).toMatchObject({ latitude: -0, longitude: -0 });
    expect(sentenceIn(text)).toMatchObject({
      status: "void",
      position: undefined,
      sogKn: undefined,
      cogDeg: undefined,
    });
  });

  test("RMC without a course: north is invented", () => {
    const text = "$GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,100117,,,A*7B";
    expect(parseNmeaSentence(text)).toMatchObject({ trackTrue: 0, variation: 0 });
    expect(sentenceIn(text)).toMatchObject({ cogDeg: undefined, variationDeg: undefined, sogKn: 0.146 });
  });

  test("GGA of quality 0", () => {
    const text = "$GPGGA,123521.00,,,,,0,00,99.9,,M,,M,,*59";
    expect(parseNmeaSentence(text)).toMatchObject({
      fixType: "none",
      satellitesInView: 0,
      altitudeMeters: 0,
    });
    expect(parseNmeaSentence(text)).toMatchObject({ latitude: -0, longitude: -0 });
    expect(sentenceIn(text)).toMatchObject({
      quality: "none",
      position: undefined,
      satellites: undefined,
      altitudeM: undefined,
    });
  });

  test("VTG without a course", () => {
    const text = seal("GPVTG,,T,,M,0.2,N,0.4,K,A");
    expect(parseNmeaSentence(text)).toMatchObject({ trackTrue: 0, trackMagnetic: 0 });
    expect(sentenceIn(text)).toMatchObject({ cogDeg: undefined, cogMagneticDeg: undefined, sogKn: 0.2 });
  });

  test("HDG without deviation", () => {
    const text = seal("HCHDG,215.3,,,1.1,W");
    expect(parseNmeaSentence(text)).toMatchObject({ deviation: 0, deviationDirection: "" });
    expect(sentenceIn(text)).toMatchObject({ deviationDeg: undefined, variationDeg: -1.1 });
  });

  test("HDT, HDM, VHW without a heading", () => {
    expect(parseNmeaSentence("$GPHDT,,T*1B")).toMatchObject({ heading: 0 });
    expect(sentenceIn("$GPHDT,,T*1B")).toMatchObject({ headingDeg: undefined });
    expect(parseNmeaSentence(seal("HCHDM,,M"))).toMatchObject({ heading: 0 });
    expect(sentenceIn(seal("HCHDM,,M"))).toMatchObject({ headingDeg: undefined });
    const text = seal("VWVHW,,T,215.7,M,,N,,K");
    expect(parseNmeaSentence(text)).toMatchObject({ degreesTrue: 0, speedKnots: 0 });
    expect(sentenceIn(text)).toMatchObject({ headingDeg: undefined, speedKn: undefined });
  });

  test("MWV void", () => {
    const text = "$WIMWV,,R,,N,V*34";
    expect(parseNmeaSentence(text)).toMatchObject({ windAngle: 0, speed: 0, status: "invalid" });
    expect(sentenceIn(text)).toMatchObject({ angleDeg: undefined, speedMps: undefined });
  });

  test("MWV without a unit: knots are invented", () => {
    const text = seal("WIMWV,012.0,R,18.4,,A");
    expect(parseNmeaSentence(text)).toMatchObject({ speed: 18.4, units: "N" });
    expect(sentenceIn(text)).toMatchObject({ angleDeg: 12, speedMps: undefined });
  });

  test("DBT with metres only", () => {
    const text = seal("SDDBT,,f,22.5,M,,F");
    expect(parseNmeaSentence(text)).toMatchObject({ depthFeet: 0, depthMeters: 22.5, depthFathoms: 0 });
    expect(sentenceIn(text)).toMatchObject({ feet: undefined, depthM: 22.5, fathoms: undefined });
  });

  test("DBT with feet only: a depth of 0 m is invented", () => {
    const text = seal("SDDBT,73.8,f,,M,,F");
    expect(parseNmeaSentence(text)).toMatchObject({ depthMeters: 0 });
    expect(sentenceIn(text)).toMatchObject({ feet: 73.8, depthM: undefined });
  });

  test("GSA before the first fix", () => {
    const text = seal("GPGSA,A,1,,,,,,,,,,,,,,,");
    expect(parseNmeaSentence(text)).toMatchObject({ PDOP: 0, HDOP: 0, VDOP: 0 });
    expect(sentenceIn(text)).toMatchObject({ pdop: undefined, hdop: undefined, vdop: undefined });
  });
});

describe("time", () => {
  test.each([
    ["GGA", "$GPGGA,123519.00,5045.6120,N,00118.2340,W,2,09,0.9,3.4,M,47.3,M,4.0,0120*52"],
    ["GLL", "$GPGLL,5045.6120,N,00118.2340,W,123519.00,A,A*7A"],
    ["GNS", "$GNGNS,123519.00,5045.6120,N,00118.2340,W,AAN,15,0.8,3.4,47.3,,,S*71"],
  ])("%s: it takes the date from the wall clock, we give the time of day", (_, text) => {
    const { time } = parseNmeaSentence(text) as unknown as { time: Date };
    expect(Math.abs(time.getTime() - Date.now())).toBeLessThan(2 * 86400_000);
    expect(sentenceIn(text)).toMatchObject({ timeOfDayS: 45319 });
    expect(JSON.stringify(sentenceIn(text))).not.toContain(String(time.getUTCFullYear()));
  });

  test("ZDA in a leap second rolls to the next day there; here it is the 86400th second", () => {
    const text = seal("GPZDA,235960.00,31,12,2016,00,00");
    const { datetime } = parseNmeaSentence(text) as unknown as { datetime: Date };
    expect(datetime.toISOString()).toBe("2017-01-01T00:00:00.000Z");
    expect(sentenceIn(text)).toMatchObject({ timeOfDayS: 86400, year: 2016, month: 12, day: 31 });
  });

  test("RMC of year 79: 1979 there, 2079 here (80..99 are 19xx, by common practice)", () => {
    const text = seal("GPRMC,123519.00,A,5045.6120,N,00118.2340,W,0.2,214.5,150679,1.1,W,A");
    const { datetime } = parseNmeaSentence(text) as unknown as { datetime: Date };
    expect(datetime.getUTCFullYear()).toBe(1979);
    expect(sentenceIn(text)).toMatchObject({ date: { year: 2079, month: 6, day: 15 } });
  });
});

describe("what the frame keeps out", () => {
  test("no or a wrong checksum: both refuse, it by throwing", () => {
    expect(() => parseNmeaSentence("$HEHDT,214.6,T")).toThrow();
    expect(() => parseNmeaSentence("$HEHDT,214.6,T*2F")).toThrow();
    expect(ours("$HEHDT,214.6,T")).toEqual([refused("no-checksum")]);
    expect(ours("$HEHDT,214.6,T*2F")).toEqual([refused("bad-checksum")]);
  });

  test("text after the checksum", () => {
    const text = "$SDDBT,32.8,f,10.0,M,5.5,F*0Egarbage";
    expect(parseNmeaSentence(text)).toMatchObject({ depthMeters: 10 });
    expect(ours(text)).toEqual([refused("trailing-text")]);
  });

  test("! instead of $", () => {
    expect(parseNmeaSentence("!HEHDT,214.6,T*2E")).toMatchObject({ heading: 214.6 });
    expect(ours("!HEHDT,214.6,T*2E")).toMatchObject([{ kind: "unknown" }]);
  });

  test("a control character inside a number", () => {
    const text = seal("HEHDT,27\x014.07,T");
    expect(parseNmeaSentence(text)).toMatchObject({ heading: 27 });
    expect(ours(text)).toEqual([refused("bad-character")]);
  });

  test("letters inside a number", () => {
    const text = seal("HEHDT,27x4.07,T");
    expect(parseNmeaSentence(text)).toMatchObject({ heading: 27 });
    expect(ours(text)).toEqual([refused("bad-number")]);
  });

  test("200 trailing commas", () => {
    const text = seal(`HEHDT,214.6,T${",".repeat(200)}`);
    expect(parseNmeaSentence(text)).toMatchObject({ heading: 214.6 });
    expect(ours(text)).toEqual([refused("too-long")]);
  });

  test("latitude 99° 45′", () => {
    const text = seal("GPGLL,9945.6120,N,00118.2340,W,123519.00,A,A");
    expect(parseNmeaSentence(text)).toMatchObject({ latitude: expect.closeTo(99.7602, 6) });
    expect(ours(text)).toEqual([refused("bad-position")]);
  });

  test("a latitude with no decimal point is 0 to it", () => {
    const text = seal("GPGLL,5045,N,00118,W,123519.00,A,A");
    expect(parseNmeaSentence(text)).toMatchObject({ latitude: 0 });
    expect(sentenceIn(text)).toMatchObject({ position: { latDeg: 50.75, lonDeg: -1.3 } });
  });

  test("a TAG block in front", () => {
    const text = `${tagBlock(1781526919000, "bow")}$HEHDT,214.6,T*2E`;
    expect(() => parseNmeaSentence(text)).toThrow();
    expect(sentenceIn(text)).toMatchObject({ headingDeg: 214.6 });
    expect(() => parseNmeaSentence("\\c:1781526919,s:rodeward*2F\\$HEHDT,214.6,T*2E")).toThrow(/1781526919/);
  });
});

describe("sentences that it has no parser for", () => {
  const unknown =
    "DPT DBK DBS MWD VWR VWT MTW VBW VDR ROT THS XDR WPL RMB TXT ALR ACK ALF ALC ACN ARC HBT".split(" ");

  test.each(unknown)("%s", (id) => {
    const example = TABLE.find((row) => row.id === id)?.example ?? "";
    expect(() => parseNmeaSentence(example)).toThrow(/No known parser/);
    expect(sentenceIn(example).id).toBe(id);
  });

  test("EVE, which we pass over", () => {
    const text = "$IIEVE,123519.00,RDW,ANCHOR LET GO*54";
    expect(() => parseNmeaSentence(text)).toThrow(/No known parser/);
    expect(ours(text)).toMatchObject([{ kind: "ignored" }]);
  });
});
