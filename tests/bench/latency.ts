/**
 * How soon an alarm is out after the line that makes it is in: to a display on the network and on a paced serial
 * line, while all is quiet and while 2,000 sentences a second come in. Each trial is followed by the same journey
 * through a process that does nothing (reference.ts), with the same flood, in the same run.
 */
import { setTimeout as sleep } from "node:timers/promises";
import { seal } from "../../src/nmea/seal.ts";
import { type LiveChild, startChild } from "./live-child.ts";
import { BATCHES, flood, quantile, secondOf, tagged } from "./live-lines.ts";
import { type Reference, startReference } from "./reference.ts";
import type { BenchRow } from "./row.ts";

/** Longer than the paced line needs for all sentences of one trial. */
const QUIET_MS = 80;

interface Latencies {
  alarmMs: number[];
  wireMs: number[];
  answerMs: number[];
  bareMs: number[];
}

const noLatencies = (): Latencies => ({ alarmMs: [], wireMs: [], answerMs: [], bareMs: [] });

/** The instant at which a line that holds `mark` comes. */
type Awaits = (mark: string) => Promise<number>;

function awaitsOf(listen: (listener: (line: string, atMs: number) => void) => void): Awaits {
  let waiting: { mark: string; heard: (atMs: number) => void } | undefined;
  listen((line, atMs) => {
    if (waiting === undefined || !line.includes(waiting.mark)) return;
    const { heard } = waiting;
    waiting = undefined;
    heard(atMs);
  });
  return (mark) =>
    new Promise((resolve) => {
      waiting = { mark, heard: resolve };
    });
}

interface Stage {
  child: LiveChild;
  bare: Reference;
  display: Awaits;
  wire: Awaits | undefined;
  /** The second that was last opened. */
  second: number;
}

/** On watch, with all that a running daemon does then. */
async function openStage(): Promise<Stage> {
  const child = await startChild({ withWire: true });
  const { wire } = child;
  const stage: Stage = {
    child,
    bare: await startReference(),
    display: awaitsOf(child.onAlarm),
    wire: wire === undefined ? undefined : awaitsOf(wire.onLine),
    second: 20,
  };
  for (let i = 1; i < stage.second; i++) child.bus.write(tagged(i, secondOf(i)));
  const acts = [seal("PRDW,LETGO"), seal("PRDW,RODE,40,M"), seal("PRDW,BROUGHTUP")];
  const begun = stage.display("PRDW,ACK,BROUGHTUP");
  child.bus.write(tagged(stage.second, acts));
  await begun;
  return stage;
}

/**
 * One trial: a fact goes in, the next second's first line opens that second, and its alarm comes out; then an
 * ACN goes in and the acknowledged ALF comes out; then the alert ends.
 */
async function trial(stage: Stage, perBatch: number, into: Latencies): Promise<void> {
  const { child, display, wire } = stage;
  await tell(child, "PRDW,FACT,supply-low,1,Supply 11.6 V");
  const raised = display(",819,A,V,");
  const onWire = wire?.(",819,A,V,");
  const second = ++stage.second;
  const sentMs = performance.now();
  child.bus.write(tagged(second, secondOf(second)) + (perBatch > 0 ? flood(second, 0, perBatch) : ""));
  into.alarmMs.push((await raised) - sentMs);
  if (onWire !== undefined) into.wireMs.push((await onWire) - sentMs);
  await floodOn(stage, perBatch, sentMs, 1, BATCHES / 2);
  const acknowledged = display(",A,RDW,10819,");
  const orderedMs = performance.now();
  child.display.write(`${seal("IIACN,,RDW,10819,1,A,C")}\r\n`);
  if (perBatch > 0) child.bus.write(flood(second, BATCHES / 2, perBatch));
  into.answerMs.push((await acknowledged) - orderedMs);
  await floodOn(stage, perBatch, sentMs, BATCHES / 2 + 1, BATCHES);
  await tell(child, "PRDW,FACT,supply-low,0");
  const over = display(",N,RDW,10819,");
  const next = ++stage.second;
  child.bus.write(tagged(next, secondOf(next)));
  await over;
  await sleep(QUIET_MS);
}

