/** What becomes of the lines of each recorded log, held against a golden and against what SOURCES.md says of it. */
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { decode, type Piece, type Sentence } from "../../src/nmea/table.ts";
import { LOGS, linesOf } from "./recorded-logs.ts";

interface Counts {
  /** Pieces: accepted (sentences, ignored, unknown) and refused. */
  pieces: number;
  sentences: Record<string, number>;
  ignored: Record<string, number>;
  unknown: Record<string, number>;
  refused: Record<string, number>;
  overLong: number;
  tagDropped: number;
}

function add(counts: Record<string, number>, key: string): void {
  counts[key] = (counts[key] ?? 0) + 1;
}

function sorted(counts: Record<string, number>): Record<string, number> {
  return Object.fromEntries(Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1)));
}

function total(counts: Record<string, number>): number {
  return Object.values(counts).reduce((sum, n) => sum + n, 0);
}

function countPiece(counts: Counts, piece: Piece): void {
  counts.pieces++;
  if (piece.kind !== "refused" && piece.overLong) counts.overLong++;
  if (piece.kind === "refused") add(counts.refused, piece.reason);
  else if (piece.kind === "sentence") add(counts.sentences, piece.sentence.id);
  else if (piece.kind === "ignored") add(counts.ignored, formatter(piece.address));
  else add(counts.unknown, piece.address);
}

function formatter(address: string): string {
  return address.startsWith("P") ? address : address.slice(2);
}

function countsOf(log: string, checksum: "required" | "optional" = "required"): Counts {
  const counts: Counts = {
    pieces: 0,
    sentences: {},
    ignored: {},
    unknown: {},
    refused: {},
    overLong: 0,
    tagDropped: 0,
  };
  for (const line of linesOf(log)) {
    const { pieces, tagDropped } = decode(line, { checksum });
    counts.tagDropped += tagDropped;
    for (const piece of pieces) countPiece(counts, piece);
  }
  const { sentences, ignored, unknown, refused } = counts;
  return {
    ...counts,
    sentences: sorted(sentences),
    ignored: sorted(ignored),
    unknown: sorted(unknown),
    refused: sorted(refused),
  };
}

const COUNTS: ReadonlyMap<string, Counts> = new Map(LOGS.map((log) => [log, countsOf(log)]));

function counted(log: string): Counts {
  const counts = COUNTS.get(log);
  if (counts === undefined) throw new Error(`no log ${log}`);
  return counts;
}

test("the counts of every log are those of the golden", async () => {
  const text = `${JSON.stringify(Object.fromEntries(COUNTS), null, 2)}\n`;
  await expect(text).toMatchFileSnapshot("../../fixtures/logs/counts.expected.json");
});

describe("SOURCES.md, section 4", () => {
  const table = readFileSync(new URL("../../fixtures/logs/SOURCES.md", import.meta.url), "utf8")
    .split("## 4.")[1]
    ?.split("## 5.")[0]
    ?.split("\n")
    .filter((line) => line.startsWith("|"))
    .map((line) =>
      line
        .split("|")
        .slice(1, -1)
        .map((cell) => cell.trim()),
    );
  const [head = [], , ...rows] = table ?? [];

  test("has a row for each log", () => {
    expect(rows.map(([log]) => log).sort()).toEqual(LOGS);
  });

  /** Sound sentences that begin inside an unfinished one: not at the start of a line, so not counted there. */
  const GLUED: Readonly<Record<string, Readonly<Record<string, number>>>> = {
    "gpsd-handheld-glued": { GLL: 1 },
  };

  test.each(rows.map((row) => ({ log: row[0] ?? "", row })))("$log", ({ log, row }) => {
    const counts = counted(log);
    const sound = total(counts.refused) === 0;
    for (const [at, type] of head.entries()) {
      if (!/^[A-Z]{3}$/.test(type)) continue;
      const told = Number(row[at] || 0) + (GLUED[log]?.[type] ?? 0);
      const ours = (counts.sentences[type] ?? 0) + (counts.ignored[type] ?? 0);
      // It counts headers whatever the checksum, so a log with refused lines can only have fewer.
      if (sound) expect(ours, type).toBe(told);
      else expect(ours, type).toBeLessThanOrEqual(told);
    }
  });

  /** Where its count of wrong checksums and ours differ, and why. */
  const OTHERWISE: Readonly<Record<string, number>> = {
    // Both count 20 with a whole header. It adds three that the next sentence cuts into (truncated to us, and the
    // next one sound), we add twelve whose header is damaged.
    "gpsd-gnss-coldboot-corrupt": 32,
    // One line each is cut into by the next sentence: truncated, and the next one is sound.
    "gpsd-gnss-gst-glued": 0,
    "gpsd-handheld-glued": 0,
    // "*3)", and the header "$&bTXT": not counted there.
    "pynmeagps-bad-checksum-digit": 1,
    "pynmeagps-bad-header": 1,
  };

  test.each(rows.map((row) => ({ log: row[0] ?? "", told: Number(row.at(-1) || 0) })))(
    "$log: $told wrong checksums",
    ({ log, told }) => expect(counted(log).refused["bad-checksum"] ?? 0).toBe(OTHERWISE[log] ?? told),
  );
});

