import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { checksumOf } from "../../src/nmea/seal.ts";
import { folder, pipeline, rodeward } from "./shell.ts";

const here = folder();
const logs = resolve("fixtures/logs");
const boat = resolve("fixtures/boats/grey-plover.toml");
const river = join(logs, "gpsd-powerboat-river-dpt.nmea");
const departure = join(logs, "moored-geneva-2014-08-19-departure.nmea");
/** Its first six minutes, lying still. */
writeFileSync(
  join(here, "still.nmea"),
  readFileSync(departure, "latin1").split("\n").slice(0, 3200).join("\n"),
);
const onWatch = ["replay", "still.nmea", "--config", boat, "--let-go", "2014-08-19T16:03Z", "--rode", "25m"];

interface Printed {
  atMs: number;
  formatter: string;
  sentence: string;
}

/** Every line must be a TAG block and a sentence, both sealed, within 82 characters. */
function printed(out: string): Printed[] {
  expect(out.endsWith("\n")).toBe(true);
  return out
    .slice(0, -1)
    .split("\n")
    .map((line) => {
      const [, block = "", blockSum, body = "", sum] =
        /^\\([^\\*]*)\*([0-9A-F]{2})\\[$]([^$*!\\]*)\*([0-9A-F]{2})$/.exec(line) ?? [];
      expect(line).toMatch(/^\\c:\d{13},s:rodeward\*/);
      expect(checksumOf(block), line).toBe(blockSum);
      expect(checksumOf(body), line).toBe(sum);
      const sentence = line.slice(line.lastIndexOf("\\") + 1);
      expect(sentence.length + 2, line).toBeLessThanOrEqual(82);
      const atMs = Number(/^c:(\d+)/.exec(block)?.[1]);
      return { atMs, formatter: body.startsWith("P") ? body.slice(0, 4) : body.slice(2, 5), sentence };
    });
}

describe("a whole replay", () => {
  test("prints sealed, stamped sentences of every class, in order of time, and a summary elsewhere", async () => {
    const json = join(here, "summary.json");
    const ended = await rodeward(here, [...onWatch, "--json", json]);
    expect(ended.code).toBe(0);
    const lines = printed(ended.out);
    const seen = new Set(lines.map((line) => line.formatter));
    for (const one of ["ALR", "ALF", "ALC", "HBT", "TXT", "WPL", "BWC", "XDR", "PRDW"])
      expect(seen).toContain(one);
    expect(lines.every((line, i) => line.atMs >= (lines[i - 1]?.atMs ?? 0))).toBe(true);
    expect(ended.err).toContain("warning scope-short");
    const summary = JSON.parse(readFileSync(json, "utf8"));
    expect(Object.keys(summary)).toEqual(
      expect.arrayContaining([
        "from",
        "to",
        "lines",
        "accepted",
        "refused",
        "anchor",
        "rodeM",
        "alerts",
        "phases",
        "conditions",
      ]),
    );
    expect(summary.lines).toBe(summary.accepted + sum(Object.values(summary.refused)));
  });

  test("--only prints one class", async () => {
    const [alerts, acts] = await Promise.all(
      ["alerts", "acts"].map(async (only) =>
        printed((await rodeward(here, [...onWatch, "--only", only])).out),
      ),
    );
    const seen = new Set(alerts?.map((line) => line.formatter));
    expect([...seen].sort()).toEqual(["ALC", "ALF", "ALR", "HBT", "TXT"]);
    expect(acts?.map((line) => line.sentence)).toEqual([
      "$PRDW,ACK,LETGO*0D",
      "$PRDW,ACK,RODE*44",
      "$PRDW,ACK,BROUGHTUP*0C",
    ]);
  });
});

const sum = (numbers: number[]) => numbers.reduce((a, b) => a + b, 0);

/** Lines and accepted sentences by the summary in words. */
const heard = (err: string) => /: (\d+) sentences, (\d+) refused/.exec(err)?.slice(1).map(Number);

