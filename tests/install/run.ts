/** A program run to its end, and what it said. */
import { spawnSync } from "node:child_process";

export interface Ran {
  code: number | null;
  out: string;
  err: string;
}

export function run(program: string, args: readonly string[], cwd?: string, timeoutMs = 55_000): Ran {
  const done = spawnSync(program, args, { encoding: "utf8", timeout: timeoutMs, cwd });
  return { code: done.status, out: done.stdout ?? "", err: done.stderr ?? "" };
}
