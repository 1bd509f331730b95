/**
 * A night run again for the page: `rodeward nights rerun` as a process of its own, at the lowest priority, so
 * that the watch neither waits for it nor shares its memory with it. One at a time. In: a night and settings;
 * out: how far it is, then what would have come.
 */
import { type ChildProcess, spawn } from "node:child_process";
import { constants, setPriority } from "node:os";
import { fileURLToPath } from "node:url";
import type { RerunSettings, RerunState } from "../page/night-state.ts";
import type { NightsDeps } from "../page/nights.ts";

const CLI = fileURLToPath(new URL("../cli/main.js", import.meta.url));
const MOST_BYTES = 4_000_000;

export interface RerunJob {
  start: NightsDeps["rerun"]["start"];
  state(): RerunState;
  cancel(): void;
  close(): void;
}

/** @param cli the compiled command line; left out, beside this code */
export function createRerunJob(directory: string, cli = CLI): RerunJob {
  let state: RerunState = { state: "none" };
  let child: ChildProcess | undefined;

  function start(id: number, settings: RerunSettings): boolean {
    if (child !== undefined) return false;
    const own = spawn(process.execPath, [cli, ...wordsFor(directory, id, settings)], {
      stdio: ["ignore", "pipe", "pipe"],
    });
    child = own;
    state = { state: "running", id, percent: 0 };
    let out = "";
    let err = "";
    own.stdout.setEncoding("utf8").on("data", (text: string) => {
      out += text;
      if (out.length > MOST_BYTES) own.kill("SIGKILL");
    });
    own.stderr.setEncoding("utf8").on("data", (text: string) => {
      err = `${err}${text}`.slice(-500);
      const percent = /(\d+) %\s*$/.exec(err)?.[1];
      if (percent !== undefined && state.state === "running") state = { ...state, percent: Number(percent) };
    });
    own.on("spawn", () => lower(own));
    own.on("error", (error) => end({ state: "failed", id, why: error.message }));
    own.on("close", (code) => end(code === 0 ? doneWith(id, out) : failedWith(id, err)));
    const end = (ended: RerunState): void => {
      if (child !== own) return;
      child = undefined;
      state = ended;
    };
    return true;
  }

  function cancel(): void {
    if (child === undefined || state.state !== "running") return;
    child.kill("SIGKILL");
    child = undefined;
    state = { state: "cancelled", id: state.id };
  }

  return { start, state: () => state, cancel, close: cancel };
}

function lower({ pid }: ChildProcess): void {
  try {
    if (pid !== undefined) setPriority(pid, constants.priority.PRIORITY_LOW);
  } catch {
    // It has ended already, or may not be lowered: it runs as it is.
  }
}

function wordsFor(
  directory: string,
  id: number,
  { marginM, windLimitMps, gustLimitMps, steps }: RerunSettings,
) {
  return [
    ...["nights", "rerun", String(id), "--json", "--directory", directory],
    ...[
      "--margin",
      `${marginM} m`,
      "--wind-limit",
      `${windLimitMps} m/s`,
      "--gust-limit",
      `${gustLimitMps} m/s`,
    ],
    ...["--scope", steps.map(({ windMps, ratio }) => `${windMps} m/s=${ratio}`).join(",")],
  ];
}

function doneWith(id: number, out: string): RerunState {
  try {
    return { state: "done", id, pairs: JSON.parse(out) };
  } catch {
    return { state: "failed", id, why: "it gave no answer" };
  }
}

function failedWith(id: number, err: string): RerunState {
  const last = err.trim().split("\n").at(-1) ?? "";
  return { state: "failed", id, why: last === "" ? "it was ended early" : last };
}
