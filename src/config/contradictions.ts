/** What single values cannot show: contradictions between them. */
import type { z } from "zod";

/** Port names of our own. */
export const RESERVED_PORTS = ["page", "shell", "edge", "log"] as const;

interface Checked {
  rode: { chain: number; rope: number };
  watch: { wind_limit: number; gust_limit: number };
  port: readonly { name: string }[];
  sources: Readonly<Record<string, unknown>>;
}

/** Adds a problem for each contradiction; none stops the others from being found. */
export function contradictions(config: Checked, context: z.RefinementCtx): void {
  const problem: Problem = (path, message) => context.addIssue({ code: "custom", path, message });
  if (config.rode.chain + config.rode.rope <= 0)
    problem(["rode"], "chain and rope are both 0 m: nothing to lie to");
  if (config.watch.gust_limit < config.watch.wind_limit) {
    problem(["watch", "gust_limit"], "is below wind_limit; a gust limit is the higher of the two");
  }
  const names = config.port.map((one) => one.name);
  checkNames(names, problem);
  checkSources(config.sources, names, problem);
}

type Problem = (path: (string | number)[], message: string) => void;

function checkNames(names: readonly string[], problem: Problem): void {
  for (const [i, name] of names.entries()) {
    if (names.indexOf(name) !== i) problem(["port", i, "name"], `"${name}" is there twice`);
    if ((RESERVED_PORTS as readonly string[]).includes(name)) {
      problem(["port", i, "name"], `"${name}" is one of rodeward's own; choose another`);
    }
  }
}

function checkSources(sources: Checked["sources"], names: readonly string[], problem: Problem): void {
  for (const [key, order] of Object.entries(sources)) {
    if (!Array.isArray(order)) continue;
    for (const [i, source] of order.entries()) {
      const name = String(source).split("/")[0] ?? "";
      if (names.includes(name)) continue;
      problem(["sources", key, i], `"${source}" names no port; there are: ${names.join(", ") || "none"}`);
    }
  }
}
