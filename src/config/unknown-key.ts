/** A key that is not in the schema: what may have been meant. */
import type { Node } from "./json-schema.ts";

/**
 * @param known the keys of the table it was found in
 * @param root the whole schema: the key may belong to another table
 */
export function unknownKey(key: string, known: readonly string[], root: Node): string {
  const near = nearest(key, known);
  if (near !== undefined) return `no such key; did you mean "${near}"?`;
  const table = Object.entries(root.properties ?? {}).find(([, node]) => hasKey(node, key))?.[0];
  if (table !== undefined) return `no such key here; it belongs in [${table}]`;
  return `no such key; there are ${known.join(", ")}`;
}

function hasKey(table: Node, key: string): boolean {
  return Object.keys(table.properties ?? {}).includes(key);
}

/** More slips than this and it is another word ("draft" and "draught" are three apart). */
const MOST_SLIPS = 3;

function nearest(key: string, known: readonly string[]): string | undefined {
  // "Length", "rollerHeight" and "roller-height" are no slips but another habit of writing.
  const bare = (text: string) => text.toLowerCase().replace(/[^a-z0-9]/g, "");
  const ranked = known
    .map((name) => ({ name, slips: slips(bare(key), bare(name)) }))
    .filter(({ name, slips }) => slips <= MOST_SLIPS && slips < name.length / 2)
    .sort((a, b) => a.slips - b.slips);
  return ranked[0]?.name;
}

/** Letters to put in, take out or change to make one word of the other (Levenshtein's distance). */
function slips(from: string, to: string): number {
  let row = Array.from({ length: to.length + 1 }, (_, i) => i);
  for (let i = 1; i <= from.length; i++) {
    const next = [i];
    for (let j = 1; j <= to.length; j++) {
      const changed = (row[j - 1] ?? 0) + (from[i - 1] === to[j - 1] ? 0 : 1);
      next.push(Math.min(changed, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[to.length] ?? 0;
}
