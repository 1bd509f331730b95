/** Requests to the daemon: each ends in data, never in a throw. */
import type { Units } from "./wording.ts";
import { acts } from "./words.ts";

export type Answer =
  | { kind: "ok" }
  /** Not paired, or not any more. */
  | { kind: "unpaired" }
  | { kind: "refused"; words: string }
  /** Nothing came back: taken or not, nobody here can tell. */
  | { kind: "unknown"; words: string };

const PATIENCE_MS = 8000;

export async function post(path: string, body?: object): Promise<Answer> {
  try {
    const response = await fetch(path, {
      method: "POST",
      signal: AbortSignal.timeout(PATIENCE_MS),
      ...(body === undefined
        ? {}
        : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) }),
    });
    if (response.ok) return { kind: "ok" };
    const refusal = (await response.json()) as { error?: string; reason?: string };
    if (refusal.reason === "session") return { kind: "unpaired" };
    const wait = response.headers.get("retry-after");
    const words = refusal.error ?? `refused (${response.status})`;
    return { kind: "refused", words: wait === null ? words : `${words} ${wait} s` };
  } catch {
    return { kind: "unknown", words: acts.noAnswer };
  }
}

export interface Standing {
  paired: boolean;
  units: Units;
}

/** Data; undefined when there is no answer, or a refusal. */
export async function got<T>(path: string): Promise<T | undefined> {
  try {
    const response = await fetch(path, { signal: AbortSignal.timeout(PATIENCE_MS) });
    return response.ok ? ((await response.json()) as T) : undefined;
  } catch {
    return undefined;
  }
}

/** Whether this phone is paired, and in which units to speak. */
export function standing(): Promise<Standing | undefined> {
  return got<Standing>("/api/session");
}
