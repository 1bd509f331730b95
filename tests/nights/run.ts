/**
 * Plays seeded nights through the whole core and prints the table. Results are kept by seed in build/nights, so
 * that a big run can be done in pieces and a seed is never played twice for one state of the program (delete the
 * file after a change).
 */
import { spawn } from "node:child_process";
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { nightOf, VELOCITIES, type VelocityKind } from "../../src/rehearsal/nights/night.ts";
import { explain } from "./explain.ts";
import {
  GRADES,
  inRow,
  type Part,
  type Planned,
  partOf,
  plannedInRow,
  plannedNight,
  type RunClass,
  withRowsReceiver,
} from "./plan.ts";
import { type NightResult, play } from "./play.ts";
import { tableOf } from "./table.ts";
import { TWISTS } from "./twists.ts";

const DIRECTORY = "build/nights";
/** Counted from 0: from the tenth night on a receiver counts as known. */
const TENTH = 9;
const USAGE = `npm run nights -- --class good|mid|poor|mixed [--count N] [--from N] [--jobs N]
  [--velocity ${VELOCITIES.join("|")}] [--twist ${Object.keys(TWISTS).join("|")}]
  [--row NIGHTS] [--only weather|fault|drag] [--explain SEED]`;

const { values } = parseArgs({
  options: {
    class: { type: "string", default: "mid" },
    velocity: { type: "string", default: "alive" },
    count: { type: "string", default: "20" },
    from: { type: "string", default: "1" },
    jobs: { type: "string", default: "1" },
    twist: { type: "string", default: "none" },
    row: { type: "string", default: "1" },
    only: { type: "string" },
    explain: { type: "string" },
    help: { type: "boolean", default: false },
  },
});

const runClass = values.class as RunClass;
const velocity = values.velocity as VelocityKind;
const twist = TWISTS[values.twist];
const rowOf = Number(values.row);
const known = [...GRADES, "mixed"].includes(runClass) && VELOCITIES.includes(velocity) && twist !== undefined;
const side = `${values.twist === "none" ? "" : `-${values.twist}`}${rowOf > 1 ? `-row${rowOf}` : ""}`;
const file = `${DIRECTORY}/${runClass}-${velocity}${side}.jsonl`;
const from = Number(values.from);
const until = from + Number(values.count);

if (values.help || !known || !Number.isInteger(until) || !(rowOf >= 1)) {
  console.error(USAGE);
  process.exitCode = values.help ? 0 : 2;
} else if (values.explain !== undefined) {
  const planned = plannedNight(runClass, velocity, Number(values.explain));
  const to = `${DIRECTORY}/${runClass}-${velocity}-${planned.seed}.svg`;
  mkdirSync(DIRECTORY, { recursive: true });
  writeFileSync(to, explain(planned.kind, planned.seed));
  console.log(to);
} else if (Number(values.jobs) > 1) await share(Number(values.jobs));
else playAll();

function kept(): NightResult[] {
  if (!existsSync(file)) return [];
  const lines = readFileSync(file, "utf8").split("\n");
  return lines.filter((line) => line !== "").map((line) => JSON.parse(line) as NightResult);
}

function wanted(part: Part): boolean {
  return values.only === undefined || values.only === part;
}

/** This process's nights, one after the other. A worker is told by --jobs 0 and says nothing at the end. */
function playAll(): void {
  mkdirSync(DIRECTORY, { recursive: true });
  const done = new Map(kept().map((result) => [result.seed, result]));
  for (let seed = from; seed < until; seed++) {
    const planned =
      rowOf > 1 ? plannedInRow(runClass, velocity, seed, rowOf) : plannedNight(runClass, velocity, seed);
    if (done.has(seed) || !wanted(partOf(planned)) || !isMine(seed)) continue;
    const result = playOne(planned, done.get(seed - 1));
    done.set(seed, result);
    appendFileSync(file, `${JSON.stringify(result)}\n`);
    const event = Object.values(planned.kind.event)[0];
    console.error(
      `${runClass} ${seed} ${event}: ${result.falseAlarms.length} false, ${result.cpuS.toFixed(0)} s of CPU`,
    );
  }
  if (process.env.NIGHTS_WORKER === undefined) report();
}

/** `before`: the night before in the row, whose receiver this is. */
function playOne({ kind, seed }: Planned, before: NightResult | undefined): NightResult {
  const { nth, row } = inRow(seed, rowOf);
  const drawn = nightOf(kind, seed);
  const { night, lines } = twist?.(rowOf > 1 ? withRowsReceiver(drawn, kind, row) : drawn) ?? {
    night: drawn,
  };
  const profile = nth > 0 ? before?.profile : undefined;
  return play(night, kind, seed, lines === undefined ? { profile } : { profile, lines }).result;
}

/** A row stays with one worker: each of its nights needs the one before. */
function isMine(seed: number): boolean {
  const [index, of] = (process.env.NIGHTS_WORKER ?? "0/1").split("/").map(Number);
  return inRow(seed, rowOf).row % (of ?? 1) === index;
}

function report(): void {
  const results = kept().filter(({ seed }) => seed >= from && seed < until);
  const hours = results.reduce((sum, result) => sum + result.hours, 0);
  console.log(`${runClass}, velocity ${velocity}${side}: ${results.length} nights, ${hours.toFixed(0)} h`);
  console.log(tableOf(results));
  if (rowOf === 1) return;
  const late = Math.min(TENTH, rowOf - 1);
  console.log("The first night of each row:");
  console.log(tableOf(results.filter(({ seed }) => inRow(seed, rowOf).nth === 0)));
  console.log(`Night ${late + 1} of each row and later:`);
  console.log(tableOf(results.filter(({ seed }) => inRow(seed, rowOf).nth >= late)));
}

async function share(jobs: number): Promise<void> {
  const args = process.argv.slice(2).filter((arg, i, all) => arg !== "--jobs" && all[i - 1] !== "--jobs");
  const workers = Array.from({ length: jobs }, (_, i) => {
    const env = { ...process.env, NIGHTS_WORKER: `${i}/${jobs}` };
    const worker = spawn(process.execPath, [fileURLToPath(import.meta.url), ...args], {
      env,
      stdio: "inherit",
    });
    return new Promise<void>((resolve, reject) => {
      worker.on("exit", (code) =>
        code === 0 ? resolve() : reject(new Error(`a worker ended with ${code}`)),
      );
    });
  });
  await Promise.all(workers);
  report();
}
