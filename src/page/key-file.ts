/** The file that holds the PIN and the sessions, both hashed only. Written whole and at once, for its owner alone. */
import { mkdir, open, readFile, rename, rm } from "node:fs/promises";
import { dirname } from "node:path";
import { z } from "zod";

const shape = z.strictObject({
  version: z.literal(1),
  pin: z.strictObject({ salt: z.string(), hash: z.string() }),
  sessions: z.array(z.strictObject({ hash: z.string(), expiresAtMs: z.number() })),
});

export type Keys = z.infer<typeof shape>;

export type ReadKeys = { kind: "keys"; keys: Keys } | { kind: "none" } | { kind: "damaged"; why: string };

/** Reads the file. Rejects when it is there and may not be read. */
export async function readKeys(path: string): Promise<ReadKeys> {
  let text: string;
  try {
    text = await readFile(path, "utf8");
  } catch (error) {
    if (error instanceof Error && "code" in error && error.code === "ENOENT") return { kind: "none" };
    throw error;
  }
  const parsed = shape.safeParse(parseJson(text));
  return parsed.success
    ? { kind: "keys", keys: parsed.data }
    : { kind: "damaged", why: parsed.error.issues[0]?.message ?? "unreadable" };
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** Replaces the file: a power cut leaves the old one or the new one, never half of one. */
export async function writeKeys(path: string, keys: Keys): Promise<void> {
  const folder = dirname(path);
  const fresh = `${path}.new`;
  await mkdir(folder, { recursive: true, mode: 0o700 });
  // A leftover would keep the mode it has.
  await rm(fresh, { force: true });
  const file = await open(fresh, "wx", 0o600);
  try {
    await file.writeFile(`${JSON.stringify(keys, undefined, 1)}\n`);
    await file.sync();
  } finally {
    await file.close();
  }
  await rename(fresh, path);
  const entry = await open(folder, "r");
  try {
    await entry.sync();
  } finally {
    await entry.close();
  }
}
