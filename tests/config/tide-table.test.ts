import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { readConfig, readConfigFile } from "../../src/config/read.ts";
import { watchSettings } from "../../src/config/settings.ts";
import { readTideTable } from "../../src/config/tide-table.ts";

const RODE = '[rode]\nchain = "8 m"\nrope = "60 m"\n';
const ROWS = "2026-06-15T04:40Z,5.2 m\n2026-06-15T10:50Z,1.2 m\n2026-06-15T17:05Z,5.4 m\n";

describe("a table of high and low waters", () => {
  test("heading, remarks, blank lines, quotes, feet and a last line without its end are read", () => {
    const text = `time,height\r\n# from the almanac\r\n"2026-06-15T04:40Z","5.2 m"\r\n\r\n2026-06-15T12:50+02:00, 4 ft`;
    expect(readTideTable(text)).toEqual({
      ok: true,
      turns: [
        { atMs: Date.UTC(2026, 5, 15, 4, 40), heightM: 5.2 },
        { atMs: Date.UTC(2026, 5, 15, 10, 50), heightM: 4 * 0.3048 },
      ],
    });
  });

  test.each([
    ["", "0 found; two turns of the tide wanted at least"],
    ["2026-06-15T04:40Z,5.2 m\n", "1 found; two turns of the tide wanted at least"],
    ["2026-06-15T04:40Z;5.2 m\n", "line 1: "],
    ["2026-06-15T04:40Z,5.2 m,high\n", "line 1: "],
    ["2026-06-15T04:40Z,5.2\n", 'did you mean "5.2 m" or "5.2 ft"'],
    [`${ROWS}tomorrow,1.2 m\n`, 'line 4: "tomorrow" is no time'],
    ["2026-02-31T04:40Z,99 m\n", "line 1: "],
    ["2026-06-15T04:40Z,99 m\n", "no height of a tide; at most 20 m"],
    ["2026-06-15T04:40Z,5.2 m\n2026-06-15T04:40Z,1.2 m\n", "line 2: not after the line before it"],
    ["2026-06-15T04:40Z,5.2 m\n2026-06-16T10:50Z,1.2 m\n", "line 2: over a day after the line before it"],
    ["2026-06-15T04:40Z,5.2 m\n2026-06-15T10:50Z,5.2 m\n", "line 2: as high as the line before it"],
    [`${ROWS}2026-06-15T23:20Z,5.9 m\n`, "line 4: rises on from the line before it"],
  ])("%j is refused: %s", (text, wanted) => {
    const read = readTideTable(text);
    expect(read.ok ? "" : read.problem).toContain(wanted);
    expect(read.ok ? "" : read.problem).not.toContain("\n");
  });
});

describe("named in the configuration", () => {
  const folder = mkdtempSync(join(tmpdir(), "tide-"));
  const read = (tide: string, rows?: string) => {
    const file = join(folder, "boat.toml");
    writeFileSync(file, `${RODE}[tide]\n${tide}\n`);
    if (rows !== undefined) writeFileSync(join(folder, "tides.csv"), rows);
    return readConfigFile(file);
  };

  test("it is read from beside the configuration, and wins over one high and low water", () => {
    const found = read(
      'table = "tides.csv"\nhigh_water = "2026-07-01T00:00Z"\nhigh_water_height = "3 m"\nlow_water = "2026-07-01T06:00Z"\nlow_water_height = "1 m"',
      ROWS,
    );
    expect(found.ok && watchSettings(found.config).tideTurns.map(({ heightM }) => heightM)).toEqual([
      5.2, 1.2, 5.4,
    ]);
  });

  test("a bad or missing file is one line with key and file", () => {
    const missing = read('table = "none.csv"');
    expect(missing.ok ? [] : missing.problems).toEqual([
      `${join(folder, "boat.toml")}: tide.table: none.csv: no such file`,
    ]);
    const bad = read('table = "tides.csv"', "2026-06-15T04:40Z,5.2\n");
    expect(bad.ok ? [] : bad.problems).toHaveLength(1);
    expect(bad.ok ? "" : bad.problems[0]).toContain("tide.table: tides.csv: line 1: ");
  });

  const turnsOf = (tide: string) => {
    const config = readConfig(`${RODE}[tide]\n${tide}\n`);
    return config.ok ? watchSettings(config.config).tideTurns : config.problems;
  };

  test("one high and one low water with their heights are a table of two, in order of time", () => {
    expect(
      turnsOf(
        'high_water = "2026-06-15T04:40Z"\nhigh_water_height = "5.2 m"\nlow_water = "2026-06-14T22:30Z"\nlow_water_height = "-0.3 m"',
      ),
    ).toEqual([
      { atMs: Date.UTC(2026, 5, 14, 22, 30), heightM: -0.3 },
      { atMs: Date.UTC(2026, 5, 15, 4, 40), heightM: 5.2 },
    ]);
    expect(turnsOf('rise = "1.2 m"')).toEqual([]);
  });

  test.each([
    ['high_water_height = "5.2 m"', "tide.high_water_height: says nothing without high_water and low_water"],
    [
      'high_water = "2026-06-15T04:40Z"\nhigh_water_height = "1 m"\nlow_water = "2026-06-15T10:50Z"\nlow_water_height = "1.2 m"',
      "tide.high_water_height: is not above low_water_height",
    ],
    ['high_water = "2026-06-15T04:40Z"\nlow_water = "2026-06-17T10:50Z"', "tide.low_water: is over a day"],
    ['high_water = "2026-06-15T04:40Z"\nlow_water = "2026-06-15T04:40Z"', "tide.low_water: is the time of"],
  ])("contradiction %j: said", (tide, wanted) => {
    const [problem] = turnsOf(tide);
    expect(problem).toContain(wanted);
  });
});
