/** A boat for the tests of the daemon: its configuration, its instruments' sentences, its displays, the daemon as a child. */
import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { connect as connectTcp, createServer, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterEach } from "vitest";
import { readConfig } from "../../src/config/read.ts";
import type { Config } from "../../src/config/schema.ts";
import type { Daemon, DaemonLog } from "../../src/daemon.ts";
import { startDaemon } from "../../src/daemon.ts";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import { decode, type Sentence } from "../../src/nmea/table.ts";
import { positionFields } from "../../src/rehearsal/sentences.ts";
import { vectorOf } from "../../src/units/angle.ts";
import { moved, type Position } from "../../src/units/position.ts";
import { until } from "../ports/ear.ts";

export const PROGRAM = fileURLToPath(new URL("../../dist/cli/main.js", import.meta.url));

export interface Folder {
  path: string;
  remove(): void;
}

export function createFolder(): Folder {
  const path = mkdtempSync(join(tmpdir(), "rodeward-aboard-"));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/** For a test file: its children end after each test, then all is cleaned up, the last first. */
export function cleaning(): { cleanUps: (() => unknown)[]; folder(): Folder } {
  const cleanUps: (() => unknown)[] = [];
  afterEach(async () => {
    endChildren();
    for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
  });
  return {
    cleanUps,
    folder() {
      const made = createFolder();
      cleanUps.push(made.remove);
      return made;
    },
  };
}

/** A small boat on 8 m of chain and 60 m of rope; `ports` are whole [[port]] blocks. */
export function boatConfig(ports: string, rest = '[page]\nlisten = "127.0.0.1:0"\n'): string {
  return `
[boat]
length = "9.2 m"
beam = "3.1 m"
draught = "0.8 m"
roller_height = "1.1 m"
roller_to_antenna = "6.0 m"
[transducer]
below_water = "0.4 m"
[rode]
chain = "8 m"
rope = "60 m"
${rest}
${ports}`;
}

/** Sentences come in here: free port, by the recorder's time, acts allowed. */
export const BUS = `
[[port]]
name = "bus"
kind = "tcp-server"
listen = "127.0.0.1:0"
clock = "tag"
operator = true
`;

export const DISPLAYS = `
[[port]]
name = "displays"
kind = "tcp-server"
listen = "127.0.0.1:0"
send = ["alerts", "anchor", "rode", "acts"]
`;

export function configOf(text: string): Config {
  const read = readConfig(text);
  if (!read.ok) throw new Error(read.problems.join("; "));
  return read.config;
}

export interface Journal extends DaemonLog {
  entries: { level: string; fields: Record<string, unknown>; text: string }[];
}

export function createJournal(): Journal {
  const entries: Journal["entries"] = [];
  const at = (level: string) => (fields: object, text: string) => {
    entries.push({ level, fields: { ...fields }, text });
  };
  return { entries, debug: at("debug"), info: at("info"), warn: at("warn"), error: at("error") };
}

export interface Afloat {
  daemon: Daemon;
  journal: Journal;
}

export async function start(
  text: string,
  stateDirectory: string,
  watch?: Parameters<typeof startDaemon>[0]["watch"],
): Promise<Afloat> {
  const journal = createJournal();
  const more = watch === undefined ? {} : { watch };
  const daemon = await startDaemon({ config: configOf(text), stateDirectory, log: journal, ...more });
  return { daemon, journal };
}

/** A TCP peer of a port: hears lines, says lines. */
export interface Peer {
  lines: string[];
  /** Those of its lines that are sentences, decoded. */
  sentences(): Sentence[];
  say(...lines: string[]): Promise<void>;
  close(): void;
}

export function peerOf(socket: Socket): Peer {
  const lines: string[] = [];
  let rest = "";
  socket.setEncoding("latin1");
  socket.on("error", () => {});
  socket.on("data", (text: string) => {
    const pieces = (rest + text).split("\r\n");
    rest = pieces.pop() ?? "";
    lines.push(...pieces);
  });
  return {
    lines,
    sentences: () => lines.flatMap(sentencesIn),
    say: (...texts) =>
      new Promise((resolve) => socket.write(texts.map((text) => `${text}\r\n`).join(""), () => resolve())),
    close: () => socket.destroy(),
  };
}

export function sentencesIn(line: string): Sentence[] {
  return decode(line, { checksum: "required" }).pieces.flatMap((piece) =>
    piece.kind === "sentence" ? [piece.sentence] : [],
  );
}

/** Connects to `host:port`, trying for a while: a child may still be starting. */
export async function connectTo(address: string | undefined, limitMs = 5000): Promise<Peer> {
  const port = Number(address?.split(":").at(-1));
  const endMs = performance.now() + limitMs;
  for (;;) {
    const socket = await new Promise<Socket | undefined>((resolve) => {
      const trial = connectTcp({ host: "127.0.0.1", port, noDelay: true });
      trial.once("connect", () => resolve(trial));
      trial.once("error", () => resolve(undefined));
    });
    if (socket !== undefined) return peerOf(socket);
    if (performance.now() > endMs) throw new Error(`nothing listens on ${address}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

export async function freePorts(count: number): Promise<number[]> {
  const servers = await Promise.all(
    Array.from(
      { length: count },
      () =>
        new Promise<ReturnType<typeof createServer>>((resolve) => {
          const server = createServer().listen(0, "127.0.0.1", () => resolve(server));
        }),
    ),
  );
  const ports = servers.map((server) => {
    const address = server.address();
    if (address === null || typeof address === "string") throw new Error("no port");
    return address.port;
  });
  await Promise.all(servers.map((server) => new Promise((resolve) => server.close(resolve))));
  return ports;
}

export const PLACE: Position = { latDeg: 54.4682, lonDeg: 10.3821 };

export interface Reading {
  /** Metres from PLACE, toward 090. */
  eastM?: number;
  depthM?: number;
}

/** One second of a small boat's receiver and sounder, head to the west. */
export function bodiesAt(atMs: number, { eastM = 0, depthM = 6 }: Reading): string[] {
  const at = new Date(Math.floor(atMs / 1000) * 1000).toISOString();
  const time = `${at.slice(11, 19).replaceAll(":", "")}.00`;
  const date = `${at.slice(8, 10)}${at.slice(5, 7)}${at.slice(2, 4)}`;
  const place = positionFields(moved(PLACE, vectorOf(eastM, 90)), 5);
  return [
    `GPRMC,${time},A,${place},0.1,,${date},,,A`,
    `SDDPT,${(depthM - 0.4).toFixed(1)},0.4`,
    "HCHDT,270.0,T",
  ];
}

export function tagged(atMs: number, bodies: readonly string[], source = "bus"): string[] {
  return bodies.map((body) => `${tagBlock(atMs, source)}${seal(body)}`);
}

/** Feeds seconds by the recorder's clock, one after another; remembers how far it has come. */
export interface Recorder {
  atMs: number;
  second(reading: Reading, ...acts: string[]): Promise<void>;
  seconds(count: number, reading: Reading): Promise<void>;
}

export function recorderOn(peer: Peer, startMs: number): Recorder {
  const recorder: Recorder = {
    atMs: startMs,
    async second(reading, ...acts) {
      await peer.say(...tagged(recorder.atMs, [...bodiesAt(recorder.atMs, reading), ...acts]));
      recorder.atMs += 1000;
    },
    async seconds(count, reading) {
      for (let i = 0; i < count; i++) await recorder.second(reading);
    },
  };
  return recorder;
}

/** `rodeward` as a child process. */
export interface Child {
  process: ChildProcess;
  out(): string;
  err(): string;
  /** Its exit code or signal, when it has ended. */
  ended: Promise<{ code: number | null; signal: NodeJS.Signals | null }>;
}

const children = new Set<ChildProcess>();

export function rodeward(args: readonly string[], env: NodeJS.ProcessEnv = {}, before: string[] = []): Child {
  const [program = process.execPath, ...rest] = [...before, process.execPath, PROGRAM, ...args];
  const child = spawn(program, rest, { stdio: ["ignore", "pipe", "pipe"], env: { ...process.env, ...env } });
  children.add(child);
  let out = "";
  let err = "";
  child.stdout.on("data", (text) => {
    out += text;
  });
  child.stderr.on("data", (text) => {
    err += text;
  });
  const ended = new Promise<{ code: number | null; signal: NodeJS.Signals | null }>((resolve) =>
    child.once("close", (code, signal) => {
      children.delete(child);
      resolve({ code, signal });
    }),
  );
  return { process: child, out: () => out, err: () => err, ended };
}

/** For afterEach: ends what a failed test has left running. */
export function endChildren(): void {
  for (const child of children) child.kill("SIGKILL");
}

/** The page's address, once the child has said it. */
export async function pageOf(child: Child): Promise<string> {
  await until(() => /^page: http\S+/m.test(child.err()), "the page's address", 10_000);
  return /^page: (\S+)/m.exec(child.err())?.[1] ?? "";
}

export type Alf = Extract<Sentence, { id: "ALF" }>;

/** The first parts of the ALFs of one alert, in order. */
export function alfsOf(peer: Peer, alertId: number): Alf[] {
  return peer.sentences().filter((s): s is Alf => s.id === "ALF" && s.alertId === alertId && s.number === 1);
}

/** An ACN command to one of our alerts: A acknowledge, S silence, Q ask again. */
export function acn(alertId: number, command: "A" | "S" | "Q"): string {
  return seal(`IIACN,,RDW,${alertId},1,${command},C`);
}
