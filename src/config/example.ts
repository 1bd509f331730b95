/**
 * The commented example: every key with its default or an example, made from the schema. In: nothing; out: TOML
 * that can be read as it stands.
 */
import { jsonSchema, type Node } from "./json-schema.ts";

const HEAD = `# rodeward's configuration, commented. It is looked for in ./rodeward.toml, then /etc/rodeward/rodeward.toml.
#
# Keys as they stand have their default values, except in [rode], which is needed. Take the # away in front of a
# key to set it. Quantities are texts with their unit: "9.2 m", "30 ft", "5 fathoms", "20 kn", "10 m/s", "10 min".
# \`rodeward check\` names all that is wrong with a configuration, each with its key.
`;

/** The example file, whole. */
export function exampleConfig(): string {
  const tables = Object.entries(jsonSchema().properties ?? {});
  const blocks = tables.map(([name, node]) => (node.items ? blocksText(name, node) : tableText(name, node)));
  return [HEAD, ...blocks].join("\n");
}

/** One line to be: a key with its value, and what is said of it. */
interface Entry {
  setting: string;
  remark: string;
}

function tableText(name: string, table: Node): string {
  const entries = Object.entries(table.properties ?? {}).map(([key, node]) => {
    const needed = table.required?.includes(key) ?? false;
    const off = node.default === undefined && !needed ? "#" : "";
    const value = node.default ?? exampleOf(node);
    const remark = (needed ? "needed: " : "") + remarkOn(node, value);
    return { setting: `${off}${key} = ${toml(value)}`, remark };
  });
  return `${heading(table)}\n[${name}]\n${linesOf(entries)}`;
}

/** A list of tables: a block for each kind, all commented out. What all kinds have is shown once. */
function blocksText(name: string, list: Node): string {
  const shown = new Set<string>();
  const kinds = list.items?.oneOf ?? [list.items ?? {}];
  const blocks = kinds.map((kind) => {
    const all = Object.entries(kind.properties ?? {});
    const some = all.filter(([key, node]) => isOwn(kind, key, node) || !shown.has(remarkOn(node, undefined)));
    const entries = some.map(([key, node]) => {
      shown.add(remarkOn(node, undefined));
      const value = node.const ?? exampleOf(node) ?? node.default;
      return { setting: `#${key} = ${toml(value)}`, remark: remarkOn(node, value) };
    });
    const head = kinds.length > 1 ? `\n${heading(kind)}` : "";
    return `${head}\n#[[${name}]]\n${linesOf(entries)}`;
  });
  return `${heading(list)}${blocks.join("")}`;
}

/** Shown for every kind: what it needs, what tells it apart, and what it would be mute without. */
function isOwn(kind: Node, key: string, node: Node): boolean {
  const [example] = node.examples ?? [];
  const differs = node.default !== undefined && example !== undefined && toml(example) !== toml(node.default);
  return node.const !== undefined || differs || (kind.required?.includes(key) ?? false);
}

function remarkOn(node: Node, value: unknown): string {
  const description = node.description ?? "";
  const members = node.maxItems === 0 ? undefined : node.items?.enum;
  const choice = (node.enum ?? members ?? []).filter((one) => one !== value);
  const unsaid = choice.some((one) => !description.includes(toml(one)));
  const parts = [description];
  if (unsaid) parts.push(`${node.enum ? "or" : "any of"} ${choice.map(toml).join(", ")}`);
  const isEmptyList = Array.isArray(value) && value.length === 0;
  if (isEmptyList && node.examples !== undefined) parts.push(`such as ${toml(node.examples[0])}`);
  return parts.filter((part) => part !== "").join("; ");
}

/** A value on one line. JSON writes texts, numbers, true and false as TOML does. */
function toml(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(toml).join(", ")}]`;
  if (typeof value !== "object" || value === null) return JSON.stringify(value);
  const pairs = Object.entries(value).map(([key, one]) => `${key} = ${toml(one)}`);
  return `{ ${pairs.join(", ")} }`;
}

function exampleOf(node: Node): unknown {
  const [example] = node.examples ?? [];
  if (example !== undefined || node.items === undefined || node.default !== undefined) return example;
  return [exampleOf(node.items)];
}

function heading(node: Node): string {
  const text = node.description ?? "";
  return `# ${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}

/** A remark on lines of its own. */
function wrapped(remark: string): string {
  const lines = [""];
  for (const word of remark.split(" ")) {
    const last = lines.at(-1) ?? "";
    if (`# ${last} ${word}`.length > WIDEST) lines.push(word);
    else lines[lines.length - 1] = last === "" ? word : `${last} ${word}`;
  }
  return lines.map((line) => `# ${line}`).join("\n");
}

const WIDEST = 118;
/** Longer settings have their remark above them, so that they do not push all others to the right. */
const FARTHEST = 34;

/** Settings with their remarks beside them, in one column; above, where there is no room beside. */
function linesOf(entries: readonly Entry[]): string {
  const lengths = entries.map(({ setting }) => setting.length).filter((length) => length <= FARTHEST);
  const column = Math.max(0, ...lengths);
  const lines = entries.map(({ setting, remark }) => {
    if (remark === "") return setting;
    const beside = `${setting.padEnd(column)}  # ${remark}`;
    return setting.length <= column && beside.length <= WIDEST ? beside : `${wrapped(remark)}\n${setting}`;
  });
  return `${lines.join("\n")}\n`;
}