async function floodOn(stage: Stage, perBatch: number, fromMs: number, from: number, to: number) {
  for (let batch = from; perBatch > 0 && batch < to; batch++) {
    await untilMs(fromMs + batch * (1000 / BATCHES));
    stage.child.bus.write(flood(stage.second, batch, perBatch));
  }
}

/** The same first write, through nothing. */
async function bareTrial(stage: Stage, perBatch: number, into: Latencies): Promise<void> {
  const { bare, second } = stage;
  const begunMs = performance.now();
  for (let batch = 0; perBatch > 0 && batch < BATCHES / 4; batch++) {
    await untilMs(begunMs + batch * (1000 / BATCHES));
    bare.say(flood(second, batch, perBatch));
  }
  const mark = `ECHO,${into.bareMs.length},`;
  const marked = tagged(second, [seal(mark), ...secondOf(second)]);
  into.bareMs.push(await bare.journey(mark, marked + (perBatch > 0 ? flood(second, 0, perBatch) : "")));
  await sleep(QUIET_MS);
}

async function latencies(stage: Stage, trials: number, perSecond: number): Promise<Latencies> {
  const into = noLatencies();
  for (let n = 0; n < trials; n++) {
    await trial(stage, perSecond / BATCHES, into);
    await bareTrial(stage, perSecond / BATCHES, into);
  }
  return into;
}

/** By the shell's socket; resolves when it has been taken. */
async function tell(child: LiveChild, body: string): Promise<void> {
  const answered = new Promise((resolve) => child.shell.once("data", resolve));
  child.shell.write(`${seal(body)}\n`);
  await answered;
}

async function untilMs(atMs: number): Promise<void> {
  const waitMs = atMs - performance.now();
  if (waitMs > 0) await sleep(waitMs);
}

const WARM_UP = 60;
/** A sentence that is being sent is never cut: 82 characters of ten bits at 38,400 baud. */
const SENTENCE_MS = 22;

export async function latencyRows(
  idleTrials = Number(process.env.BENCH_TRIALS ?? 300),
  busyTrials = Math.ceil(idleTrials / 5),
): Promise<BenchRow[]> {
  const stage = await openStage();
  // What a running daemon is, not one that has just been started.
  await latencies(stage, WARM_UP, 0);
  const idle = await latencies(stage, idleTrials, 0);
  const busy = await latencies(stage, busyTrials, 2000);
  stage.bare.stop();
  await stage.child.stop();
  return [
    ...rowsOf(`idle (${idleTrials})`, idle, 5, 2),
    ...rowsOf(`2000 sentences/s (${busyTrials})`, busy, 15, 10),
  ];
}

function rowsOf(when: string, all: Latencies, must: number, aim: number): BenchRow[] {
  const rows = (what: string, values: readonly number[], goals: Partial<BenchRow>): BenchRow[] =>
    [0.5, 0.99].flatMap((share): BenchRow[] => {
      if (values.length === 0) return [];
      const name = `${what}, ${when}, p${100 * share}`;
      return [{ name, value: quantile(values, share), unit: "ms", ...goals }];
    });
  const overBare = (what: string, values: readonly number[]): BenchRow[] =>
    [0.5, 0.99].flatMap((share): BenchRow[] => {
      if (values.length === 0) return [];
      const times = quantile(values, share) / quantile(all.bareMs, share);
      return [{ name: `${what} to bare journey, ${when}, p${100 * share}`, value: times, unit: "x" }];
    });
  return [
    ...rows("bare journey", all.bareMs, {}),
    ...rows("alarm out, TCP", all.alarmMs, { must, aim }),
    ...rows("alarm out, paced pty", all.wireMs, { must: must + SENTENCE_MS, aim: aim + SENTENCE_MS }),
    ...rows("ACN to ALF", all.answerMs, { must, aim }),
    ...overBare("alarm out, TCP,", all.alarmMs),
    ...overBare("alarm out, paced pty,", all.wireMs),
    ...overBare("ACN to ALF", all.answerMs),
  ];
}
