import { describe, expect, test } from "vitest";
import { type Frame, frames, LONGEST, peekTag, REASONS, type Reason } from "../../src/nmea/frame.ts";
import { checksumOf, seal, tagBlock } from "../../src/nmea/seal.ts";
import { decode } from "../../src/nmea/table.ts";
import { parseInstant } from "../../src/units/time.ts";

const REQUIRED = { checksum: "required" } as const;
const OPTIONAL = { checksum: "optional" } as const;

/** What became of each piece of a line, in order: its address, or why it was refused. */
function outcome(line: string, rule: typeof REQUIRED | typeof OPTIONAL = REQUIRED): string[] {
  return frames(line, rule).pieces.map((piece) => (piece.kind === "frame" ? piece.address : piece.reason));
}

function onlyFrame(line: string): Frame {
  const [piece, ...others] = frames(line, REQUIRED).pieces;
  expect(others).toEqual([]);
  if (piece?.kind !== "frame") throw new Error(`${line} was refused: ${piece?.reason}`);
  return piece;
}

/** A sealed sentence of exactly so many characters, line end counted. */
function sentenceOf(length: number): string {
  const head = "IITXT,01,01,01,";
  return seal(head + "A".repeat(length - head.length - "$*hh\r\n".length));
}

describe("the closed list of reasons, each by example", () => {
  const examples: Readonly<Record<Reason, readonly string[]>> = {
    "no-start": [
      "hello",
      "+ 6: 28 (.....)",
      "5,34,060,48,07,00,023,,13,56,090,49*71",
      "\0\0\0",
      "GPHDT,1,T*2E",
    ],
    "too-long": [sentenceOf(165)],
    "bad-character": [
      "$GPRMC,000346.03,A,4808\0\0\0\0\0\0\0\0\0\0\0\0      ",
      "$GPGSA,A,3,26,15,21,27,24,09,18,05,29,,,,1.9,1.3,1.4*3\x1b[H\x1b[J\x1b[H\x1b[J\x1b[H\x1b[J3",
      seal("HEHDT,27\x014.07,T"),
      seal("HEHDT,214.6,T\x7f"),
      // High-bit bytes under a checksum that is right for them (race-leman-2008-05-21-garbage).
      "$IIDPT,054.8,-1.0,\xfa9*8A",
      "$II%5Q%5]I5*70",
      seal("&bTXT,01,01,02,LLC FFFFFFFF"),
      seal("hehdt,214.6,T"),
      seal("IITXT,01,01,01,A\\B"),
      "$HEHDT,214.6,T*2E\t",
    ],
    "no-checksum": ["$HEHDT,214.6,T", "$GPGSV,3,2,11,25,32,097", "$GP"],
    "bad-checksum": [
      "$HEHDT,214.6,T*2F",
      "$HEHDT,214.7,T*2E",
      "$GNVTG,,T,,M,0.145,N,0.269,K,A*3)",
      "$HEHDT,214.6,T*G0",
      "$HEHDT,214.6*T*2E",
      "$HEHDT,214.6,T* 2E",
    ],
    "bad-escape": [
      seal("IITXT,01,01,01,A^2"),
      seal("IITXT,01,01,01,A^"),
      seal("IITXT,01,01,01,A^GZB"),
      seal("IITXT,01,01,01,^2C^^"),
    ],
    "trailing-text": [
      "$HEHDT,214.6,T*2Egarbage",
      "$GPGSA,A,1,,,,,,,,,,,,,,,*1E*43",
      "!AIVDM,1,1,,A,15N1u<PP1FJuvSRHOE6QIwwh0HQ6,0*30,d-080,S2118,t050056.00",
      "$HEHDT,214.6,T*2E2",
    ],
    truncated: ["$", "!", "$HEHDT,214.6,T*", "$HEHDT,214.6,T*2", seal("GPH"), seal("PRD"), "$*00"],
    "bad-number": [seal("HEHDT,27x,T"), seal("HEHDT,1e2,T"), seal("HEHDT,0x1F,T"), seal("HEHDT,361.0,T")],
    "bad-position": [
      seal("GPGLL,9945.000,N,00118.234,W,123519.00,A,A"),
      seal("GPGLL,5060.000,N,00118.234,W,123519.00,A,A"),
      seal("GPGLL,5045.612,N,18118.234,W,123519.00,A,A"),
      seal("GPGLL,5045.612,E,00118.234,W,123519.00,A,A"),
      seal("GPGLL,5045.612,NS,00118.234,W,123519.00,A,A"),
      seal("GPGLL,5045.612,,00118.234,W,123519.00,A,A"),
      seal("GPGLL,5045.612,N,,,123519.00,A,A"),
      seal("GPGLL,545.612,N,00118.234,W,123519.00,A,A"),
    ],
    "too-few-fields": [seal("GPRMC,123519.00,A"), seal("SDDPT,6.3"), seal("HEHDT")],
  };

  test("the examples cover the list", () => {
    expect(Object.keys(examples).sort()).toEqual([...REASONS].sort());
  });

  for (const [reason, lines] of Object.entries(examples)) {
    test.each(lines)(`${reason}: %j`, (line) => {
      expect(decode(line, REQUIRED).pieces).toEqual([{ kind: "refused", reason }]);
    });
  }
});

