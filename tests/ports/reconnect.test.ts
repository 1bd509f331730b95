import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { backOffMs, createReconnect } from "../../src/ports/reconnect.ts";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

test("0.5 s, doubling to 30 s", () => {
  const waits = [1, 2, 3, 4, 5, 6, 7, 8, 50, 5000].map((failures) => backOffMs(failures, 0.5));
  expect(waits).toEqual([500, 1000, 2000, 4000, 8000, 16_000, 30_000, 30_000, 30_000, 30_000]);
});

test("jitter is ±25 %", () => {
  expect(backOffMs(1, 0)).toBe(375);
  expect(backOffMs(1, 0.999_999)).toBeCloseTo(625, 2);
});

test("runs again once after the wait, and never after cancel", async () => {
  const retry = createReconnect(() => 0.5);
  const again = vi.fn();
  retry.failed(again);
  await vi.advanceTimersByTimeAsync(499);
  expect(again).not.toHaveBeenCalled();
  await vi.advanceTimersByTimeAsync(1);
  expect(again).toHaveBeenCalledTimes(1);
  retry.failed(again);
  retry.cancel();
  await vi.advanceTimersByTimeAsync(60_000);
  expect(again).toHaveBeenCalledTimes(1);
  expect(vi.getTimerCount()).toBe(0);
});

/** Three failures, then a link that does `during`, then a failure: the wait after it. */
function waitAfter(during: (retry: ReturnType<typeof createReconnect>) => void): number {
  const retry = createReconnect(() => 0.5);
  for (let i = 0; i < 3; i++) retry.failed(() => {});
  retry.up();
  during(retry);
  const waitMs = retry.failed(() => {});
  retry.cancel();
  return waitMs;
}

test("a peer that accepts and drops at once is left alone longer and longer", () => {
  expect(waitAfter(() => {})).toBe(4000);
});

test("data for less than 10 s proves nothing, for 10 s it starts afresh", () => {
  const flow = (forMs: number) => (retry: ReturnType<typeof createReconnect>) => {
    retry.flowed();
    vi.advanceTimersByTime(forMs);
    retry.flowed();
  };
  expect(waitAfter(flow(9_000))).toBe(4000);
  expect(waitAfter(flow(10_000))).toBe(500);
});

test("a link that held for a minute without a word starts afresh too", () => {
  expect(waitAfter(() => vi.advanceTimersByTime(59_000))).toBe(4000);
  expect(waitAfter(() => vi.advanceTimersByTime(60_000))).toBe(500);
});

test("one link's soundness does not carry over to the next", () => {
  const retry = createReconnect(() => 0.5);
  retry.up();
  vi.advanceTimersByTime(60_000);
  expect(retry.failed(() => {})).toBe(500);
  retry.up();
  expect(retry.failed(() => {})).toBe(1000);
  retry.cancel();
});
