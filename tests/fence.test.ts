/** Who may import whom, and what the pure core may not touch. No compiler: imports are literal in this tree. */
import { readdirSync, readFileSync } from "node:fs";
import { join, posix } from "node:path";
import { describe, expect, test } from "vitest";

const CORE = ["units", "nmea", "instruments", "tackle", "watch", "alerts"];
const EDGE = [
  "units",
  "nmea",
  "type core.ts",
  "type instruments",
  "type tackle",
  "type watch",
  "type alerts",
];

/** Folder (or file at the top) → what it may import besides itself; "type x" only as a type; a path: one file. */
const MAY_IMPORT: Readonly<Record<string, readonly string[] | "anything">> = {
  units: [],
  nmea: ["units", "nmea-simple"],
  instruments: ["nmea", "units"],
  tackle: ["units"],
  watch: ["instruments", "tackle", "units", "nmea/sentences/own.ts"],
  alerts: ["watch", "nmea", "units"],
  "core.ts": CORE,
  ports: EDGE,
  nightlog: EDGE,
  page: EDGE,
  rehearsal: EDGE,
  config: EDGE,
  aboard: "anything",
  cli: "anything",
  "daemon.ts": "anything",
};
const PURE: readonly string[] = [...CORE, "core.ts"];
const IMPURE =
  /Date\.now|new Date\(\)|performance\.|Math\.random|set(?:Timeout|Interval|Immediate)|queueMicrotask|process\.|console\.|\bfetch\(/;

const IMPORTS = /\b(?:from\s+|import\s+|import\()"([^"\s]+)"/g;
const TYPE_ONLY = /\b(?:import|export) type [^;"]*\bfrom "([^"]+)"/g;

/** What is wrong with a source file, by its path below src. */
function breaches(path: string, source: string): string[] {
  const home = path.split("/")[0] ?? "";
  const allowed = MAY_IMPORT[home];
  if (allowed === undefined) return [`${home} is not in the table`];
  if (allowed === "anything") return [];
  const code = withoutComments(source);
  const pure = PURE.includes(home);
  const breachesOf = (text: string, pattern: RegExp, may: (folder: string, target: string) => boolean) =>
    [...text.matchAll(pattern)].flatMap(([, specifier = ""]) => {
      if (!specifier.startsWith("."))
        return !pure || allowed.includes(specifier) ? [] : [`imports ${specifier}`];
      const target = posix.join(posix.dirname(path), specifier);
      const folder = target.split("/")[0] ?? "";
      return folder === home || may(folder, target) ? [] : [`imports ${target}`];
    });
  const asValue = (folder: string, target: string) => allowed.includes(folder) || allowed.includes(target);
  const asType = (folder: string, target: string) =>
    asValue(folder, target) || allowed.includes(`type ${folder}`);
  const found = [
    ...breachesOf(code, TYPE_ONLY, asType),
    ...breachesOf(code.replace(TYPE_ONLY, ""), IMPORTS, asValue),
  ];
  const impure = pure ? IMPURE.exec(code) : null;
  return impure === null ? found : [...found, `uses ${impure[0]}`];
}

const withoutComments = (source: string): string =>
  source.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(^|\s)\/\/.*$/gm, "");

const SRC = join(import.meta.dirname, "../src");
const files = readdirSync(SRC, { recursive: true, encoding: "utf8" })
  .map((path) => path.replaceAll("\\", "/"))
  .filter((path) => path.endsWith(".ts"));

test("the fence has something to guard", () => expect(files.length).toBeGreaterThan(50));

describe("each file keeps to its place", () => {
  test.each(files)("%s", (path) => {
    expect(breaches(path, readFileSync(join(SRC, path), "utf8"))).toEqual([]);
  });
});

describe("a planted bad source is refused", () => {
  test.each([
    ["units/bad.ts", 'import { x } from "../nmea/seal.ts";', "imports nmea/seal.ts"],
    ["tackle/bad.ts", 'import type { Picture } from "../instruments/picture.ts";', "imports instruments/"],
    ["watch/bad.ts", 'import { decode } from "../nmea/table.ts";', "imports nmea/table.ts"],
    ["watch/bad.ts", 'import {\n  a,\n} from "../alerts/table.ts";', "imports alerts/table.ts"],
    ["instruments/bad.ts", 'import { readFileSync } from "node:fs";', "imports node:fs"],
    ["alerts/bad.ts", 'export { x } from "../core.ts";', "imports core.ts"],
    ["nmea/bad.ts", 'const x = await import("../page/act.ts");', "imports page/act.ts"],
    ["ports/bad.ts", 'import { x } from "../page/act.ts";', "imports page/act.ts"],
    ["config/bad.ts", 'import { begin } from "../core.ts";', "imports core.ts"],
    [
      "config/bad.ts",
      'import type { PortRule } from "../core.ts";\nimport { begin } from "../core.ts";',
      "imports core.ts",
    ],
    ["core.ts", 'import { x } from "./daemon.ts";', "imports daemon.ts"],
    ["core.ts", "const now = Date.now();", "uses Date.now"],
    ["watch/bad.ts", "setTimeout(() => {}, 1);", "uses setTimeout"],
    ["somewhere/bad.ts", "", "somewhere is not in the table"],
  ])("%s: %s", (path, source, breach) => {
    expect(breaches(path, source).join()).toContain(breach);
  });

  test("what is only said in a comment is no breach", () => {
    expect(breaches("watch/good.ts", "// never Date.now()\n/* process.exit */ const a = 1;")).toEqual([]);
    expect(breaches("config/good.ts", 'import type { PortRule } from "../core.ts";')).toEqual([]);
  });
});
