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
  let bytes = 0;
  for (const file of files) {
    const raw: Readable = file === "-" ? process.stdin : createReadStream(file, { highWaterMark: 1 << 17 });
    const stream = file.endsWith(".gz") ? raw.pipe(createGunzip()) : raw;
    raw.on("error", (error) => stream.destroy(error));
    let lines: string[] = [];
    const splitter = createSplitter((text) => lines.push(text));
    try {
      for await (const chunk of stream) {
        splitter.push(chunk as Uint8Array);
        bytes += (chunk as Uint8Array).length;
        yield { lines, bytes };
        lines = [];
      }
    } catch (error) {
      refuse(file, error);
    }
    splitter.flush();
    yield { lines, bytes };
  }
}

function refuse(file: string, error: unknown): never {
  throw new Problem(`${file === "-" ? "standard input" : file}: ${fileProblem(error)}`, 1);
}