test.each([
  ["race-flensburg-2013-08-03", 26108],
  ["race-flensburg-2013-07-31-frozen-checksums", 14054],
  ["moored-geneva-2014-07-22-vwr", 30829],
  ["moored-geneva-2014-06-26-frozen-fix", 23700],
  ["moored-geneva-2014-08-19-departure", 21500],
  ["race-leman-2008-05-21-garbage", 15524],
])("SOURCES.md, section 1: %s has %i lines, each one piece", (log, lines) => {
  expect(counted(log).pieces).toBe(lines);
});

describe("what SOURCES.md says is odd", () => {
  function sentencesOf(log: string): { line: number; sentence: Sentence }[] {
    return linesOf(log).flatMap((text, at) =>
      decode(text, { checksum: "required" }).pieces.flatMap((piece) =>
        piece.kind === "sentence" ? [{ line: at + 1, sentence: piece.sentence }] : [],
      ),
    );
  }

  test("the hung source: one fix 2035 times, lines 1906 to 22238", () => {
    const text = "$IIRMC,151216,A,4612.828,N,00610.246,E,00.0,000,260614,01,E,A*0E";
    const lines = linesOf("moored-geneva-2014-06-26-frozen-fix");
    const [first, ...others] = lines.flatMap((line, at) => (line === text ? [at + 1] : []));
    expect([first, others.at(-1), others.length + 1]).toEqual([1906, 22238, 2035]);
    const repeated = sentencesOf("moored-geneva-2014-06-26-frozen-fix").filter(
      ({ sentence }) => sentence.id === "RMC" && sentence.timeOfDayS === 15 * 3600 + 12 * 60 + 16,
    );
    expect(repeated).toHaveLength(2035);
    for (const { sentence } of repeated)
      expect(sentence).toMatchObject({ status: "valid", sogKn: 0, cogDeg: 0 });
  });

  test("117 DPT and 541 RMB pass a frozen checksum by luck", () => {
    const { sentences, refused } = counted("race-flensburg-2013-07-31-frozen-checksums");
    expect(sentences.DPT).toBe(117);
    // One of the 541 is garbled.
    expect([sentences.RMB, refused["bad-number"]]).toEqual([540, 1]);
  });

  test("27 lines of more than 82 characters", () => {
    expect(counted("gpsd-dual-antenna-heading-overlong").overLong).toBe(27);
  });

  test("194 GGA of quality 0, then 21 of quality 1; four headings of 274", () => {
    const all = sentencesOf("gpsd-heading-receiver-no-fix").map(({ sentence }) => sentence);
    const qualities = all.flatMap((s) => (s.id === "GGA" ? [s.quality] : []));
    expect(qualities.filter((quality) => quality === "none")).toHaveLength(194);
    expect(qualities.slice(194)).toEqual(Array.from({ length: 21 }, () => "autonomous"));
    const headings = all.flatMap((s) => (s.id === "HDT" ? [s.headingDeg] : []));
    expect(headings.filter((heading) => heading !== undefined)).toEqual([274.07, 274.04, 274.12, 274.11]);
    expect(headings).toHaveLength(215);
  });

  test("no checksum anywhere: heard only where the port says that it may be missing", () => {
    expect(counted("gpsd-gnss-no-checksum").refused).toEqual({ "no-checksum": 13 });
    const { refused, sentences, ignored } = countsOf("gpsd-gnss-no-checksum", "optional");
    expect(refused).toEqual({});
    expect([sentences, ignored]).toEqual([
      { GGA: 2, VTG: 2, ZDA: 1 },
      { GSV: 6, PFEC: 2 },
    ]);
  });

  test("34 lines of console text, and one broken by terminal escapes", () => {
    expect(counted("gpsd-gnss-escape-bytes").refused).toEqual({ "bad-character": 1, "no-start": 34 });
  });

  test("23 fixes valid, 20 void, 47 valid again", () => {
    const states = sentencesOf("gpsd-gnss-rmc-only-bad-course").map(({ sentence }) =>
      sentence.id === "RMC" ? sentence.status : undefined,
    );
    const runs = [states.slice(0, 23), states.slice(23, 43), states.slice(43)].map((run) => [
      ...new Set(run),
    ]);
    expect(runs).toEqual([["valid"], ["void"], ["valid"]]);
    expect(states).toHaveLength(90);
  });

  test("variation 01,E in 1449 HDG lines and none in 3190", () => {
    const variations = sentencesOf("moored-geneva-2014-07-22-vwr").flatMap(({ sentence }) =>
      sentence.id === "HDG" ? [sentence.variationDeg] : [],
    );
    expect(variations.filter((deg) => deg === 1)).toHaveLength(1449);
    expect(variations.filter((deg) => deg === undefined)).toHaveLength(3190);
  });
});
