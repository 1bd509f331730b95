import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { createSplitter, LONGEST_LINE } from "../../src/ports/line-splitter.ts";
import { usedBytes } from "./ear.ts";

function split(chunks: readonly Uint8Array[]): { lines: string[]; overrunBytes: number } {
  const lines: string[] = [];
  const splitter = createSplitter((text) => lines.push(text));
  for (const chunk of chunks) splitter.push(chunk);
  splitter.flush();
  return { lines, overrunBytes: splitter.stats.overrunBytes };
}

/** The definition, said another way: split at every CR and LF, leave out the empty and the overlong. */
function byDefinition(bytes: Uint8Array): { lines: string[]; overrunBytes: number } {
  const pieces = Buffer.from(bytes)
    .toString("latin1")
    .split(/[\r\n]/);
  const overlong = pieces.filter((p) => p.length > LONGEST_LINE);
  return {
    lines: pieces.filter((p) => p !== "" && p.length <= LONGEST_LINE),
    overrunBytes: overlong.reduce((sum, p) => sum + p.length, 0),
  };
}

/** Streams of bytes rich in line ends, with stretches about the bound. */
const stream = fc
  .array(
    fc.oneof(
      { weight: 4, arbitrary: fc.uint8Array({ maxLength: 30 }) },
      { weight: 4, arbitrary: fc.constantFrom("\r\n", "\n", "\r", "\n\r").map((t) => Buffer.from(t)) },
      {
        weight: 1,
        arbitrary: fc.integer({ min: -2, max: 2 }).map((n) => Buffer.alloc(LONGEST_LINE + n, 65)),
      },
    ),
    { maxLength: 30 },
  )
  .map((parts) => new Uint8Array(Buffer.concat(parts)));

function cut(bytes: Uint8Array, places: readonly number[]): Uint8Array[] {
  const at = [...places.map((p) => p % (bytes.length + 1)), 0, bytes.length].sort((a, b) => a - b);
  return at.slice(1).map((end, i) => bytes.subarray(at[i], end));
}

describe("line splitter", () => {
  test("any cutting of a byte stream gives the same lines, and none of its bytes is lost", () => {
    fc.assert(
      fc.property(stream, fc.array(fc.nat(), { maxLength: 20 }), (bytes, places) => {
        expect(split(cut(bytes, places))).toEqual(byDefinition(bytes));
      }),
      { numRuns: 500 },
    );
  });

  test("byte by byte: LF, CR, CR LF and empty lines", () => {
    const bytes = Buffer.from("$A*00\r\n$B*00\n$C*00\r\r\n\n$D", "latin1");
    const single = [...bytes].map((b) => Uint8Array.of(b));
    expect(split(single).lines).toEqual(["$A*00", "$B*00", "$C*00", "$D"]);
  });

  test("every byte value is one character", () => {
    const bytes = Uint8Array.from({ length: 256 }, (_, i) => i).filter((b) => b !== 10 && b !== 13);
    const [line] = split([bytes]).lines;
    expect([...(line ?? "")].map((c) => c.charCodeAt(0))).toEqual([...bytes]);
  });

  test("a line at the bound is kept, one byte more is dropped up to its end and counted", () => {
    const { lines, overrunBytes } = split([
      Buffer.from(`${"a".repeat(LONGEST_LINE)}\n${"b".repeat(LONGEST_LINE + 1)}\ngood\n`),
    ]);
    expect(lines).toEqual(["a".repeat(LONGEST_LINE), "good"]);
    expect(overrunBytes).toBe(LONGEST_LINE + 1);
  });

  test("5 MB without a line end: no memory kept, all counted, the next line is read", async () => {
    const lines: string[] = [];
    const splitter = createSplitter((text) => lines.push(text));
    const chunkBytes = 5120;
    const before = await usedBytes();
    for (let i = 0; i < 1000; i++) splitter.push(Buffer.alloc(chunkBytes, 0x55));
    const grownBytes = (await usedBytes()) - before;
    splitter.push(Buffer.from("\n$GOOD*00\r\n"));
    expect(grownBytes).toBeLessThan(1_000_000);
    expect(splitter.stats.overrunBytes).toBe(1000 * chunkBytes);
    expect(lines).toEqual(["$GOOD*00"]);
  });

  test("what a lost connection cuts off is no line", () => {
    const lines: string[] = [];
    const splitter = createSplitter((text) => lines.push(text));
    splitter.push(Buffer.from("$SDDPT,12"));
    splitter.discard();
    splitter.push(Buffer.from("$SDDPT,9.9,0.5\r\n"));
    expect(lines).toEqual(["$SDDPT,9.9,0.5"]);
    expect(splitter.stats.overrunBytes).toBe("$SDDPT,12".length);
  });

  test("a listener that throws spoils only its own line", () => {
    const lines: string[] = [];
    const splitter = createSplitter((text) => {
      if (text === "bad") throw new Error("listener");
      lines.push(text);
    });
    expect(() => splitter.push(Buffer.from("bad\n"))).toThrow("listener");
    splitter.push(Buffer.from("good\n"));
    expect(lines).toEqual(["good"]);
  });
});
