/**
 * A file that sentences are added to, or a pipe: `/dev/stdout` is standard output. One write at a time, at most
 * MOST_WAITING wait; a full disk is a port that is down, and is tried again.
 */
import { constants } from "node:fs";
import { type FileHandle, open } from "node:fs/promises";
import { type Connect, KeptLink, type Wire, type WireEvents } from "./kept-link.ts";
import { type OpenPort, type PortDeps, type PortEvents, type PortSettings, wireLine } from "./port.ts";
import { messageOf } from "./port-report.ts";

const MOST_WAITING = 256;
/** A pipe that nobody reads must not hold us up: opening it, and writing to it, then fails at once. */
const FLAGS = constants.O_WRONLY | constants.O_APPEND | constants.O_CREAT | constants.O_NONBLOCK;

const BY_CODE: Readonly<Record<string, string>> = {
  ENXIO: "nobody reads that pipe",
  EPIPE: "nobody reads it any more",
  EAGAIN: "its reader does not keep up",
  ENOSPC: "the disk is full",
  EACCES: "permission denied",
  EROFS: "it is on a read-only disk",
  EISDIR: "it is a directory",
  ENOENT: "there is no such directory",
};

/** Always succeeds: a file that cannot be opened is a port that is down, and is tried again. */
export function openFile(
  settings: PortSettings<"file">,
  events: PortEvents,
  deps: PortDeps,
): Promise<OpenPort> {
  const { path } = settings;
  const connect: Connect = async (on, signal) => {
    const handle = await open(path, FLAGS, 0o640).catch((error: unknown) => {
      throw new Error(`cannot write to ${path}: ${why(error)}`);
    });
    if (signal.aborted) {
      await handle.close();
      throw new Error("given up");
    }
    return runFile(handle, path, on);
  };
  return Promise.resolve(new KeptLink(settings, events, deps, connect));
}

function why(error: unknown): string {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return BY_CODE[code] ?? messageOf(error);
}

function runFile(handle: FileHandle, path: string, on: WireEvents): Wire {
  const waiting: Buffer[] = [];
  let writing: Promise<void> | undefined;
  let closed = false;

  const writeAll = async (): Promise<void> => {
    for (let line = waiting.shift(); line !== undefined && !closed; line = waiting.shift()) {
      try {
        await handle.appendFile(line);
        on.sent();
      } catch (error) {
        on.dropped(1);
        on.lost(`cannot write to ${path}: ${why(error)}`);
      }
    }
    writing = undefined;
  };

  return {
    how: `adding to ${path}`,
    address: undefined,
    send(text) {
      if (waiting.length >= MOST_WAITING) {
        on.dropped(1);
        return;
      }
      waiting.push(wireLine(text));
      writing ??= writeAll();
    },
    async close() {
      closed = true;
      on.dropped(waiting.splice(0).length);
      await writing;
      await handle.close().catch(() => {});
    },
  };
}
