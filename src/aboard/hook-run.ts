/** One run of a hook's program: no shell, a time limit, and what went wrong in words. */
import { type ChildProcess, spawn } from "node:child_process";
import { access, constants, stat } from "node:fs/promises";
import { delimiter, join } from "node:path";

/** What a program may need of ours; no more, so that nothing secret or private to the service leaks. */
const PASSED = ["PATH", "HOME", "USER", "LANG", "TZ", "XDG_RUNTIME_DIR", "DBUS_SESSION_BUS_ADDRESS"];
const MOST_SAID = 200;

export interface HookRun {
  /** Resolves when it is over: undefined when it went well, else why not, on one line. Never rejects. */
  readonly over: Promise<string | undefined>;
  /** Ends it, with everything that it has started. */
  end(): void;
}

/** @param told the environment besides what is passed on */
export function runHook(
  argv: readonly string[],
  told: Readonly<Record<string, string>>,
  limitMs: number,
): HookRun {
  const [program = "", ...args] = argv;
  const env: Record<string, string | undefined> = { ...told };
  for (const name of PASSED) if (process.env[name] !== undefined) env[name] = process.env[name];
  let child: ChildProcess;
  try {
    // A process group of its own, so that what it starts is ended with it.
    child = spawn(program, args, { env, detached: true, stdio: ["ignore", "ignore", "pipe"] });
  } catch (error) {
    // Some reasons come at once: a path through a plain file, a program that is just being written.
    return { over: Promise.resolve(startProblem(error as Error)), end: () => {} };
  }
  const end = (): void => {
    if (child.pid === undefined) return;
    try {
      process.kill(-child.pid, "SIGKILL");
    } catch {
      // It is over already.
    }
  };
  const over = new Promise<string | undefined>((resolve) => {
    let said = "";
    let late = false;
    const limit = setTimeout(() => {
      late = true;
      end();
    }, limitMs);
    const done = (why: string | undefined): void => {
      clearTimeout(limit);
      child.stderr?.destroy();
      resolve(why);
    };
    // None where there was no room for another descriptor; the reason comes as an error.
    child.stderr?.on("data", (bytes: Buffer) => {
      if (said.length < MOST_SAID) said += bytes.toString("utf8");
    });
    child.on("error", (error) => done(startProblem(error)));
    child.on("exit", (code, signal) => {
      if (late) done(`took longer than ${limitMs / 1000} s`);
      else if (code === 0) done(undefined);
      else done(`${endWords(code, signal)}${said === "" ? "" : `: ${oneLine(said)}`}`);
    });
  });
  return { over, end };
}

/**
 * Why a program could not be started by this user, without starting it; undefined: it could. Looked for as it will
 * be: by its path, or by the path list where it has none.
 */
export async function programProblem(
  program: string,
  pathList = process.env.PATH ?? "",
): Promise<string | undefined> {
  const places = program.includes("/")
    ? [program]
    : pathList.split(delimiter).map((place) => join(place === "" ? "." : place, program));
  let problem = NO_PROGRAM;
  for (const place of places) {
    const found = await stat(place).catch(() => undefined);
    if (found === undefined) continue;
    const mayRun = found.isFile() && (await access(place, constants.X_OK).then(...YES_OR_NO));
    if (mayRun) return undefined;
    problem = MAY_NOT_RUN;
  }
  return problem;
}

const YES_OR_NO = [() => true, () => false] as const;
const NO_PROGRAM = "there is no such program";
const MAY_NOT_RUN = "it may not be run: permission denied";

function startProblem(error: Error & { code?: unknown }): string {
  if (error.code === "ENOENT") return NO_PROGRAM;
  if (error.code === "EACCES") return MAY_NOT_RUN;
  return oneLine(error.message);
}

function endWords(code: number | null, signal: string | null): string {
  return code === null ? `ended by ${signal ?? "a signal"}` : `exit code ${code}`;
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, " ").trim().slice(0, MOST_SAID);
}
