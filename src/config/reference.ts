/** The configuration as a reference in Markdown, made from the schema. In: nothing; out: a table for each table. */
import { jsonSchema, type Node } from "./json-schema.ts";

const HEAD = `# Configuration reference

Made from the schema (\`src/config/schema.ts\`); the same as a file to edit is \`rodeward.toml\` beside this one.
Quantities are texts with their unit. Where no default is given, the key is needed only for what is said of it.
`;

/** The whole file. */
export function configReference(): string {
  const tables = Object.entries(jsonSchema().properties ?? {});
  return [HEAD, ...tables.map(([name, node]) => sectionOf(name, node))].join("\n");
}

function sectionOf(name: string, node: Node): string {
  const heading = node.items === undefined ? `[${name}]` : `[[${name}]]`;
  const kinds = node.items?.oneOf ?? [node.items ?? node];
  const bodies = kinds.map((kind) => `${kindOf(kind, kinds.length)}${tableOf(kind)}`);
  return `## \`${heading}\`\n\n${sentence(node.description)}\n\n${bodies.join("\n")}`;
}

function kindOf(kind: Node, kinds: number): string {
  const tag = Object.entries(kind.properties ?? {}).find(([, one]) => one.const !== undefined);
  if (kinds < 2 || tag === undefined) return "";
  return `### \`${tag[0]} = ${JSON.stringify(tag[1].const)}\`\n\n${sentence(kind.description)}\n\n`;
}

function tableOf(table: Node): string {
  const rows = Object.entries(table.properties ?? {}).flatMap(([key, node]) => {
    if (node.const !== undefined) return [];
    const needed = (table.required?.includes(key) ?? false) && node.default === undefined;
    const preset = node.default === undefined ? "" : code(node.default);
    return [`| \`${key}\` | ${needed ? "needed" : preset} | ${meaningOf(node)} |`];
  });
  return `| key | default | meaning |\n|---|---|---|\n${rows.join("\n")}\n`;
}

function meaningOf(node: Node): string {
  const parts = [node.description ?? ""];
  const choices = node.enum ?? (node.maxItems === 0 ? undefined : node.items?.enum);
  if (choices !== undefined) parts.push(`${node.enum ? "one" : "any"} of ${choices.map(code).join(", ")}`);
  const [example] = node.examples ?? [];
  if (example !== undefined && JSON.stringify(example) !== JSON.stringify(node.default))
    parts.push(`such as ${code(example)}`);
  return parts.filter((part) => part !== "").join("; ");
}

function code(value: unknown): string {
  return `\`${JSON.stringify(value).replaceAll("|", "\\|")}\``;
}

function sentence(text = ""): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
