import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";

const PROGRAM = "dist/cli/main.js";

function rode(...words: string[]): string {
  return execFileSync(process.execPath, [PROGRAM, "rode", ...words], { encoding: "utf8" });
}

function answer(...words: string[]): Record<string, unknown> {
  return JSON.parse(rode(...words, "--json"));
}

const KEYS =
  "depthM rollerHeightM riseM heightM windKn targetScope requiredM byRuleM byMechanicsM aboardM shortfallM " +
  "greatestDepthM loadN pullDeg groundedM reachM swingRadiusM veerDisplay";

test("--json has every key, null where something is not known", () => {
  const told = answer("--depth", "8m");
  expect(Object.keys(told).sort()).toEqual(KEYS.split(" ").sort());
  expect(told.rollerHeightM).toBeNull();
  expect(told.requiredM).toBeNull();
  expect(told.loadN).toBeNull();
});

test("10 ft of water at 5 to 1 is 50 ft of rode (common practice)", () => {
  const told = answer("--depth", "10ft", "--roller", "0ft", "--wind", "12kn");
  expect(told.targetScope).toBe(5);
  expect(told.veerDisplay).toBe("50 ft");
});

test("above 20 kn the wanted scope is 7 to 1, from 30 kn 8 to 1 (common practice)", () => {
  expect(answer("--depth", "5m", "--roller", "1m", "--wind", "22kn").targetScope).toBe(7);
  expect(answer("--depth", "5m", "--roller", "1m", "--wind", "31kn").targetScope).toBe(8);
});

test("15 ft of water, 8 ft of tide, 3 ft of bow want 182 ft at 7 to 1 (Seamanship Secrets p. 234, as quoted)", () => {
  const told = answer("--depth", "15ft", "--tide-rise", "8ft", "--roller", "3ft", "--wind", "21kn");
  expect(told.requiredM as number).toBeCloseTo(182 * 0.3048, 6);
});

test("too little rode aboard is said plainly, with the greatest depth, and is no failure", () => {
  const boat = ["--config", "fixtures/boats/turnstone.toml"];
  const told = answer("--depth", "60ft", "--wind", "25kn", ...boat);
  expect(told.shortfallM).toBeGreaterThan(0);
  expect(told.greatestDepthM).toBeLessThan(60 * 0.3048);
  expect(rode("--depth", "60ft", "--wind", "25kn", ...boat)).toContain("RODE ABOARD TOO SHORT HERE");
});

test("the table marks what is beyond the rode aboard, and only that", () => {
  const text = rode("--depth", "5m", "--config", "fixtures/boats/sand-martin.toml", "--table");
  const row = (depth: string) => text.split("\n").find((line) => line.trim().startsWith(depth)) ?? "";
  expect(row("2 m")).not.toContain("(");
  expect(row("30 m").match(/\(/g)).toHaveLength(6);
});

test("without a rode the table has no brackets, and does not explain any", () => {
  expect(rode("--depth", "5m", "--roller", "1m", "--table")).not.toMatch(/\(\d|bracket/);
});

describe("the tide as configured", () => {
  const folder = mkdtempSync(join(tmpdir(), "rode-tide-"));
  const boat = join(folder, "boat.toml");
  const rows = (text: string) => writeFileSync(join(folder, "tides.csv"), text);
  writeFileSync(
    boat,
    `${readFileSync("fixtures/boats/grey-plover.toml", "utf8")}\n[tide]\ntable = "tides.csv"\n`,
  );
  rows("time,height\n2026-06-15T10:00Z,1.2 m\n2026-06-15T16:00Z,5.2 m\n2026-06-15T22:00Z,0.8 m\n");
  const asked = (...words: string[]) => ["--depth", "8m", "--wind", "18kn", "--config", boat, ...words];

  test("rise to come and low water at that time: published example, 2.2 m at noon of 1.2 to 5.2 m", () => {
    expect(answer(...asked("--at", "2026-06-15T12:00Z")).riseM).toBeCloseTo(3, 9);
    const text = rode(...asked("--at", "2026-06-15T12:00Z"));
    expect(text).toContain("3 m of tide to come");
    expect(text).toContain("At low water 6.6 m of water here");
  });

  test("what is said on the command line comes before it", () => {
    expect(answer(...asked("--at", "2026-06-15T12:00Z", "--tide-rise", "1m")).riseM).toBe(1);
  });

  test("beyond the table nothing is read into it, and it is said", () => {
    expect(answer(...asked("--at", "2026-06-16T12:00Z")).riseM).toBeNull();
    expect(rode(...asked("--at", "2026-06-16T12:00Z"))).toContain(
      "The tide as set ended 2026-06-15T22:00:00Z: not known now",
    );
  });

  test("a bad table: one clear line, exit 2", () => {
    rows("2026-06-15T10:00Z,1.2\n2026-06-15T16:00Z,5.2 m\n");
    const done = spawnSync(process.execPath, [PROGRAM, "rode", ...asked()], { encoding: "utf8" });
    expect(done.status).toBe(2);
    expect(done.stderr.trim().split("\n")).toHaveLength(1);
    expect(done.stderr).toContain("tide.table: tides.csv: line 1: ");
  });
});

test.each([
  [["--depth", "10"], 'did you mean "10 m" or "10 ft"'],
  [[], "--depth"],
  [["--depth", "8m", "--wind", "fast"], "fast"],
  [["--depth", "8m", "--at", "noon"], "noon"],
  [["--depth", "8m", "--config", "fixtures/none.toml"], "no such file"],
])("bad input %j: one clear line, exit 2", (words, wanted) => {
  const done = spawnSync(process.execPath, [PROGRAM, "rode", ...words], { encoding: "utf8" });
  expect(done.status).toBe(2);
  expect(done.stdout).toBe("");
  expect(done.stderr.trim().split("\n")).toHaveLength(1);
  expect(done.stderr).toContain(wanted);
});

test("without a configuration it says that boat and rode are not known", () => {
  const asked = spawnSync(process.execPath, [join(process.cwd(), PROGRAM), "rode", "--depth", "8m"], {
    cwd: mkdtempSync(join(tmpdir(), "rodeward-")),
    encoding: "utf8",
  });
  expect(asked.status).toBe(0);
  expect(asked.stderr).toBe(
    "no configuration: boat and rode are not known, so this is no more than a part; give --config FILE\n",
  );
});
