/** The daemon as a child process for the bench, with a bus, a display and the shell's socket, all seen from outside. */
import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { connect, createServer, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { seal, tagBlock } from "../../src/nmea/seal.ts";

const PROGRAM = new URL("../../dist/cli/main.js", import.meta.url).pathname;

/** All stamps of the bench begin here: any time will do, all ports go by the recorder's. */
export const T0_MS = Date.parse("2026-06-15T00:00:00Z");

export interface LiveChild {
  process: ChildProcess;
  bus: Socket;
  display: Socket;
  shell: Socket;
  /** Lines of the display as they come, with the instant of each. */
  onAlarm(listener: (line: string, atMs: number) => void): void;
  residentMB(): number;
  /** From spawning until an act on the bus was answered on the display. */
  startedInMs: number;
  stop(): Promise<void>;
}

function configText(busPort: number, displayPort: number): string {
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
`;
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

export async function startChild(): Promise<LiveChild> {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-bench-"));
  const [busPort, displayPort] = [await freePort(), await freePort()];
  const file = join(folder, "boat.toml");
  writeFileSync(file, configText(busPort, displayPort));
  const begunMs = performance.now();
  const child = spawn(process.execPath, [PROGRAM, "run", "--config", file], {
    stdio: "ignore",
    env: { ...process.env, STATE_DIRECTORY: folder },
  });
  const display = await connected({ host: "127.0.0.1", port: displayPort });
  const bus = await connected({ host: "127.0.0.1", port: busPort });
  const listeners: ((line: string, atMs: number) => void)[] = [];
  let rest = "";
  display.setEncoding("latin1").on("data", (text: string) => {
    const atMs = performance.now();
    const lines = (rest + text).split("\r\n");
    rest = lines.pop() ?? "";
    for (const line of lines) for (const listener of listeners) listener(line, atMs);
  });
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
    shell,
    startedInMs,
    onAlarm: (listener) => listeners.push(listener),
    residentMB: () => residentMB(child.pid),
    async stop() {
      for (const socket of [bus, display, shell]) socket.destroy();
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill("SIGTERM");
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** proc(5): VmRSS, in kB of 1024 bytes. */
function residentMB(pid: number | undefined): number {
  const status = readFileSync(`/proc/${pid}/status`, "utf8");
  return (Number(/VmRSS:\s+(\d+)/.exec(status)?.[1]) * 1024) / 1e6;
}
