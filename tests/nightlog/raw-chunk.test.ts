import { readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { expect, test } from "vitest";
import { packed, plainLines, plainText, type RawLine, unpacked } from "../../src/nightlog/raw-chunk.ts";
import { seal } from "../../src/nmea/seal.ts";

/** Anything a splitter may hand over: every latin1 character but the line ends. */
const latin1 = fc
  .array(fc.integer({ min: 0, max: 255 }), { maxLength: 40 })
  .map((codes) => String.fromCharCode(...codes.filter((code) => code !== 10 && code !== 13)));
const sentence = fc
  .tuple(
    fc.constantFrom("GPRMC", "IIMWV", "SDDPT"),
    fc.array(fc.constantFrom("", "1", "2.50", "A"), { maxLength: 4 }),
  )
  .map(([head, places]) => seal([head, ...places].join(",")));
const line = fc.record({
  text: fc.oneof(
    latin1,
    sentence,
    sentence.map((text) => text.slice(0, -1)),
    sentence.map((text) => text.toLowerCase()),
  ),
  port: fc.constantFrom("bus", "gps", "page"),
  step: fc.integer({ min: 0, max: 5000 }),
});
const lines = fc.array(line, { maxLength: 60 }).map((list): RawLine[] => {
  let atMs = 1_781_467_200_000;
  return list.map(({ text, port, step }) => {
    atMs += step;
    return { text, port, atMs };
  });
});

test("whatever was heard comes back from a chunk as it was", async () => {
  await fc.assert(
    fc.asyncProperty(lines, async (list) => {
      expect(unpacked(await packed(list))).toEqual(list);
    }),
    { numRuns: 150 },
  );
});

test("and from the plain text that waits for its chunk", () => {
  fc.assert(
    fc.property(lines, (list) => {
      expect(plainLines(plainText(list))).toEqual(list);
    }),
  );
});

test("a checksum that is wrong, short or in small letters is kept as it was", async () => {
  const texts = [
    "$IIHDT,20.0,T*11",
    "$IIHDT,20.0,T*1",
    "$IIHDT,20.0,T",
    "$IIHDT,2,T*3f",
    "!AIVDM,1,1,,A,x,0*00",
    "",
  ];
  const list = texts.map((text, i) => ({ text, port: "bus", atMs: i }));
  expect(unpacked(await packed(list))).toEqual(list);
});

test.each([
  ["moored-geneva-2014-07-22-vwr.nmea", 0.05],
  ["gpsd-ijsselmeer-wind-depth-heading.nmea", 0.1],
  ["race-flensburg-2013-08-03.nmea", 0.1],
])("%s takes less than %f of its room", async (name, most) => {
  const text = readFileSync(join(import.meta.dirname, "../../fixtures/logs", name), "latin1");
  const list = text
    .split(/\r?\n/)
    .slice(0, 8000)
    .map((one, i) => ({ text: one, port: "bus", atMs: Math.floor(i / 9) * 1000 + (i % 9) * 37 }));
  let kept = 0;
  for (let i = 0; i < list.length; i += 4000) kept += (await packed(list.slice(i, i + 4000))).length;
  const bytes = list.reduce((sum, one) => sum + one.text.length + 2, 0);
  console.log(`${name}: ${((100 * kept) / bytes).toFixed(1)} % of ${bytes} bytes`);
  expect(kept / bytes).toBeLessThan(most);
});
