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

const MOST_CLIENTS = 8;
/** Answers that a client has not read; one that lets more pile up is dropped. */
const MOST_UNREAD_BYTES = 16 * 1024;

/**
 * Listens; a socket left by a dead daemon is taken over, one of a living daemon is refused with an error: so it
 * is the lock of the state directory as well.
 */
export async function openShell(file: string, answer: (text: string) => string): Promise<Shell> {
  if (existsSync(file)) {
    if (await isAlive(file)) throw new Error(`another rodeward is running here (${file} answers)`);
    unlinkSync(file);
  }
  const clients = new Set<Socket>();
  const server = createServer((client) => {
    clients.add(client);
    client.on("close", () => clients.delete(client));
    client.on("error", () => client.destroy());
    const splitter = createSplitter((text) => {
      if (client.writableLength > MOST_UNREAD_BYTES) client.destroy();
      else client.write(`${answer(text)}\n`);
    });
    client.on("data", (chunk) => splitter.push(chunk));
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

const ANSWER_MS = 3000;

/** Gives one sentence to the running daemon and returns its answer. Rejects with one clear line. */
export function askDaemon(file: string, text: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const client = connect(file);
    const fail = (why: string) => {
      client.destroy();
      reject(new Error(why));
    };
    client.setTimeout(ANSWER_MS, () => fail("the daemon does not answer"));
    client.on("error", (error) =>
      fail(
        "code" in error && error.code === "EACCES"
          ? `permission denied for ${file}: only its owner and group may act`
          : `no rodeward is running here (nothing at ${file})`,
      ),
    );
    client.on("close", () => fail("the daemon closed the connection without an answer"));
    const splitter = createSplitter((answer) => {
      client.destroy();
      resolve(answer);
    });
    client.on("data", (chunk) => splitter.push(chunk));
    client.on("connect", () => client.write(`${text}\n`));
  });
}
