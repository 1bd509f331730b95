/** The daemon measured from outside: how soon an alarm is out, how much memory, how soon it hears after its start. */
import { setTimeout as sleep } from "node:timers/promises";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import { positionFields } from "../../src/rehearsal/sentences.ts";
import { type LiveChild, startChild, T0_MS } from "./live-child.ts";
import type { BenchRow } from "./row.ts";

const SUPPLY_LOW = "RDW,10819";

/** Nine sentences of one second, no two seconds alike. */
export function secondOf(i: number): string[] {
  const at = new Date(T0_MS + i * 1000).toISOString();
  const time = `${at.slice(11, 19).replaceAll(":", "")}.00`;
  const date = `${at.slice(8, 10)}${at.slice(5, 7)}${at.slice(2, 4)}`;
  const place = positionFields({ latDeg: 54.4682 + 2e-5 * Math.sin(i / 60), lonDeg: 10.3821 }, 5);
  const swing = 20 * Math.sin(i / 45);
  return [
    `GPRMC,${time},A,${place},0.${i % 5},${(180 + swing).toFixed(1)},${date},,,A`,
    `GPGGA,${time},${place},1,09,0.9,2.8,M,46.9,M,,`,
    `GPVTG,${(180 + swing).toFixed(1)},T,,M,0.${i % 5},N,,K,A`,
    `SDDPT,${(6 + 0.2 * Math.sin(i / 300)).toFixed(1)},0.4`,
    `WIMWV,${(360 + swing).toFixed(1).replace(/^3[6-9]\d/, "012")},R,${(14 + (i % 7) / 2).toFixed(1)},N,A`,
    `HCHDT,${(270 + swing).toFixed(1)},T`,
    `IIVHW,,T,,M,0.${i % 3},N,,K`,
    `YXXDR,U,12.${i % 10},V,HOUSE`,
    `IIMTW,17.${i % 10},C`,
  ].map(seal);
}

function tagged(i: number, sentences: readonly string[]): string {
  const tag = tagBlock(T0_MS + i * 1000, "bus");
  return sentences.map((sentence) => `${tag}${sentence}\r\n`).join("");
}

const BATCHES = 100;

/** Sentences of a busy bus: as many distinct ones a second as asked for, a tenth of a second's worth at a time. */
function flood(i: number, batch: number, perBatch: number): string {
  const tag = tagBlock(T0_MS + i * 1000, "bus");
  let text = "";
  for (let k = 0; k < perBatch; k++) {
    const n = batch * perBatch + k;
    text += `${tag}${seal(`SDDBT,,f,${(6 + (n % 20) / 100).toFixed(2)},M,${n},F`)}\r\n`;
  }
  return text;
}

interface Latencies {
  alarmMs: number[];
  answerMs: number[];
}

/**
 * Each trial: a fact goes in, the next second's first line opens a second, and the alert of it comes out; then an
 * ACN goes in and the acknowledged ALF comes out.
 */
async function latencies(
  child: LiveChild,
  fromS: number,
  trials: number,
  perSecond: number,
): Promise<Latencies & { nextS: number }> {
  let waiting: { state: string; heard: (atMs: number) => void } | undefined;
  child.onAlarm((line, atMs) => {
    if (waiting !== undefined && line.includes(`${SUPPLY_LOW},`) && line.includes(`,${waiting.state},`)) {
      const { heard } = waiting;
      waiting = undefined;
      heard(atMs);
    }
  });
  const alf = (state: string) =>
    new Promise<number>((resolve) => {
      waiting = { state, heard: resolve };
    });
  const result: Latencies & { nextS: number } = { alarmMs: [], answerMs: [], nextS: fromS };
  const perBatch = perSecond / BATCHES;
  let i = fromS;
  for (let trial = 0; trial < trials; trial++) {
    await tell(child, "PRDW,FACT,supply-low,1,Supply 11.6 V");
    const raised = alf("V");
    let sentMs = performance.now();
    child.bus.write(tagged(++i, secondOf(i)) + (perBatch > 0 ? flood(i, 0, perBatch) : ""));
    result.alarmMs.push((await raised) - sentMs);
    for (let batch = 1; perBatch > 0 && batch < BATCHES / 2; batch++) {
      await untilMs(sentMs + batch * (1000 / BATCHES));
      child.bus.write(flood(i, batch, perBatch));
    }
    const acknowledged = alf("A");
    const orderedMs = performance.now();
    child.display.write(`${seal("IIACN,,RDW,10819,1,A,C")}\r\n`);
    if (perBatch > 0) child.bus.write(flood(i, BATCHES / 2, perBatch));
    result.answerMs.push((await acknowledged) - orderedMs);
    for (let batch = BATCHES / 2 + 1; perBatch > 0 && batch < BATCHES; batch++) {
      await untilMs(sentMs + batch * (1000 / BATCHES));
      child.bus.write(flood(i, batch, perBatch));
    }
    await tell(child, "PRDW,FACT,supply-low,0");
    const over = alf("N");
    sentMs = performance.now();
    child.bus.write(tagged(++i, secondOf(i)));
    await over;
  }
  result.nextS = i;
  return result;
}

