import fc from "fast-check";
import { expect, test } from "vitest";
import { jsonSchema, type Node } from "../../src/config/json-schema.ts";
import { readConfig } from "../../src/config/read.ts";

const RODE = 'chain = "8 m"\nrope = "60 m"\n';
const TABLES = Object.entries(jsonSchema().properties ?? {}).flatMap(([name, node]) =>
  node.items ? [] : [name],
);

const keysOf = (node: Node | undefined) => Object.keys(node?.properties ?? {});

/** Any text that TOML can quote as JSON does. */
const anyKey = fc
  .string({ unit: "binary", minLength: 1, maxLength: 30 })
  .filter((key) => !/[\u007f\p{Cs}]/u.test(key));
const key = fc.oneof(
  anyKey,
  fc.constantFrom("__proto__", "constructor", "toString", "a.b", "", "0", 'say "ah"'),
);

const inPath = (text: string) => (/^[A-Za-z0-9_-]+$/.test(text) ? text : JSON.stringify(text));

function problemsOf(toml: string): string[] {
  const read = readConfig(toml);
  return read.ok ? [] : read.problems;
}

test("any key that is not in the schema is reported with its path, in any table", () => {
  fc.assert(
    fc.property(fc.constantFrom(...TABLES), key, (table, unknown) => {
      fc.pre(!keysOf(jsonSchema().properties?.[table]).includes(unknown));
      const own = `[${table}]\n${JSON.stringify(unknown)} = 1\n`;
      const problems = problemsOf(table === "rode" ? own + RODE : `${own}[rode]\n${RODE}`);
      expect(problems).toHaveLength(1);
      expect(problems[0]).toContain(`${table}.${inPath(unknown)}: no such key`);
    }),
    { numRuns: 300 },
  );
});

test("at the top and in a port too, with other problems around it", () => {
  fc.assert(
    fc.property(key, (unknown) => {
      fc.pre(!keysOf(jsonSchema()).includes(unknown));
      const port = jsonSchema().properties?.port?.items?.oneOf?.find((kind) => keysOf(kind).includes("baud"));
      fc.pre(!keysOf(port).includes(unknown));
      const line = `${JSON.stringify(unknown)} = 1\n`;
      const problems = problemsOf(
        `${line}[[port]]\nname = "bus"\nkind = "serial"\n${line}[rode]\nchain = 8\n`,
      );
      expect(problems.some((one) => one.startsWith(`${inPath(unknown)}: no such key`))).toBe(true);
      expect(problems.some((one) => one.startsWith(`port[0].${inPath(unknown)}: no such key`))).toBe(true);
      expect(problems.some((one) => one.startsWith("rode.chain: "))).toBe(true);
    }),
    { numRuns: 100 },
  );
});

test("reading never throws, whatever the text", () => {
  fc.assert(
    fc.property(fc.oneof(fc.string(), fc.string({ unit: "binary" })), (text) => {
      const read = readConfig(text);
      expect(read.ok).toBe(false);
    }),
  );
});
