import { copyFileSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { folder, rodeward } from "./shell.ts";

const here = folder();
const logs = resolve("fixtures/logs");
const river = join(logs, "gpsd-powerboat-river-dpt.nmea");
const file = (name: string, content: string | Buffer) => writeFileSync(join(here, name), content);

file("empty.nmea", "# nothing\n\n   \n");
file("words.nmea", "hello\nworld\n");
file("cut.nmea.gz", gzipSync(readFileSync(river)).subarray(0, 300));
copyFileSync(river, join(here, "plain.nmea.gz"));
copyFileSync(join(logs, "gpsd-sounder-dbt.nmea"), join(here, "no-date.nmea"));
copyFileSync(river, join(here, "river.nmea"));
file("bad.toml", '[rode]\nchain = 8\nrope = "60 m"\n');
file("good.toml", '[rode]\nchain = "8 m"\nrope = "60 m"\n');
file("stateless.toml", '[rode]\nchain = "8 m"\nrope = "60 m"\n[log]\ndirectory = "/dev/null/state"\n');
file("key.toml", '[boat]\nlenght = "9 m"\n[rode]\nchain = "8 m"\nrope = "60 m"\n');
file("broken.toml", '[rode]\nchain = "8 m\n');

/** Arguments, exit code, and what the one line on stderr must say. 1: the work found a problem; 2: bad usage. */
const BAD: readonly [args: string, code: 1 | 2, says: string][] = [
  ["replay nowhere.nmea", 1, "nowhere.nmea: no such file"],
  ["replay river.nmea nowhere.nmea", 1, "nowhere.nmea: no such file"],
  ["replay .", 1, ".: is a directory, not a file"],
  ["replay empty.nmea", 1, "empty.nmea: empty, no line in it"],
  ["replay -", 1, "standard input: empty, no line in it"],
  ["replay words.nmea", 1, "words.nmea: no usable time in it; try --clock lines:N"],
  ["replay no-date.nmea", 1, "no-date.nmea: no usable time in it; try --clock lines:N"],
  ["replay no-date.nmea --clock lines:1", 1, "no-date.nmea: no date in it to start from; give --from TIME"],
  ["replay plain.nmea.gz", 1, "plain.nmea.gz: is damaged, or not compressed with gzip"],
  [
    "replay river.nmea --json nowhere/summary.json",
    1,
    "nowhere/summary.json: the summary cannot be written: no such directory",
  ],
  ["replay", 2, "missing required argument 'log'"],
  ["replay river.nmea --fast", 2, "unknown option '--fast'"],
  ["replay river.nmea --config nowhere.toml", 2, "nowhere.toml: no such file"],
  [
    "replay river.nmea --config bad.toml",
    2,
    'bad.toml: rode.chain: "8" has no unit: did you mean "8 m" or "8 ft"?',
  ],
  ["replay river.nmea --config key.toml", 2, 'key.toml: boat.lenght: no such key; did you mean "length"?'],
  ["replay river.nmea --clock moon", 2, '"moon" is no clock; give auto, tag, sentence or lines:N'],
  ["replay river.nmea --clock lines:1 --from noon", 2, '"noon" is no time; write it like 2026-06-15T22:30Z'],
  [
    "replay river.nmea --from 2006-09-16T19:41Z",
    2,
    "--from is the time of the first line for --clock lines:N",
  ],
  ["replay river.nmea --let-go 2006-09-16T19:41", 2, '"2006-09-16T19:41" is no time'],
  [
    "replay river.nmea --let-go 2006-09-16T19:41Z --rode 30",
    2,
    '"30" has no unit: did you mean "30 m" or "30 ft"?',
  ],
  ["replay river.nmea --let-go 2006-09-16T19:41Z --rode 30kn", 2, '"kn" is no unit of a length'],
  ["replay river.nmea --rode 30m", 2, "--rode is what is out at --let-go TIME"],
  ["nights import river.nmea --rode 30m --config good.toml", 2, "--rode is what is out at --let-go TIME"],
  [
    "nights import river.nmea --from 2006-09-16T19:41Z --config good.toml",
    2,
    "--from is the time of the first",
  ],
  ["replay river.nmea --only rodes", 2, '"rodes" is no class; there are alerts, anchor, rode, acts'],
  ["replay river.nmea --speed fast", 2, '"fast" is no speed; give a number of times, or max'],
  ["rode --depth -3m", 2, '"-3m" is negative; give a length of 0 or more'],
  ["rode --depth 3m --tide-rise -9m", 2, '"-9m" is negative; give a length of 0 or more'],
  ["rode --depth 3m --wind -5kn", 2, '"-5kn" is negative; give a speed of 0 or more'],
  ["rode --depth 8,5m", 2, '"8,5m" has a comma: write decimals with a point, "8.5m"'],
  ["rode --depth 3m --wind 300kn", 2, '"300kn" is beyond measure; the most that is taken is 100 m/s'],
  ["rode --depth 3km", 2, '"3km" is beyond measure; the most that is taken is 1000 m'],
  ["rode --depth 3m --wind 10kn --gust 5kn", 2, "--gust is less than --wind"],
  ["nights rerun 1 --margin -5m", 2, '"-5m" is negative; give a length of 0 or more'],
  ["fly", 2, "unknown command 'fly'"],
  ["check", 2, "no configuration: give --config FILE"],
  ["act RODE", 2, '"RODE" is no act that is understood; write it like: act RODE 35m'],
  ["act PLACE 065 12", 2, "write it like: act PLACE 065 T 12 M"],
  [
    "act SET watch.margin 25",
    2,
    'SET refused: watch.margin: "25" has no unit: did you mean "25 m" or "25 ft"?',
  ],
  [
    "act SET watch.sleep 25",
    2,
    'SET refused: "watch.sleep" is not set in use; there are watch.stay, watch.margin',
  ],
  [
    "nights rerun 1 --scope 5",
    2,
    '"5" is no step, which is a wind and the scope from there on: write the table like',
  ],
  ["nights rerun 1 --scope 5=7", 2, '"5" has no unit: did you mean "5 kn" or "5 m/s"?'],
  [
    "run --config stateless.toml",
    1,
    "the state directory /dev/null/state cannot be used: ENOTDIR: not a directory",
  ],
  ["run --config broken.toml", 2, "broken.toml: line 2, column 13"],
];

describe("what cannot be done is said in one line on stderr, and nothing on stdout", () => {
  test.concurrent.each(BAD)("rodeward %s", async (args, code, says) => {
    const ended = await rodeward(here, args.split(" "));
    expect(ended.err).toContain(says);
    expect(ended.err.trimEnd().split("\n")).toHaveLength(1);
    expect(ended.out).toBe("");
    expect(ended.code).toBe(code);
  });
});

test("a log cut off in the middle of its compression is said, exit 1", async () => {
  const ended = await rodeward(here, ["replay", "cut.nmea.gz"]);
  expect(ended.err).toBe("cut.nmea.gz: is cut off before its end\n");
  expect(ended.code).toBe(1);
});

test("all problems of a configuration at once, a line each", async () => {
  const config = resolve("fixtures/config/bad-several-at-once.toml");
  const problems = readFileSync(config.replace(/toml$/, "expected.txt"), "utf8");
  const ended = await rodeward(here, ["check", "--config", config]);
  expect(ended.err).toBe(problems.replace(/^/gm, `${config}: `).replace(/^.*: $/m, ""));
  expect(ended.out).toBe("");
  expect(ended.code).toBe(2);
});
