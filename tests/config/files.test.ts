import { readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { readConfigFile } from "../../src/config/read.ts";

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
