/** The built program as its user meets it: a child process with arguments, streams and an exit code. */
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll } from "vitest";

const PROGRAM = resolve("dist/cli/main.js");

export interface Ended {
  code: number | null;
  out: string;
  err: string;
  tookMs: number;
}

/** An empty folder for one test file: no configuration lies there. */
export function folder(): string {
  const path = mkdtempSync(join(tmpdir(), "rodeward-"));
  afterAll(() => rmSync(path, { recursive: true }));
  return path;
}

export function rodeward(cwd: string, args: readonly string[], input: string | Buffer = ""): Promise<Ended> {
  return ended(process.execPath, [PROGRAM, ...args], cwd, input);
}

/** A shell's pipeline; `$RODEWARD` in it is the program. Fails with the program's own code (pipefail). */
export function pipeline(cwd: string, line: string): Promise<Ended> {
  const program = `"${process.execPath}" "${PROGRAM}"`;
  return ended("bash", ["-o", "pipefail", "-c", line.replaceAll("$RODEWARD", program)], cwd, "");
}

function ended(file: string, args: readonly string[], cwd: string, input: string | Buffer): Promise<Ended> {
  const startMs = performance.now();
  const child = spawn(file, args, { cwd, stdio: "pipe" });
  const out: Buffer[] = [];
  const err: Buffer[] = [];
  child.stdout.on("data", (chunk: Buffer) => out.push(chunk));
  child.stderr.on("data", (chunk: Buffer) => err.push(chunk));
  child.stdin.on("error", () => undefined);
  child.stdin.end(input);
  return new Promise((done, failed) => {
    child.on("error", failed);
    child.on("close", (code) =>
      done({
        code,
        out: Buffer.concat(out).toString("latin1"),
        err: Buffer.concat(err).toString("utf8"),
        tookMs: performance.now() - startMs,
      }),
    );
  });
}