describe("check values", () => {
  // "NMEA Revealed" (E. S. Raymond, gpsd project), NOAA NCEI's scs_dpt format, and go-nmea's tests; the wrong
  // ones are what widely copied pages print.
  test.each([
    ["GNGLL,4404.14012,N,12118.85993,W,001037.00,A,A", "67", undefined],
    ["SDDBT,7.8,f,2.4,M,1.3,F", "0D", undefined],
    ["SDDPT,0006.29,002.40", "6C", undefined],
    ["RAACN,220516,TCK,002,1,A,C", "00", undefined],
    ["GPBWC,081837,,,,,,T,,M,,N,", "13", undefined],
    ["GPBWC,081837,,,,,,T,,M,,N", "3F", "13"],
    ["GPRMB,A,0.66,L,003,004,4917.24,N,12309.57,W,001.3,052.5,000.5,V", "20", "0B"],
    ["GPAPB,A,A,0.10,R,N,V,V,011,M,DEST,011,M,011,M", "3C", "82"],
    // A sensor handbook prints 50 for this one.
    ["HEHDG,311.2,1.7,W,0.0,E", "51", "50"],
    ["HETHS,316.70,E", "1A", undefined],
    ["HEHDM,311.40,M", "18", undefined],
  ])("$%s*%s", (body, right, wrong) => {
    expect(checksumOf(body)).toBe(right);
    expect(outcome(`$${body}*${right}`)).toEqual([body.slice(0, 5)]);
    if (wrong !== undefined) expect(outcome(`$${body}*${wrong}`)).toEqual(["bad-checksum"]);
  });

  test("a sum under 16 keeps its leading zero", () => {
    expect(seal("IIHBT,30,A,0")).toBe("$IIHBT,30,A,0*00");
    expect(seal("SDDBT,32.8,f,10.0,M,5.5,F")).toBe("$SDDBT,32.8,f,10.0,M,5.5,F*0E");
  });

  test("lower-case hex is accepted", () => {
    expect(outcome("$GPRMC,205150.00,V,,,,,,,,,,,V*4a")).toEqual(["GPRMC"]);
    expect(outcome("$HEHDT,214.6,T*2e")).toEqual(["HEHDT"]);
  });
});

