import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { readConfig } from "../../src/config/read.ts";

const BOAT = `
[boat]
length = "9.2 m"
beam = "3.1 m"
draught = "0.8 m"
roller_height = "1.1 m"
[rode]
chain = "8 m"
rope = "60 m"
`;

/** The indented blocks of the README that are configuration. */
const blocks = [...readFileSync("README.md", "utf8").matchAll(/(?:^ {4}\S.*\n|^\n(?= {4}))+/gm)]
  .map(([block]) => block)
  .filter((block) => /^ {4}\[/m.test(block));

test("the README shows ports and hooks", () => {
  expect(blocks.join("")).toMatch(/\[\[port\]\][\s\S]*\[\[hook\]\][\s\S]*\[mqtt\]/);
});

test.each(blocks)("what the README shows can be used as it stands: %#", (block) => {
  const read = readConfig(BOAT + block.replace(/^ {4}/gm, ""));
  expect(read.ok ? [] : read.problems).toEqual([]);
});
