/**
 * Acts from the shell: a Unix socket in the state directory. Whoever may open the file may act, so it is the
 * owner's and group's only. In: one sentence a line; out: its answer.
 */
import { chmodSync, existsSync, unlinkSync } from "node:fs";
import { connect, createServer, type Socket } from "node:net";
import { join } from "node:path";
import { createSplitter } from "../ports/line-splitter.ts";

export interface Shell {
  close(): Promise<void>;
}

/** The card is worn or full: nothing that a person has set wrong. */
export function isCardTrouble(error: unknown): boolean {
  return error instanceof Error && "code" in error && ["EROFS", "EIO", "ENOSPC"].includes(String(error.code));
}

const MOST_CLIENTS = 8;
/** Answers that a client has not read; one that lets more pile up is dropped. */
const MOST_UNREAD_BYTES = 16 * 1024;

/**
 * Listens; a socket left by a dead daemon is taken over, one of a living daemon is refused with an error: so it
 * is the lock of the state directory as well. Rejects with one clear line, or with what the file system says.
 */
export async function openShell(file: string, answer: (text: string) => string): Promise<Shell> {
  if (existsSync(file)) {
    if (await isAlive(file)) throw new Error(`another rodeward is running here (${file} answers)`);
    unlinkSync(file);
  }
  const clients = new Set<Socket>();
  const server = createServer({ allowHalfOpen: true }, (client) => {
    clients.add(client);
    client.on("close", () => clients.delete(client));
    client.on("error", () => client.destroy());
    const splitter = createSplitter((text) => {
      if (client.destroyed || client.readableEnded) return;
      if (client.writableLength > MOST_UNREAD_BYTES) client.destroy();
      else client.write(`${answer(text)}\n`);
    });
    // Who has hung up was told that there is no answer, and may have said it again: nothing of his is taken. That
    // he has gone shows in the same turn of the loop as his words, and these are looked at after it.
    client.on("data", (chunk) => setImmediate(() => setImmediate(() => splitter.push(chunk))));
    client.on("end", () => client.end("not taken: keep the connection open until the answer\n"));
  });
  server.maxConnections = MOST_CLIENTS;
  await new Promise<void>((resolve, reject) => {
    server.once("error", reject);
    server.listen(file, resolve);
  });
  chmodSync(file, 0o660);
  return {
    close: () =>
      new Promise((resolve) => {
        for (const client of clients) client.destroy();
        server.close(() => resolve());
      }),
  };
}

/** Where a daemon listens that keeps its state in this directory. */
export function shellFile(stateDirectory: string): string {
  return join(stateDirectory, "act.sock");
}

/** Does a daemon listen there? Nothing is said to it. False where one may not look. */
export function isAlive(file: string): Promise<boolean> {
  return new Promise((resolve) => {
    const probe = connect(file, () => {
      probe.destroy();
      resolve(true);
    });
    probe.on("error", () => resolve(false));
  });
}

/** A board that writes to a slow card or has just started is late, not dead. */
const ANSWER_MS = 10_000;

function whyNot(error: Error, file: string): string {
  const code = "code" in error ? error.code : undefined;
  if (code === "EACCES") return `permission denied for ${file}: only its owner and group may act`;
  if (code === "ENOENT" || code === "ECONNREFUSED") return `no rodeward is running here (nothing at ${file})`;
  return `the daemon at ${file} takes nobody just now (${String(code ?? error.message)}): try again`;
}

/** Gives one sentence to the running daemon and returns its answer. Rejects with one clear line. */
export function askDaemon(file: string, text: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const client = connect(file);
    const fail = (why: string) => {
      client.destroy();
      reject(new Error(why));
    };
    client.setTimeout(ANSWER_MS, () =>
      fail(
        "the daemon does not answer; it takes nothing whose sender has gone, but look before you say it again",
      ),
    );
    client.on("error", (error) => fail(whyNot(error, file)));
    client.on("close", () => fail("the daemon closed the connection: it takes so many at a time; try again"));
    const splitter = createSplitter((answer) => {
      client.destroy();
      resolve(answer);
    });
    client.on("data", (chunk) => splitter.push(chunk));
    client.on("connect", () => client.write(`${text}\n`));
  });
}
