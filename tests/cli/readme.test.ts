import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";

/** Each `$ rodeward …` in the README with the lines that follow it. */
function examples(): { command: string; shown: string }[] {
  const blocks = readFileSync("README.md", "utf8").matchAll(/^ {4}\$ rodeward (.*)\n((?: {4}(?!\$).*\n)+)/gm);
  return [...blocks].map(([, command = "", shown = ""]) => ({
    command,
    shown: shown.replace(/^ {4}/gm, ""),
  }));
}

test("the README shows three boats", () => {
  expect(examples()).toHaveLength(3);
});

test.each(examples())("the README tells the truth: rodeward $command", ({ command, shown }) => {
  const out = execFileSync(process.execPath, ["dist/cli/main.js", ...command.split(" ")], {
    encoding: "utf8",
  });
  expect(out).toBe(shown);
});

test("the command that the README gives for a clone is there, from any folder", () => {
  const given = /^ {4}.*(alias rodeward=.*)$/m.exec(readFileSync("README.md", "utf8"))?.[1] ?? "false";
  // Aliases are taken from the line after the one that makes them.
  const script = `shopt -s expand_aliases\n${given}\ncd /\nrodeward --version\n`;
  expect(execFileSync("bash", ["-c", script], { encoding: "utf8" })).toMatch(/^\d+\.\d+\.\d+\n$/);
});
