/**
 * `rodeward rehearse`: the daemon on a simulated anchorage. The simulated boat's sentences go in through a real
 * TCP port, the alarms come out of another, and a display is connected there that says what it is told.
 */
import { mkdtemp, rm } from "node:fs/promises";
import { connect, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { pino } from "pino";
import { readConfig } from "../config/read.ts";
import { type Daemon, startDaemon } from "../daemon.ts";
import { decode, type Sentence } from "../nmea/table.ts";
import { createSplitter } from "../ports/line-splitter.ts";
import { rehearsalConfig } from "../rehearsal/boat-settings.ts";
import type { Rehearsal } from "../rehearsal/rehearsal.ts";
import { rehearsalOf, SCENES } from "../rehearsal/scenes.ts";
import { formatClock, SECOND_MS } from "../units/time.ts";
import type { Console } from "./console.ts";
import { freePort } from "./free-port.ts";
import { Problem, told } from "./problem.ts";
import { CAUTION } from "./run.ts";
import { createSummary, inWords } from "./summary.ts";

export interface RehearseOptions {
  scene: string;
  speed: number;
  seed: number;
  displayPort: number;
  pagePort: number;
}

const SCENE_NAMES = [...SCENES.keys()];
const SETTLE_MS = 300;

/** Plays one scene from start to end; SIGINT or SIGTERM ends it early. Leaves nothing behind. */
export async function rehearse(options: RehearseOptions, console: Console): Promise<void> {
  const rehearsal = rehearsalOf(options.scene, options.seed);
  if (rehearsal === undefined)
    throw new Problem(`no scene "${options.scene}"; there are ${SCENE_NAMES.join(", ")}`, 2);
  const ports = {
    sentencePort: await freePort(0),
    displayPort: await freePort(options.displayPort),
    pagePort: await freePort(options.pagePort),
  };
  const read = readConfig(rehearsalConfig(ports));
  if (!read.ok) throw new Error(read.problems.join("; "));
  const stateDirectory = await mkdtemp(join(tmpdir(), "rodeward-rehearsal-"));
  const summary = createSummary();
  const log = pino({ level: "warn", base: null }, pino.destination({ dest: 2, sync: true }));
  try {
    const daemon = await startDaemon({ config: read.config, stateDirectory, log, watch: summary.take }).catch(
      told,
    );
    try {
      introduce(rehearsal, options, ports, daemon, console);
      const lastMs = await play(rehearsal, options.speed, ports, console);
      console.out(`\n${inWords(summary.summary(daemon.core(), rehearsal.startMs, lastMs))}`);
    } finally {
      await daemon.stop();
    }
  } finally {
    await rm(stateDirectory, { recursive: true, force: true });
  }
}

function introduce(
  rehearsal: Rehearsal,
  options: RehearseOptions,
  ports: { displayPort: number; pagePort: number },
  daemon: Daemon,
  console: Console,
): void {
  const minutes = rehearsal.lengthS / 60 / options.speed;
  console.out(`Scene "${rehearsal.name}": ${rehearsal.about}`);
  console.out(
    `${Math.round(rehearsal.lengthS / 60)} minutes at ${options.speed} times speed: about ${minutes.toFixed(1)} minutes.`,
  );
  console.out(`Simulated boat, wind and receiver. ${CAUTION}`);
  console.out(`Page: ${daemon.pageUrl ?? "none"}   PIN for acting: ${daemon.firstPin ?? "as before"}`);
  console.out(
    `Alarm sentences: TCP 127.0.0.1:${ports.displayPort}${moved(ports.displayPort, options.displayPort)}`,
  );
  if (options.pagePort !== 0 && ports.pagePort !== options.pagePort)
    console.out(`(page port ${options.pagePort} was taken)`);
  console.out("");
}

function moved(got: number, wished: number): string {
  return wished === 0 || got === wished ? "" : ` (${wished} was taken)`;
}

/** Feeds the scene, a simulated second at a time, and says what happens. Returns the last stamp. */
async function play(
  rehearsal: Rehearsal,
  speed: number,
  ports: { sentencePort: number; displayPort: number },
  console: Console,
): Promise<number> {
  const feed = await connected(ports.sentencePort);
  const display = await connected(ports.displayPort);
  const stopping = new AbortController();
  const stop = () => stopping.abort();
  process.once("SIGINT", stop);
  process.once("SIGTERM", stop);
  let lastMs = rehearsal.startMs;
  display.on(
    "data",
    sayAlerts(() => lastMs, console),
  );
  const begun = performance.now();
  try {
    for (
      let second = rehearsal.next(), i = 0;
      second !== undefined && !stopping.signal.aborted;
      second = rehearsal.next(), i++
    ) {
      const waitMs = begun + (i * SECOND_MS) / speed - performance.now();
      if (waitMs > 1) await sleep(waitMs, undefined, { signal: stopping.signal }).catch(() => {});
      lastMs = second.atMs;
      for (const text of second.said) console.out(`${formatClock(lastMs)}  ${text}`);
      if (!feed.write(`${second.lines.join("\r\n")}\r\n`)) await drained(feed, stopping.signal);
    }
    await sleep(SETTLE_MS);
  } finally {
    process.off("SIGINT", stop);
    process.off("SIGTERM", stop);
    feed.destroy();
    display.destroy();
  }
  return lastMs;
}

function connected(port: number): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket = connect({ host: "127.0.0.1", port });
    socket.once("error", reject);
    socket.once("connect", () => {
      socket.off("error", reject);
      // The daemon going away ends the rehearsal by itself.
      socket.on("error", () => socket.destroy());
      resolve(socket);
    });
  });
}

async function drained(socket: Socket, signal: AbortSignal): Promise<void> {
  await new Promise<void>((resolve) => {
    socket.once("drain", resolve);
    socket.once("close", resolve);
    signal.addEventListener("abort", () => resolve(), { once: true });
  });
}

type Alf = Extract<Sentence, { id: "ALF" }>;

/** What a display would show: each alert change, its two texts together. */
function sayAlerts(nowMs: () => number, console: Console): (chunk: Buffer) => void {
  let first: Alf | undefined;
  const last = new Map<number | undefined, string>();
  const splitter = createSplitter((text) => {
    const piece = decode(text, { checksum: "required" }).pieces[0];
    if (piece?.kind !== "sentence" || piece.sentence.id !== "ALF") return;
    const alf = piece.sentence;
    if (alf.number === 1) first = alf;
    if (alf.number !== alf.total || first === undefined) return;
    // A repetition of what nobody has acknowledged is no news.
    const now = `${first.state} ${first.priority}`;
    if (last.get(first.alertId) === now) return;
    last.set(first.alertId, now);
    const detail = alf.number === 2 ? `: ${alf.text}` : "";
    console.out(
      `${formatClock(nowMs())}  >> ${(first.priority ?? "over").toUpperCase()} ${first.text}${detail} (${first.state})`,
    );
  });
  return (chunk) => splitter.push(chunk);
}