describe("the frame", () => {
  test("holds start, address and raw places", () => {
    expect(onlyFrame("$IITXT,01,01,02,CIRCLE^2C 35 M*2C")).toEqual({
      kind: "frame",
      start: "$",
      address: "IITXT",
      places: ["01", "01", "02", "CIRCLE^2C 35 M"],
      overLong: false,
      tag: undefined,
    });
    expect(onlyFrame(`!${seal("AIVDM,1,1,,A,15N1u,0").slice(1)}`).start).toBe("!");
    expect(onlyFrame(seal("PRDW")).places).toEqual([]);
  });

  test.each(["", "\r\n", "\n", "\r", " \r\n"])("ends with %j alike", (end) => {
    expect(outcome(`$HEHDT,214.6,T*2E${end}`)).toEqual(["HEHDT"]);
  });

  test.each(["", "   ", "\r\n", "# a remark with a $ in it", tagBlock(1781526919000, "rodeward")])(
    "%j holds no sentence",
    (line) => expect(frames(line, REQUIRED)).toEqual({ pieces: [], tagDropped: 0 }),
  );

  test("82 characters are in order, 164 are heard and counted, more is refused", () => {
    const overLong = (length: number) => onlyFrame(sentenceOf(length)).overLong;
    expect(LONGEST).toBe(82);
    expect(overLong(82)).toBe(false);
    expect(overLong(83)).toBe(true);
    expect(overLong(164)).toBe(true);
    expect(outcome(sentenceOf(165))).toEqual(["too-long"]);
    // The TAG block has a length of its own.
    expect(onlyFrame(tagBlock(1781526919000, "rodeward") + sentenceOf(82)).overLong).toBe(false);
  });

  test("a line of a million blanks, or of start delimiters, is no trouble", () => {
    expect(frames(`${" ".repeat(1e6)}x`, REQUIRED).pieces).toHaveLength(1);
    expect(frames("$".repeat(1e5), REQUIRED).pieces).toHaveLength(1e5);
    expect(frames("\\".repeat(1e5), REQUIRED).pieces.length).toBeLessThanOrEqual(1);
  });

  test("escapes: two hex digits after each ^; the checksum covers the text as sent", () => {
    expect(checksumOf("IITXT,01,01,02,CIRCLE^2C 35 M")).toBe("2C");
    expect(outcome(seal("IITXT,01,01,01,^E9^2A^5E"))).toEqual(["IITXT"]);
    const [piece] = decode(seal("IITXT,01,01,01,^E9^2A^5E"), REQUIRED).pieces;
    expect(piece).toMatchObject({ kind: "sentence", sentence: { text: "é*^" } });
  });

  test("a checksum may be missing only where the port says so, and is then still checked if there", () => {
    expect(outcome("$HEHDT,214.6,T", OPTIONAL)).toEqual(["HEHDT"]);
    expect(outcome("$HEHDT,214.6,T*2E", OPTIONAL)).toEqual(["HEHDT"]);
    expect(outcome("$HEHDT,214.6,T*2F", OPTIONAL)).toEqual(["bad-checksum"]);
    expect(outcome("$HEHDT,214.6,T*2", OPTIONAL)).toEqual(["truncated"]);
    expect(outcome("$HEHDT,214.6,\x01T", OPTIONAL)).toEqual(["bad-character"]);
    // Cut into by another: not a whole sentence without its checksum.
    expect(outcome("$GPGGA,030130$HEHDT,214.6,T", OPTIONAL)).toEqual(["truncated", "HEHDT"]);
  });
});

describe("more than one sentence in a line", () => {
  test.each([
    // gpsd-gnss-coldboot-corrupt, gpsd-handheld-glued, gpsd-gnss-gst-glued
    [
      `$GPGSA,A,1,,,,,,,,,,,,,,,*1E${seal("GPRMC,235949.00,V,0000.0000,N,00000.0000,E,,,161206,,,N")}`,
      ["GPGSA", "GPRMC"],
    ],
    ["$GPGGA,030130$GPGLL,2638.1728,N,08011.3893,W,030131.000,A,A*41", ["truncated", "GPGLL"]],
    [
      "$GPGSV,4,1,15,02,11,115,36,0$PTNTA,20160203131539,2,T4,000000066,+107,3,0,3*18",
      ["truncated", "PTNTA"],
    ],
    ["garbage$HEHDT,214.6,T*2E", ["no-start", "HEHDT"]],
    ["\x1b[H\0\xff$HEHDT,214.6,T*2E", ["no-start", "HEHDT"]],
    ["  $HEHDT,214.6,T*2E", ["HEHDT"]],
    ["$$HEHDT,214.6,T*2E", ["truncated", "HEHDT"]],
    ["$HEHDT,214.6,T*2E$", ["HEHDT", "truncated"]],
    ["$HEHDT,214.6,T*2E!AIVDM,1,1,,A,15N1u<PP1FJuvSRHOE6QIwwh0HQ6,0*30", ["HEHDT", "AIVDM"]],
    [`$HEHDT,214.6,T*2E${tagBlock(1781526919000, "bow")}$HCHDM,215.7,M*28`, ["HEHDT", "HCHDM"]],
  ])("%j", (line, expected) => {
    expect(outcome(line)).toEqual(expected);
  });

  test("a TAG block belongs to the sentence directly behind it", () => {
    const line = `$HEHDT,214.6,T*2E${tagBlock(1781526919000, "bow")}$HCHDM,215.7,M*28$SDDPT,6.3,0.5,100.0*54`;
    const tags = frames(line, REQUIRED).pieces.map((piece) => (piece.kind === "frame" ? piece.tag : piece));
    expect(tags).toEqual([undefined, { atMs: 1781526919000, source: "bow" }, undefined]);
    expect(onlyFrame(line.slice(0, 17)).tag).toBeUndefined();
  });
});

