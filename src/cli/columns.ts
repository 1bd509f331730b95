/** Rows of text in aligned columns, the last one ragged. */
export function columns(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const all = [head, ...rows];
  const widths = head.map((_, i) => Math.max(...all.map((row) => (row[i] ?? "").length)));
  return all.map((row) =>
    row
      .map((text, i) => text.padEnd(widths[i] ?? 0))
      .join("  ")
      .trimEnd(),
  );
}
