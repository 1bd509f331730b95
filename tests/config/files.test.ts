import { mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { configProblem, findConfig, readConfigFile, USUAL_FILES } from "../../src/config/read.ts";

const FOLDER = "fixtures/config";
const names = (start: string) =>
  readdirSync(FOLDER).filter((file) => file.startsWith(start) && file.endsWith(".toml"));

test.each(names("good-"))("%s has no problem", (name) => {
  expect(readConfigFile(join(FOLDER, name))).toMatchObject({ ok: true });
});

test.each(names("bad-"))("%s: every problem, one line each", async (name) => {
  const file = join(FOLDER, name);
  const read = readConfigFile(file);
  const problems = read.ok ? [] : read.problems;
  expect(problems.length).toBeGreaterThan(0);
  expect(problems.filter((problem) => !problem.startsWith(`${file}: `) || problem.includes("\n"))).toEqual(
    [],
  );
  const text = problems.map((problem) => `${problem.slice(file.length + 2)}\n`).join("");
  await expect(text).toMatchFileSnapshot(`../../${file.replace(/toml$/, "expected.txt")}`);
});

test("where none is named: the first that is there; one that cannot be looked at is no reason to say that there is none", () => {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-"));
  const [none, beside, loop, there] = ["none.toml", "there.toml/x.toml", "loop.toml", "there.toml"].map(
    (name) => join(folder, name),
  ) as [string, string, string, string];
  writeFileSync(there, "");
  symlinkSync(loop, loop);
  expect(findConfig("named.toml", [there])).toBe("named.toml");
  expect(findConfig(undefined, [none, beside, there])).toBe(there);
  expect(findConfig(undefined, [none])).toBeUndefined();
  // Stands for every reason but absence, such as a folder that only the service may enter.
  expect(findConfig(undefined, [none, loop])).toBe(loop);
  expect(findConfig(undefined, [loop, there, none])).toBe(there);
  expect(readConfigFile(loop)).toMatchObject({ ok: false });
  rmSync(folder, { recursive: true });
});

test("who may not read the service's configuration is told how one may", () => {
  const closed = Object.assign(new Error("closed"), { code: "EACCES" });
  expect(configProblem(USUAL_FILES[1], closed)).toContain("be in the group rodeward");
  expect(configProblem("my.toml", closed)).toBe(
    "permission denied: it must be readable for the user this runs as",
  );
});
