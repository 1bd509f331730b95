/** The daemon measured from outside: how much memory, and how soon it hears after its start. */
import { seal } from "../../src/nmea/seal.ts";
import { handled, startChild } from "./live-child.ts";
import { quantile, secondOf, tagged } from "./live-lines.ts";
import type { BenchRow } from "./row.ts";

const PER_SECOND = 9;
const SECONDS_AT_ONCE = 50;

/** Resident memory over a long, fast-fed night on watch; everything is on, the night log as well. */
export async function memoryRows(sentences: number): Promise<BenchRow[]> {
  const child = await startChild();
  const rows: BenchRow[] = [];
  const seconds = Math.ceil(sentences / PER_SECOND);
  const begunMs = performance.now();
  child.display.resume();
  const note = (what: string) =>
    rows.push({ name: `resident memory, ${what}`, value: child.residentMB(), unit: "MB", must: 110 });
  let at = 1;
  for (; at <= 10; at++) child.bus.write(tagged(at, secondOf(at)));
  child.bus.write(tagged(at, [seal("PRDW,LETGO"), seal("PRDW,RODE,40,M"), seal("PRDW,BROUGHTUP")]));
  await handled(child, tagged(at++, [seal("PRDW,EXPECT,20,N")]));
  note("start");
  for (let quarter = 1; quarter <= 4; quarter++) {
    const until = Math.floor((seconds * quarter) / 4);
    while (at < until) {
      let text = "";
      for (let k = 0; k < SECONDS_AT_ONCE && at < until; k++, at++) text += tagged(at, secondOf(at));
      if (!child.bus.write(text)) await new Promise((resolve) => child.bus.once("drain", resolve));
    }
    await handled(child, tagged(at++, [seal("PRDW,EXPECT,20,N")]));
    note(`${((sentences * quarter) / 4 / 1e6).toFixed(2)} million sentences`);
  }
  const tookS = (performance.now() - begunMs) / 1000;
  rows.push({ name: "sentences handled a second, TCP", value: sentences / tookS, unit: "/s", must: 2000 });
  await child.stop();
  return rows;
}

export async function startRows(times: number): Promise<BenchRow[]> {
  const taken: number[] = [];
  for (let i = 0; i < times; i++) {
    const child = await startChild();
    taken.push(child.startedInMs);
    await child.stop();
  }
  const name = `start to first sentence handled (${times} starts)`;
  return [
    { name: `${name}, median`, value: quantile(taken, 0.5), unit: "ms", must: 700 },
    { name: `${name}, worst`, value: Math.max(...taken), unit: "ms", must: 700 },
  ];
}

/** Everything, about two minutes on an idle machine. */
export async function liveBench(
  sentences: number = Number(process.env.BENCH_SENTENCES ?? 2e6),
): Promise<BenchRow[]> {
  return [...(await startRows(7)), ...(await memoryRows(sentences))];
}
