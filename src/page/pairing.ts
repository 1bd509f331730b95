/**
 * Pairing: the PIN opens a session of 90 days for a phone. The PIN and the sessions are kept as hashes in one
 * file, so that a restart keeps phones paired and deleting that file unpairs them all.
 */
import { createHash, randomBytes } from "node:crypto";
import { DAY_MS } from "../units/time.ts";
import { type Keys, readKeys, writeKeys } from "./key-file.ts";
import type { PageLog } from "./page.ts";
import { hashPin, isPin, makePin } from "./pin.ts";
import { createTries } from "./tries.ts";

export const SESSION_MS = 90 * DAY_MS;
/** More phones than any crew has; then the eldest session gives way. */
const MOST_SESSIONS = 50;

export type Paired = { kind: "paired"; token: string } | { kind: "wrong" } | { kind: "wait"; waitMs: number };

export interface Pairing {
  /** The PIN in clear, when it has just been made: it can be shown now and never again. */
  readonly firstPin: string | undefined;
  pair(pin: string, address: string): Promise<Paired>;
  isPaired(token: string | undefined): boolean;
  /** Puts a new PIN on disk: to be called once it is sure that it will be shown. */
  keep(): Promise<void>;
  /** Resolves when all is on disk. */
  settled(): Promise<void>;
}

export async function openPairing(path: string, nowMs: () => number, log: PageLog): Promise<Pairing> {
  const { keys, firstPin } = await keysOf(path, log);
  const tries = createTries();
  let saving = Promise.resolve();
  let checking: Promise<unknown> = Promise.resolve();

  /** A full or read-only card must not end the watch's page: then pairings last until the next start. */
  function save(): Promise<void> {
    return writeKeys(path, keys).catch((error: unknown) => {
      log.warn({ err: error, path }, "the PIN file cannot be written: pairings are lost at the next start");
    });
  }

  function openSession(): string {
    const token = randomBytes(32).toString("base64url");
    const expiresAtMs = nowMs() + SESSION_MS;
    const living = keys.sessions.filter((session) => session.expiresAtMs > nowMs());
    keys.sessions = [...living.slice(1 - MOST_SESSIONS), { hash: hashOf(token), expiresAtMs }];
    saving = saving.then(save);
    return token;
  }

  async function pair(pin: string, address: string): Promise<Paired> {
    // Booked before the slow comparison: a hundred tries at once must not all pass.
    const waitMs = tries.book(address, nowMs());
    if (waitMs !== undefined) return { kind: "wait", waitMs };
    // One after another: each comparison takes 16 MB.
    const right = checking.then(() => isPin(pin, keys.pin));
    checking = right.catch(() => false);
    if (!(await right)) return { kind: "wrong" };
    tries.right(address);
    const token = openSession();
    await saving;
    return { kind: "paired", token };
  }

  return {
    firstPin,
    pair,
    isPaired(token) {
      if (token === undefined) return false;
      const hash = hashOf(token);
      return keys.sessions.some((session) => session.hash === hash && session.expiresAtMs > nowMs());
    },
    keep() {
      if (firstPin !== undefined) saving = saving.then(save);
      return saving;
    },
    settled: () => saving,
  };
}

async function keysOf(path: string, log: PageLog): Promise<{ keys: Keys; firstPin: string | undefined }> {
  const read = await readKeys(path);
  if (read.kind === "keys") return { keys: read.keys, firstPin: undefined };
  if (read.kind === "damaged")
    log.warn({ path, why: read.why }, "the PIN file is damaged: a new PIN is made, phones must pair again");
  const firstPin = makePin();
  return { keys: { version: 1, pin: await hashPin(firstPin), sessions: [] }, firstPin };
}

/** A token is 256 random bits: a plain hash is enough. */
function hashOf(token: string): string {
  return createHash("sha256").update(token).digest("base64");
}
