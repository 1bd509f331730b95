/** A real pseudo-terminal as the serial device; its far end is a pipe held here. Needs `socat`. */
import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { until } from "./ear.ts";

const missing = spawnSync("socat", ["-V"]).error !== undefined;

/** True only where socat is missing and this is no CI run; there, a missing socat fails the tests. */
export const noPty = missing && !process.env.CI;
if (noPty) console.warn("socat is not installed (Debian package socat): the serial tests are skipped");

export interface Pty {
  device: string;
  /** What the port sent, with the instant of each arrival. */
  heard: { text: string; atMs: number }[];
  /** Told of each piece as it comes. */
  onHeard(listener: (text: string, atMs: number) => void): void;
  say(text: string | Buffer): void;
  /** Takes nothing any more, as a line held by flow control; `false` goes on. */
  hold(held: boolean): void;
  /** The device is gone, as by unplugging. */
  vanish(): Promise<void>;
  comeBack(): Promise<void>;
  remove(): Promise<void>;
}

export async function openPty(): Promise<Pty> {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-pty-"));
  const device = join(folder, "tty");
  const heard: Pty["heard"] = [];
  const listeners: ((text: string, atMs: number) => void)[] = [];
  let child: ChildProcess | undefined;

  async function comeBack(): Promise<void> {
    const started = spawn("socat", [`pty,raw,echo=0,link=${device}`, "stdio"], {
      stdio: ["pipe", "pipe", "ignore"],
    });
    started.stdout.on("data", (bytes: Buffer) => {
      const piece = { text: bytes.toString("latin1"), atMs: performance.now() };
      heard.push(piece);
      for (const listener of listeners) listener(piece.text, piece.atMs);
    });
    started.stdin.on("error", () => {});
    child = started;
    await until(() => existsSync(device), "the pseudo-terminal");
  }

  async function vanish(): Promise<void> {
    const gone = child;
    child = undefined;
    if (gone === undefined || gone.exitCode !== null) return;
    const ended = new Promise((resolve) => gone.once("exit", resolve));
    gone.kill("SIGKILL");
    await ended;
    rmSync(device, { force: true });
  }

  await comeBack();
  return {
    device,
    heard,
    onHeard: (listener) => listeners.push(listener),
    say: (text) => child?.stdin?.write(text),
    hold: (held) => child?.kill(held ? "SIGSTOP" : "SIGCONT"),
    vanish,
    comeBack,
    async remove() {
      await vanish();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
