/** The configuration's schema as JSON Schema: for editors, for the commented example, for naming keys. */
import { z } from "zod";
import { configSchema } from "./schema.ts";

/** The parts of JSON Schema that our schema makes use of. */
export interface Node {
  readonly description?: string;
  readonly default?: unknown;
  readonly examples?: readonly unknown[];
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly properties?: Readonly<Record<string, Node>>;
  readonly required?: readonly string[];
  readonly items?: Node;
  readonly maxItems?: number;
  readonly oneOf?: readonly Node[];
}

let made: Node | undefined;

/** What may be written in the file, as draft 2020-12. Made when it is first asked for: a start does not need it. */
export function jsonSchema(): Node {
  made ??= z.toJSONSchema(configSchema, { io: "input" }) as Node;
  return made;
}

/** Keys of the table at a path of the data; of a port, those of its kind. Empty where there is no table. */
export function keysAt(root: Node, path: readonly PropertyKey[], data: unknown): string[] {
  let node: Node | undefined = root;
  let value = data;
  for (const key of path) {
    value = Object.entries(value ?? {}).find(([name]) => name === String(key))?.[1];
    const next: Node | undefined = typeof key === "number" ? node?.items : node?.properties?.[String(key)];
    node = next?.oneOf === undefined ? next : next.oneOf.find((one) => isOfKind(one, value));
  }
  return Object.keys(node?.properties ?? {});
}

/** Is the value of this member of a union, told by its constant keys? */
function isOfKind(node: Node, value: unknown): boolean {
  const given = new Map(Object.entries(value ?? {}));
  return Object.entries(node.properties ?? {}).every(
    ([key, property]) => property.const === undefined || property.const === given.get(key),
  );
}
