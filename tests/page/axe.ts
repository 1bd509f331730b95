/** What axe-core finds on a page. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

interface Violation {
  id: string;
  impact: string;
  nodes: { html: string }[];
}

async function violationsOn(page: Page): Promise<Violation[]> {
  // The page lets no text be run as code: the tool comes as a file through the debugger.
  await page.evaluate(AXE);
  return await page.evaluate(async () => {
    const { axe } = window as unknown as { axe: { run(): Promise<{ violations: Violation[] }> } };
    return (await axe.run()).violations.map(({ id, impact, nodes }) => ({
      id,
      impact,
      nodes: nodes.map(({ html }) => ({ html })),
    }));
  });
}

const words = ({ id, nodes }: Violation) => `${id}: ${nodes[0]?.html}`;

export async function allFaults(page: Page): Promise<string[]> {
  return (await violationsOn(page)).map(words);
}

export async function seriousFaults(page: Page): Promise<string[]> {
  const found = await violationsOn(page);
  return found.filter(({ impact }) => impact === "serious" || impact === "critical").map(words);
}