/** By the shell's socket; resolves when it has been taken. A fact is answered, though never with ACK. */
async function tell(child: LiveChild, body: string): Promise<void> {
  const answered = new Promise((resolve) => child.shell.once("data", resolve));
  child.shell.write(`${seal(body)}\n`);
  await answered;
}

async function untilMs(atMs: number): Promise<void> {
  const waitMs = atMs - performance.now();
  if (waitMs > 0) await sleep(waitMs);
}

function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

export async function latencyRows(idleTrials = 400, busyTrials = 40): Promise<BenchRow[]> {
  const child = await startChild();
  // What a running daemon is, not one that has just been started.
  const warm = await latencies(child, 100, 100, 0);
  const idle = await latencies(child, warm.nextS, idleTrials, 0);
  const busy = await latencies(child, idle.nextS, busyTrials, 2000);
  await child.stop();
  const rows = (what: string, values: readonly number[], must: number): BenchRow[] => [
    { name: `${what}, p50`, value: quantile(values, 0.5), unit: "ms", must },
    { name: `${what}, p99`, value: quantile(values, 0.99), unit: "ms", must },
  ];
  return [
    ...rows(`alarm out, idle (${idleTrials})`, idle.alarmMs, 5),
    ...rows(`ACN to ALF, idle (${idleTrials})`, idle.answerMs, 5),
    ...rows(`alarm out, 2000 sentences/s (${busyTrials})`, busy.alarmMs, 15),
    ...rows(`ACN to ALF, 2000 sentences/s (${busyTrials})`, busy.answerMs, 15),
  ];
}

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
  await handled(child, at++);
  note("start");
  for (let quarter = 1; quarter <= 4; quarter++) {
    const until = Math.floor((seconds * quarter) / 4);
    while (at < until) {
      let text = "";
      for (let k = 0; k < SECONDS_AT_ONCE && at < until; k++, at++) text += tagged(at, secondOf(at));
      if (!child.bus.write(text)) await new Promise((resolve) => child.bus.once("drain", resolve));
    }
    await handled(child, at++);
    note(`${((sentences * quarter) / 4 / 1e6).toFixed(2)} million sentences`);
  }
  const tookS = (performance.now() - begunMs) / 1000;
  rows.push({ name: "sentences handled a second, TCP", value: sentences / tookS, unit: "/s", must: 2000 });
  await child.stop();
  return rows;
}

/** Waits until everything sent so far has been taken: an act sent last is answered last. */
async function handled(child: LiveChild, at: number): Promise<void> {
  const answered = new Promise<void>((resolve) => {
    let done = false;
    child.onAlarm((line) => {
      if (done || !line.includes("PRDW,ACK,EXPECT")) return;
      done = true;
      resolve();
    });
  });
  child.bus.write(tagged(at, [seal("PRDW,EXPECT,20,N")]));
  await answered;
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
  return [...(await startRows(7)), ...(await latencyRows()), ...(await memoryRows(sentences))];
}
