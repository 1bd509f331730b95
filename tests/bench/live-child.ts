/** The daemon as a child process for the bench, with a bus, a display and the shell's socket, all seen from outside. */
import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { connect, createServer, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import { noPty, openPty, type Pty } from "../ports/pty.ts";

/** As systemd/rodeward.service starts it. */
const OF_THE_UNIT = {
  MALLOC_ARENA_MAX: "2",
  NODE_OPTIONS: "--max-old-space-size=96 --max-semi-space-size=2",
};

const PROGRAM = new URL("../../dist/cli/main.js", import.meta.url).pathname;

/** All stamps of the bench begin here: any time will do, all ports go by the recorder's. */
export const T0_MS = Date.parse("2026-06-15T00:00:00Z");

export interface LiveChild {
  process: ChildProcess;
  bus: Socket;
  display: Socket;
  displayAddress: string;
  shell: Socket;
  /** Lines of the display as they come, with the instant of each. */
  onAlarm(listener: (line: string, atMs: number) => void): void;
  /** The same of the serial line; undefined where the machine has none to try it on. */
  wire: Wire | undefined;
  residentMB(): number;
  /** From spawning until an act on the bus was answered on the display. */
  startedInMs: number;
  stop(): Promise<void>;
}

export interface Wire {
  onLine(listener: (line: string, atMs: number) => void): void;
}

/** High speed, IEC 61162-2: at 4800 the trials of the bench would take an hour. */
const WIRE_BAUD = 38_400;

const wireText = (device: string) => `[[port]]
name = "wire"
kind = "serial"
device = "${device}"
baud = ${WIRE_BAUD}
send = ["alerts", "anchor", "rode"]
`;

function configText(busPort: number, displayPort: number, wire: string): string {
  return `
[boat]
length = "9.2 m"
beam = "3.1 m"
draught = "0.8 m"
roller_height = "1.1 m"
roller_to_antenna = "6.0 m"
[rode]
chain = "8 m"
rope = "60 m"
[page]
listen = "127.0.0.1:0"
[[port]]
name = "bus"
kind = "tcp-server"
listen = "127.0.0.1:${busPort}"
clock = "tag"
operator = true
[[port]]
name = "displays"
kind = "tcp-server"
listen = "127.0.0.1:${displayPort}"
send = ["alerts", "anchor", "rode", "acts"]
${wire}`;
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  return typeof address === "object" && address !== null ? address.port : 0;
}

async function connected(to: { host: string; port: number } | { path: string }): Promise<Socket> {
  for (;;) {
    const socket = await new Promise<Socket | undefined>((resolve) => {
      const trial = connect({ ...to, noDelay: true });
      trial.once("connect", () => resolve(trial));
      trial.once("error", () => resolve(undefined));
    });
    if (socket !== undefined) return socket.on("error", () => {});
    await sleep(3);
  }
}

/** Hands over whole lines, each with the instant at which its end came. */
function lineReader(): {
  take(text: string, atMs: number): void;
  listeners: ((line: string, atMs: number) => void)[];
} {
  const listeners: ((line: string, atMs: number) => void)[] = [];
  let rest = "";
  return {
    listeners,
    take(text, atMs) {
      const lines = (rest + text).split("\r\n");
      rest = lines.pop() ?? "";
      for (const line of lines) for (const listener of listeners) listener(line, atMs);
    },
  };
}

function wireOf(pty: Pty): Wire {
  const reader = lineReader();
  pty.onHeard(reader.take);
  return { onLine: (listener) => reader.listeners.push(listener) };
}

/** @param before arguments to Node itself */
export async function startChild({
  withWire = false,
  before = [],
}: {
  withWire?: boolean;
  before?: readonly string[];
} = {}): Promise<LiveChild> {
  const pty = withWire && !noPty ? await openPty() : undefined;
  const folder = mkdtempSync(join(tmpdir(), "rodeward-bench-"));
  const [busPort, displayPort] = [await freePort(), await freePort()];
  const file = join(folder, "boat.toml");
  writeFileSync(file, configText(busPort, displayPort, pty === undefined ? "" : wireText(pty.device)));
  const begunMs = performance.now();
  const child = spawn(process.execPath, [...before, PROGRAM, "run", "--config", file], {
    stdio: ["ignore", "ignore", "ignore", "ipc"],
    env: { ...process.env, ...OF_THE_UNIT, STATE_DIRECTORY: folder },
  });
  const display = await connected({ host: "127.0.0.1", port: displayPort });
  const bus = await connected({ host: "127.0.0.1", port: busPort });
  const { listeners, take } = lineReader();
  display.setEncoding("latin1").on("data", (text: string) => take(text, performance.now()));
  const answered = new Promise<number>((resolve) =>
    listeners.push((line, atMs) => line.includes("PRDW,ACK") && resolve(atMs)),
  );
  bus.write(`${tagBlock(T0_MS, "bus")}${seal("PRDW,EXPECT,20,N")}\r\n`);
  const startedInMs = (await answered) - begunMs;
  const shell = await connected({ path: join(folder, "act.sock") });
  return {
    process: child,
    bus,
    display,
    displayAddress: `127.0.0.1:${displayPort}`,
    shell,
    startedInMs,
    onAlarm: (listener) => listeners.push(listener),
    wire: pty === undefined ? undefined : wireOf(pty),
    residentMB: () => residentMB(child.pid),
    async stop() {
      for (const socket of [bus, display, shell]) socket.destroy();
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill("SIGTERM");
      await ended;
      await pty?.remove();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Says an order that is answered with ACK, and waits: everything said before has been taken then. */
export async function handled(child: LiveChild, order: string): Promise<void> {
  const answered = new Promise<void>((resolve) => {
    let done = false;
    child.onAlarm((line) => {
      if (done || !line.includes("PRDW,ACK,EXPECT")) return;
      done = true;
      resolve();
    });
  });
  child.bus.write(order);
  await answered;
}

/** proc(5): VmRSS, in kB of 1024 bytes. */
function residentMB(pid: number | undefined): number {
  const status = readFileSync(`/proc/${pid}/status`, "utf8");
  return (Number(/VmRSS:\s+(\d+)/.exec(status)?.[1]) * 1024) / 1e6;
}
