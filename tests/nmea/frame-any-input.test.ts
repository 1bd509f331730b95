import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { frames, REASONS } from "../../src/nmea/frame.ts";
import { decode, TABLE } from "../../src/nmea/table.ts";

const REQUIRED = { checksum: "required" } as const;
const OPTIONAL = { checksum: "optional" } as const;

describe("whatever comes in", () => {
  const latin1 = fc.integer({ min: 0, max: 255 }).map((code) => String.fromCharCode(code));
  const anything = fc.string({ unit: latin1, maxLength: 250 });
  // Mostly the characters that mean something, so that deep places are reached.
  const nearly = fc.string({
    unit: fc.constantFrom(
      ..."$!*\\,^.0127AFGHPRMCVT:csg\r\n \0\xfa",
      "$GPRMC,",
      "$PRDW,",
      "*00",
      "\\c:1*6A\\",
    ),
    maxLength: 60,
  });

  test("never throws; every piece is a frame of clean text or a reason of the list", () => {
    fc.assert(
      fc.property(fc.oneof(anything, nearly), fc.constantFrom(REQUIRED, OPTIONAL), (line, rule) => {
        decode(line, rule);
        for (const piece of frames(line, rule).pieces) {
          if (piece.kind === "refused") expect(REASONS).toContain(piece.reason);
          else expect([piece.address, ...piece.places].join(",")).toMatch(/^[A-Z0-9]{4,}(,[ -~]*)?$/);
        }
      }),
      { numRuns: 1500 },
    );
  });

  const sealed = TABLE.map((row) => row.example);

  function checkChange(sentence: string, at: number, char: string): void {
    const changed = sentence.slice(0, at) + char + sentence.slice(at + 1);
    const [right] = decode(sentence, REQUIRED).pieces;
    const { pieces } = decode(changed, REQUIRED);
    const heard = pieces.filter((piece) => piece.kind === "sentence");
    for (const piece of heard) expect(piece).toEqual(right);
    // The start delimiter is outside the checksum: `!` makes another, unknown sentence of it, `#` a remark.
    const otherStart = at === 0 && (char === "!" || char === "#");
    const refused = pieces.some((piece) => piece.kind === "refused");
    if (heard.length === 0 && !refused && !otherStart) expect.fail(`${changed} was passed over in silence`);
  }

  test("any one-character change of a sealed sentence is refused or changes nothing", () => {
    fc.assert(
      fc.property(fc.constantFrom(...sealed), fc.nat(), latin1, (sentence, at, char) =>
        checkChange(sentence, at % sentence.length, char),
      ),
      { numRuns: 2500 },
    );
  });

  test("the same, every change there is, for a fix", () => {
    const sentence = "$GPRMC,123519.00,A,5045.6120,N,00118.2340,W,0.2,214.5,150626,1.1,W,A,S*4D";
    for (let at = 0; at < sentence.length; at++)
      for (let code = 0; code < 256; code++) checkChange(sentence, at, String.fromCharCode(code));
  });
});
