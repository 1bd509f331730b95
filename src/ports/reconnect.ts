/** When to try again: 0.5 s after the first failure, doubling to 30 s, each ±25 % so that ports do not march in step. */

const FIRST_MS = 500;
const LONGEST_MS = 30_000;
const JITTER = 0.25;

/** Data over this long shows a sound link: the next failure starts again at FIRST_MS. */
const SOUND_DATA_MS = 10_000;
/** So does merely holding this long: many displays never say a word. */
const SOUND_UP_MS = 60_000;

/**
 * The wait before the next try, ms, after so many failures in a row (1 or more).
 * @param random in [0, 1)
 */
export function backOffMs(failures: number, random: number): number {
  const baseMs = Math.min(LONGEST_MS, FIRST_MS * 2 ** (failures - 1));
  return baseMs * (1 - JITTER + 2 * JITTER * random);
}

export interface Reconnect {
  /** The link is up. */
  up(): void;
  /** Something was received. */
  flowed(): void;
  /** The link failed, or could not be made: runs `again` after the back-off. Returns that wait, ms. */
  failed(again: () => void): number;
  /** No further try. */
  cancel(): void;
}

export function createReconnect(random: () => number): Reconnect {
  let failures = 0;
  let upAtMs: number | undefined;
  let firstDataAtMs: number | undefined;
  let lastDataAtMs = 0;
  let timer: NodeJS.Timeout | undefined;

  function wasSound(): boolean {
    const heldLong = upAtMs !== undefined && performance.now() - upAtMs >= SOUND_UP_MS;
    return heldLong || (firstDataAtMs !== undefined && lastDataAtMs - firstDataAtMs >= SOUND_DATA_MS);
  }

  return {
    up() {
      upAtMs = performance.now();
    },
    flowed() {
      lastDataAtMs = performance.now();
      firstDataAtMs ??= lastDataAtMs;
    },
    failed(again) {
      failures = wasSound() ? 1 : failures + 1;
      upAtMs = undefined;
      firstDataAtMs = undefined;
      const waitMs = backOffMs(failures, random());
      clearTimeout(timer);
      timer = setTimeout(again, waitMs);
      return waitMs;
    },
    cancel() {
      clearTimeout(timer);
    },
  };
}
