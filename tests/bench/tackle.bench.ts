/** How long one solve of the catenary takes, over the inputs a night can bring. */
import { solveCatenary } from "../../src/tackle/catenary.ts";
import { leastRodeM } from "../../src/tackle/least-rode.ts";
import { lineAboard, type Rode, veered } from "../../src/tackle/rode.ts";

export interface BenchRow {
  name: string;
  value: number;
  unit: string;
  /** The figure to stay under. */
  reference?: number;
}

const RODE: Rode = {
  chainM: 8,
  chainDiameterM: 0.008,
  ropeM: 60,
  ropeDiameterM: 0.014,
  ropeKind: "nylon-three-strand",
};

export async function tackleBench(): Promise<BenchRow[]> {
  const aboard = lineAboard(RODE);
  if (aboard === undefined) throw new Error("the bench's rode is not known well enough");
  const cases = Array.from({ length: 200 }, (_, i) => ({
    heightM: 3 + (i % 20),
    out: veered(aboard, 30 + (i % 38)),
    loadN: 10 * 1.04 ** i,
  }));
  const solve = medianUs(cases, ({ heightM, out, loadN }) => {
    const answer = solveCatenary(heightM, out, loadN);
    return answer.ok ? answer.reachM : 0;
  });
  const least = medianUs(cases, ({ heightM, loadN }) => leastRodeM(aboard, heightM, loadN, 8) ?? 0);
  return await Promise.all([
    { name: "catenary solve, median", value: solve, unit: "µs", reference: 20 },
    { name: "required rode by the mechanics, median", value: least, unit: "µs" },
  ]);
}

/** Median over rounds of the time for one case, each round walking all cases once; the first rounds only warm up. */
function medianUs<Case>(cases: readonly Case[], run: (of: Case) => number): number {
  const rounds: number[] = [];
  let sum = 0;
  for (let round = 0; round < 300; round++) {
    const startMs = performance.now();
    for (const of of cases) sum += run(of);
    rounds.push(((performance.now() - startMs) * 1000) / cases.length);
  }
  if (!Number.isFinite(sum)) throw new Error("a solve gave no number");
  const warm = rounds.slice(50).sort((a, b) => a - b);
  return warm[Math.floor(warm.length / 2)] ?? Number.NaN;
}
