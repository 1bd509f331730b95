/**
 * The state file: what a restart resumes from. Written whole beside the old one, synced, then renamed over it,
 * so that a power cut leaves either the old or the new. A damaged one is set aside and said, never a crash.
 */
import { existsSync, mkdirSync, readFileSync, renameSync } from "node:fs";
import { dirname } from "node:path";
import { fileProblem } from "../config/read.ts";
import type { SavedWatch } from "../core.ts";
import { writeWhole } from "./whole-file.ts";

const VERSION = 4;

export interface StateFile {
  /** Starts a write; a newer state given meanwhile is written after it. Never throws. */
  save(state: SavedWatch): void;
  /** Resolves when all that was given is on disk, or has failed. */
  settled(): Promise<void>;
}

/** `setAside`: what has become of a damaged file. */
export type Resumed = { saved: SavedWatch | undefined; setAside: string | undefined };

/** Reads what was saved. A file that cannot be used is renamed and its new name returned. */
export function loadState(file: string): Resumed {
  if (!existsSync(file)) return { saved: undefined, setAside: undefined };
  try {
    const data: unknown = JSON.parse(readFileSync(file, "utf8"));
    if (isSaved(data)) return { saved: data.saved, setAside: undefined };
  } catch {
    // Set aside below, whatever was wrong with it.
  }
  return { saved: undefined, setAside: setAside(file) };
}

/**
 * Renames a file that is of no use, so that it can be looked into; returns its new name, or its own where the disk
 * lets nothing be renamed: then it lies in nobody's way either.
 */
export function setAside(file: string): string {
  const aside = `${file}.damaged-${Date.now()}`;
  try {
    renameSync(file, aside);
  } catch {
    return file;
  }
  return aside;
}

/** Enough of the shape to go on with: our own version and the parts a watch is made of. */
function isSaved(data: unknown): data is { version: number; saved: SavedWatch } {
  if (typeof data !== "object" || data === null || !("version" in data) || data.version !== VERSION)
    return false;
  const saved = "saved" in data ? (data.saved as Partial<SavedWatch> | null) : null;
  if (typeof saved !== "object" || saved === null || typeof saved.atMs !== "number") return false;
  const phase = saved.watch?.stay?.phase;
  const known = phase === "underway" || phase === "let-go" || phase === "riding" || phase === "weighing";
  return known && typeof saved.watch?.latches === "object" && typeof saved.alerts?.active === "object";
}

/** @param failed told once for each failing write, and with undefined when it works again */
export function openStateFile(file: string, failed: (why: string | undefined) => void): StateFile {
  mkdirSync(dirname(file), { recursive: true });
  let waiting: string | undefined;
  let writing: Promise<void> | undefined;
  const writeAll = async (): Promise<void> => {
    while (waiting !== undefined) {
      const text = waiting;
      waiting = undefined;
      try {
        await writeWhole(file, text);
        failed(undefined);
      } catch (error) {
        failed(fileProblem(error, "writable"));
      }
    }
    writing = undefined;
  };
  return {
    save(state) {
      // As text at once: the core goes on changing while the disk is waited for.
      waiting = JSON.stringify({ version: VERSION, saved: state });
      writing ??= writeAll();
    },
    settled: async () => {
      await writing;
    },
  };
}