describe("where logs come from", () => {
  test("compressed, by standard input and plain are all the same", async () => {
    writeFileSync(join(here, "river.nmea.gz"), gzipSync(readFileSync(river)));
    const plain = await rodeward(here, ["replay", river]);
    const packed = await rodeward(here, ["replay", "river.nmea.gz"]);
    const piped = await rodeward(here, ["replay", "-"], readFileSync(river));
    expect(heard(plain.err)).toEqual([98, 0]);
    for (const ended of [packed, piped])
      expect(ended).toMatchObject({ code: 0, out: plain.out, err: plain.err });
  });

  test("several logs follow one another in the order given", async () => {
    const lines = readFileSync(departure, "latin1").split("\n");
    const parts = [lines.slice(0, 700), lines.slice(700, 1400)];
    for (const [i, part] of parts.entries())
      writeFileSync(join(here, `part${i}.nmea`), `${part.join("\n")}\n`, "latin1");
    writeFileSync(join(here, "whole.nmea"), `${lines.slice(0, 1400).join("\n")}\n`, "latin1");
    const whole = await rodeward(here, ["replay", "whole.nmea"]);
    const inOrder = await rodeward(here, ["replay", "part0.nmea", "part1.nmea"]);
    const backwards = await rodeward(here, ["replay", "part1.nmea", "part0.nmea"]);
    expect(inOrder).toMatchObject({ code: 0, out: whole.out, err: whole.err });
    expect(backwards.code).toBe(0);
    expect(backwards.err).not.toBe(whole.err);
  });

  test("twice gives the same byte for byte, and the output is a log again, all of it accepted", async () => {
    const [first, second] = await Promise.all([rodeward(here, onWatch), rodeward(here, onWatch)]);
    expect(second.out).toBe(first.out);
    const again = await rodeward(here, ["replay", "-"], first.out);
    expect(again.code).toBe(0);
    expect(heard(again.err)).toEqual([first.out.trimEnd().split("\n").length, 0]);
  });

  test("--let-go in a log that has let go by itself says what is in the way", async () => {
    const acts = ["PRDW,LETGO", "PRDW,RODE,25.0,M", "PRDW,BROUGHTUP"].map(
      (body) => `$${body}*${checksumOf(body)}`,
    );
    const lines = readFileSync(join(here, "still.nmea"), "latin1").split("\n");
    writeFileSync(join(here, "own.nmea"), [...lines.slice(0, 500), ...acts, ...lines.slice(500)].join("\n"));
    const ended = await rodeward(here, ["replay", "own.nmea", ...onWatch.slice(2)]);
    expect(ended.err).toContain("PRDW,LETGO refused: the log's own acts have let go before");
    expect(ended.code).toBe(0);
  });

  test("without configuration it goes on without a boat", async () => {
    const json = join(here, "bare.json");
    const ended = await rodeward(here, [
      "replay",
      "still.nmea",
      "--let-go",
      "2014-08-19T16:03Z",
      "--json",
      json,
    ]);
    expect(ended.code).toBe(0);
    expect(ended.err).toContain("no configuration: boat and rode are not known, so scope is not watched");
    const summary = JSON.parse(readFileSync(json, "utf8"));
    expect(summary.anchor).not.toBeNull();
    expect(summary.rodeM).toBeNull();
    expect(summary.conditions.scope).toEqual({ min: null, max: null });
  });

  test("a configuration that lies where it is started is taken", async () => {
    const other = folder();
    writeFileSync(join(other, "rodeward.toml"), "[rode]\nchain = 8\n");
    const ended = await rodeward(other, ["replay", river]);
    expect(ended.code).toBe(2);
    expect(ended.err).toContain("rodeward.toml: rode.chain");
  });
});

test("letting go after the end of the log is said, and no anchor is made up", async () => {
  const json = join(here, "late.json");
  const ended = await rodeward(here, ["replay", river, "--let-go", "2006-09-17T00:00Z", "--json", json]);
  expect(ended.err).toContain("--let-go: no fix from that time on, so no anchor was let go");
  expect(ended.code).toBe(0);
  expect(JSON.parse(readFileSync(json, "utf8")).anchor).toBeNull();
});

test("a summary in words comes although the one in JSON cannot be written any more", async () => {
  const ended = await rodeward(here, ["replay", river, "--json", "/dev/full"]);
  expect(ended.code).toBe(1);
  expect(ended.err).toMatch(
    /98 sentences, 0 refused[\s\S]*\/dev\/full: the summary cannot be written: .+\n$/,
  );
});

test("--speed paces: 23 s of log at 20 times take a little over one second, and print the same", async () => {
  const paced = await rodeward(here, ["replay", river, "--speed", "20"]);
  const fast = await rodeward(here, ["replay", river]);
  expect(paced.out).toBe(fast.out);
  // 19:41:01 to 19:41:24 by its own clock.
  expect(paced.tookMs).toBeGreaterThan(23_000 / 20 - 50);
});

test("a reader that goes away ends it quietly", async () => {
  const ended = await pipeline(here, `$RODEWARD ${onWatch.join(" ")} | head -n 3`);
  expect(ended.out.trimEnd().split("\n")).toHaveLength(3);
  expect(ended.err).not.toMatch(/EPIPE|Error|at /);
  expect(ended.code).toBe(0);
});

test("help is a result: on stdout, exit 0", async () => {
  const ended = await rodeward(here, ["replay", "--help"]);
  expect(ended).toMatchObject({ code: 0, err: "" });
  expect(ended.out).toContain("--clock");
});
