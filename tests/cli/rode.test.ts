import { execFileSync, spawnSync } from "node:child_process";
import { expect, test } from "vitest";

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

test.each([
  [["--depth", "10"], 'did you mean "10 m" or "10 ft"'],
  [[], "--depth"],
  [["--depth", "8m", "--wind", "fast"], "fast"],
  [["--depth", "8m", "--config", "fixtures/none.toml"], "no such file"],
])("bad input %j: one clear line, exit 2", (words, wanted) => {
  const done = spawnSync(process.execPath, [PROGRAM, "rode", ...words], { encoding: "utf8" });
  expect(done.status).toBe(2);
  expect(done.stdout).toBe("");
  expect(done.stderr.trim().split("\n")).toHaveLength(1);
  expect(done.stderr).toContain(wanted);
});
