/** Lines of recorded logs: plain or gzipped files, or standard input (`-`), one after another. */
import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import type { Readable } from "node:stream";
import { createGunzip } from "node:zlib";
import { fileProblem } from "../config/read.ts";
import { createSplitter } from "../ports/line-splitter.ts";
import { Problem } from "./problem.ts";

/** Bytes in all the files together; undefined when standard input is among them. */
export async function totalBytes(files: readonly string[]): Promise<number | undefined> {
  let total = 0;
  for (const file of files) {
    if (file === "-") return undefined;
    total += (await stat(file).catch((error) => refuse(file, error))).size;
  }
  return total;
}

/**
 * Batches of lines (latin1, no byte lost) with the bytes read so far. Throws a `Problem` naming the file that
 * cannot be read.
 */
export async function* logLines(
  files: readonly string[],
): AsyncGenerator<{ lines: string[]; bytes: number }> {
  let bytesBefore = 0;
  for (const file of files) {
    const disk = file === "-" ? undefined : createReadStream(file, { highWaterMark: 1 << 17 });
    const raw: Readable = disk ?? process.stdin;
    const stream = file.endsWith(".gz") ? raw.pipe(createGunzip()) : raw;
    raw.on("error", (error) => stream.destroy(error));
    // As they stand on the disk: of a compressed log the bytes within would be ten times as many.
    const bytes = () => bytesBefore + (disk?.bytesRead ?? 0);
    let lines: string[] = [];
    const splitter = createSplitter((text) => lines.push(text));
    try {
      for await (const chunk of stream) {
        splitter.push(chunk as Uint8Array);
        yield { lines, bytes: bytes() };
        lines = [];
      }
    } catch (error) {
      refuse(file, error);
    }
    splitter.flush();
    bytesBefore = bytes();
    yield { lines, bytes: bytesBefore };
  }
}

/** A log as a person is told of it. */
export function nameOf(file: string): string {
  return file === "-" ? "standard input" : file;
}

function refuse(file: string, error: unknown): never {
  throw new Problem(`${nameOf(file)}: ${fileProblem(error)}`, 1);
}
