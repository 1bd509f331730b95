import { parse } from "smol-toml";
import { expect, test } from "vitest";
import { exampleConfig } from "../../src/config/example.ts";
import { jsonSchema, type Node } from "../../src/config/json-schema.ts";
import { readConfig } from "../../src/config/read.ts";

/** Both files are made: `npx vitest run tests/config/example.test.ts -u` writes them anew. */
const EXAMPLE = "../../config/rodeward.toml";
const SCHEMA = "../../config/rodeward.schema.json";

/** Every key set: a key that is commented out has its # directly in front, a remark has a blank after it. */
const withAllKeys = (text: string) => text.replace(/^#(?=\[\[|[a-z_]+ = )/gm, "");

/** Paths of all keys of a schema; of a list of tables, those of any kind. */
function keysOf(node: Node, path: string): string[] {
  const members = node.items?.oneOf ?? (node.items?.properties === undefined ? [] : [node.items]);
  const tables = [node, ...members];
  const found = tables.flatMap((table) =>
    Object.entries(table.properties ?? {}).flatMap(([key, below]) => [
      `${path}${key}`,
      ...keysOf(below, `${path}${key}.`),
    ]),
  );
  return [...new Set(found)];
}

/** The same of parsed TOML. */
function keysIn(value: unknown, path: string): string[] {
  if (Array.isArray(value)) return value.flatMap((one) => keysIn(one, path));
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, below]) => [
    `${path}${key}`,
    ...keysIn(below, `${path}${key}.`),
  ]);
}

test("the committed example and JSON Schema are what the schema makes", async () => {
  await expect(exampleConfig()).toMatchFileSnapshot(EXAMPLE);
  await expect(`${JSON.stringify(jsonSchema(), null, 2)}\n`).toMatchFileSnapshot(SCHEMA);
});

test("the example as it stands says nothing but the defaults", () => {
  const bare = readConfig('[rode]\nchain = "8 m"\nrope = "60 m"\n');
  expect(bare.ok).toBe(true);
  expect(readConfig(exampleConfig())).toEqual(bare);
});

test("with every key set it has no problem either", () => {
  expect(readConfig(withAllKeys(exampleConfig()))).toMatchObject({ ok: true });
});

test("it shows every key there is, each with a word about it", () => {
  const shown = new Set(keysIn(parse(withAllKeys(exampleConfig())), ""));
  const keys = keysOf(jsonSchema(), "");
  expect(keys.length).toBeGreaterThan(60);
  expect(keys.filter((key) => !shown.has(key))).toEqual([]);
  const bare = (node: Node, path: string): string[] =>
    Object.entries(node.properties ?? {}).flatMap(([key, below]) => {
      const own = below.description === undefined && below.const === undefined ? [`${path}${key}`] : [];
      const kinds = below.items?.oneOf ?? [];
      return [
        ...own,
        ...bare(below, `${path}${key}.`),
        ...kinds.flatMap((kind) => bare(kind, `${path}${key}.`)),
      ];
    });
  expect(bare(jsonSchema(), "")).toEqual([]);
});

test("it fits a terminal and has no tabs or blanks at line ends", () => {
  const lines = exampleConfig().split("\n");
  expect(lines.filter((line) => line.length > 118 || /\t|\s$/.test(line))).toEqual([]);
});

test("tables come in the order in which a boat is fitted out", () => {
  const tables = exampleConfig()
    .match(/^#?\[+([a-z]+)\]+$/gm)
    ?.map((line) => line.replace(/[#[\]]/g, ""));
  expect([...new Set(tables)].join(" ")).toBe(
    "boat transducer rode scope watch port hook sources stale forecast tide page mqtt log",
  );
});
