/**
 * The built daemon, fed fifty times as fast as real, killed with SIGKILL at random instants. `KILLS=200` in
 * the environment for the long run. A power cut is another matter: it is argued from WAL and fsync.
 */
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { connect, createServer, type Socket } from "node:net";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import BetterSqlite3 from "better-sqlite3";
import { expect, test } from "vitest";
import { openReview } from "../../src/nightlog/review.ts";
import { logFile } from "../../src/nightlog/store.ts";
import { tagBlock } from "../../src/nmea/seal.ts";
import { boatInputs } from "./boat-lines.ts";
import { temporary } from "./kept-night.ts";

const KILLS = Number(process.env.KILLS ?? 20);
const CHILD = join(import.meta.dirname, "kill-child.mjs");
const MOST_LOST_MS = 10_000;
/** Seconds of the boat's time fed in a real one. */
const SPEED = 50;
const STEP_MS = 20;

async function freePort(): Promise<number> {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const address = server.address();
  server.close();
  return typeof address === "object" && address !== null ? address.port : 0;
}

async function connected(port: number, child: ChildProcessWithoutNullStreams): Promise<Socket> {
  for (let i = 0; i < 600 && child.exitCode === null; i++) {
    const socket = connect(port, "127.0.0.1");
    const opened = await Promise.race([
      once(socket, "connect").then(() => true),
      once(socket, "error").then(() => false),
    ]).catch(() => false);
    if (opened) return socket.on("error", () => {});
    socket.destroy();
    await sleep(20);
  }
  throw new Error("the daemon does not listen");
}

/** Seconds of a boat lying at anchor, without end, each as the text of its lines. */
function* seconds(): Generator<string> {
  let text = "";
  let second = -1;
  const acts = { 20: ["PRDW,LETGO"], 25: ["PRDW,RODE,40.0,M", "PRDW,BROUGHTUP"] };
  for (const input of boatInputs({ seconds: 1e7, acts })) {
    if (input.kind !== "line") continue;
    const now = Math.floor(input.atMs / 1000);
    if (now !== second && text !== "") {
      yield text;
      text = "";
    }
    second = now;
    text += `${tagBlock(input.atMs, "gps")}${input.text}\r\n`;
  }
}

interface Life {
  said: { atMs: number; phase: string }[];
  errors: string;
}

/** One start, fed for a while after its first second (or after the first of that phase), and killed. */
async function liveAndDie(
  directory: string,
  port: number,
  feed: Generator<string>,
  forMs: number,
  since = "",
): Promise<Life> {
  const child = spawn(process.execPath, [CHILD, directory, String(port)]);
  let out = "";
  let errors = "";
  child.stdout.on("data", (chunk) => {
    out += chunk;
  });
  child.stderr.on("data", (chunk) => {
    errors += chunk;
  });
  const socket = await connected(port, child).catch((error: Error) => {
    child.kill("SIGKILL");
    throw new Error(`${error.message}: ${errors}`);
  });
  // Its own time begins with the first second it has walked.
  const until = { ms: Number.POSITIVE_INFINITY };
  while (performance.now() < until.ms) {
    for (let i = 0; i < (SPEED * STEP_MS) / 1000; i++) socket.write(feed.next().value);
    if (out.includes(` ${since}`) && until.ms === Number.POSITIVE_INFINITY)
      until.ms = performance.now() + forMs;
    await sleep(STEP_MS);
  }
  child.kill("SIGKILL");
  await once(child, "close");
  socket.destroy();
  const said = out
    .split("\n")
    .slice(0, -1)
    .map((line) => ({ atMs: Number(line.split(" ")[0]), phase: line.split(" ")[1] ?? "" }));
  return { said, errors };
}

/** What the database holds, read as the next start will find it. */
function lastKept(directory: string): { ok: string; atMs: number } {
  const database = new BetterSqlite3(logFile(directory));
  const ok = String(database.pragma("integrity_check", { simple: true }));
  const atMs = database
    .prepare<[], number>(
      "SELECT max(at) FROM (SELECT max(to_ms) AS at FROM raw_chunks UNION ALL SELECT max(to_ms) FROM raw_pending)",
    )
    .pluck()
    .get();
  database.close();
  return { ok, atMs: atMs ?? 0 };
}

/** One boat, killed so many times. What was lost each time, ms of its time. */
async function killed(times: number): Promise<number[]> {
  const directory = temporary();
  const port = await freePort();
  const feed = seconds();
  const lost: number[] = [];
  const first = await liveAndDie(directory, port, feed, 2000, "riding");
  expect(first.said.at(-1)?.phase).toBe("riding");
  for (let i = 0; i < times; i++) {
    const life = await liveAndDie(directory, port, feed, Math.random() * 400);
    expect(life.errors).toBe("");
    // Resumed: she was riding from the first second on.
    expect(new Set(life.said.map(({ phase }) => phase))).toEqual(new Set(["riding"]));
    const { ok, atMs } = lastKept(directory);
    expect(ok).toBe("ok");
    lost.push((life.said.at(-1)?.atMs ?? 0) - atMs);
  }
  const review = openReview(directory);
  const nights = review?.list() ?? [];
  expect(nights).toHaveLength(1);
  expect(nights[0]).toMatchObject({ ended: null, origin: "watch" });
  const stamps = [...(review?.lines(1) ?? [])].map(({ atMs }) => atMs);
  expect(stamps).toEqual([...stamps].sort((a, b) => a - b));
  review?.close();
  return lost;
}

const title = `killed ${KILLS} times: no damage, little lost, the watch and its night go on`;
test(title, { timeout: Math.max(120_000, KILLS * 10_000) }, async () => {
  const half = Math.ceil(KILLS / 2);
  const lost = (await Promise.all([killed(half), killed(KILLS - half)])).flat();
  const mean = lost.reduce((a, b) => a + b, 0) / lost.length;
  console.log(
    `${lost.length} kills: at most ${Math.max(...lost) / 1000} s lost, ${(mean / 1000).toFixed(1)} s on average`,
  );
  expect(lost).toHaveLength(KILLS);
  expect(Math.max(...lost)).toBeLessThanOrEqual(MOST_LOST_MS);
});