describe("TAG blocks", () => {
  const HEADING = "$HEHDT,214.6,T*2E";

  // The first from gpsd's AIVDM page, the next three from go-nmea's tests, the rest computed for this project.
  test.each([
    ["\\g:1-2-73874,n:157036,s:r003669945,c:1241544035*4A\\", 1241544035000, "r003669945"],
    ["\\s:Satelite_1,c:1553390539*62\\", 1553390539000, "Satelite_1"],
    ["\\s:satelite,c:1564827317*25\\", 1564827317000, "satelite"],
    ["\\x:NorSat_1,c:1564827317000*72\\", 1564827317000, undefined],
    ["\\c:1781526919000,s:rodeward*1F\\", 1781526919000, "rodeward"],
    ["\\c:1781526919,s:rodeward*2F\\", 1781526919000, "rodeward"],
    ["\\c:1781526919,s:rodeward*2f\\", 1781526919000, "rodeward"],
    ["\\g:1-2-1,s:rodeward,c:1781526919*6C\\", 1781526919000, "rodeward"],
    ["\\g:2-2-1*6C\\", undefined, undefined],
    // Recorded (libais-tagblock).
    ["\\s:rORBCOMM104,q:u,c:1418172113,T:2014-12-10 00.41.53*55\\", 1418172113000, "rORBCOMM104"],
  ])("%s", (block, atMs, source) => {
    const { pieces, tagDropped } = frames(block + HEADING, REQUIRED);
    expect(tagDropped).toBe(0);
    expect(pieces).toMatchObject([{ kind: "frame", address: "HEHDT", tag: { atMs, source } }]);
  });

  test("the time in ours is the instant it says", () => {
    const atMs = parseInstant("2026-06-15T12:35:19Z") ?? Number.NaN;
    expect(tagBlock(atMs, "rodeward")).toBe("\\c:1781526919000,s:rodeward*1F\\");
  });

  test.each([
    ["a wrong sum", "\\c:1781526919000,s:rodeward*1E\\"],
    ["no sum", "\\c:1781526919000,s:rodeward\\"],
    ["half a sum", "\\c:1781526919000,s:rodeward*1\\"],
  ])("with %s: dropped and counted, the sentence kept", (_, block) => {
    const { pieces, tagDropped } = frames(block + HEADING, REQUIRED);
    expect(tagDropped).toBe(1);
    expect(pieces).toMatchObject([{ kind: "frame", address: "HEHDT", tag: undefined }]);
  });

  test("never closed: dropped and counted, its text is no sentence, the next sentence is kept", () => {
    const framed = frames(`\\c:1781526919000${HEADING}`, REQUIRED);
    expect(framed.tagDropped).toBe(1);
    expect(outcome(`\\c:1781526919000${HEADING}`)).toEqual(["no-start", "HEHDT"]);
  });

  test("a good TAG does not save a bad sentence", () => {
    expect(outcome(`${tagBlock(1781526919000, "bow")}$HEHDT,214.6,T*2F`)).toEqual(["bad-checksum"]);
  });

  test("two blocks in front of one sentence add up", () => {
    const line = `\\g:2-2-1*6C\\${tagBlock(1781526919000, "bow")}${HEADING}`;
    expect(onlyFrame(line).tag).toEqual({ atMs: 1781526919000, source: "bow" });
  });

  test("a peek at the TAG gives what reading the line gives", () => {
    const good = tagBlock(1781526919000, "bow");
    for (const line of [good + HEADING, `\\g:2-2-1*6C\\${good}${HEADING}`, HEADING, `\\c:1*00\\${HEADING}`])
      expect(peekTag(line)).toEqual(onlyFrame(line).tag);
    expect(peekTag(good)).toEqual({ atMs: 1781526919000, source: "bow" });
    expect(peekTag("\\c:1781526919000")).toBeUndefined();
  });

  test("a source or time that is none is left out", () => {
    const block = (body: string) => `\\${body}*${checksumOf(body)}\\`;
    expect(onlyFrame(block("s:more than 15 characters,c:12x") + HEADING).tag).toEqual({
      atMs: undefined,
      source: undefined,
    });
  });
});
