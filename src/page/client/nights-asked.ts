/** Asking for kept nights: each ends in data or in words, never in a throw. */
import { review } from "./nights-words.ts";

const PATIENCE_MS = 15_000;

/** Data, or words for why there is none. */
export async function asked<T>(path: string): Promise<T | string> {
  try {
    const response = await fetch(path, { signal: AbortSignal.timeout(PATIENCE_MS) });
    if (response.ok) return (await response.json()) as T;
    const refusal = (await response.json()) as { error?: string };
    return refusal.error ?? review.noAnswer;
  } catch {
    return review.noAnswer;
  }
}
