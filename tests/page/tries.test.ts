import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { createTries } from "../../src/page/tries.ts";
import { DAY_MS, MINUTE_MS, SECOND_MS } from "../../src/units/time.ts";

describe("tries of the PIN", () => {
  test("five are free, then each wait is twice the one before, up to a quarter of an hour", () => {
    const tries = createTries();
    let atMs = 0;
    for (let i = 0; i < 5; i++) expect(tries.book("a", atMs)).toBeUndefined();
    const waits: number[] = [];
    for (let i = 0; i < 8; i++) {
      const waitMs = tries.book("a", atMs) ?? 0;
      waits.push(waitMs / SECOND_MS);
      expect(tries.book("a", atMs + waitMs - 1)).toBe(1);
      atMs += waitMs;
      expect(tries.book("a", atMs)).toBeUndefined();
    }
    expect(waits).toEqual([30, 60, 120, 240, 480, 900, 900, 900]);
  });

  test("many addresses share one allowance", () => {
    const tries = createTries();
    for (let i = 0; i < 10; i++) expect(tries.book(`10.0.0.${i}`, 0)).toBeUndefined();
    expect(tries.book("10.0.0.99", 0)).toBe(5 * SECOND_MS);
  });

  test("one address that is made to wait does not stop another", () => {
    const tries = createTries();
    for (let i = 0; i < 5; i++) tries.book("a", 0);
    expect(tries.book("a", 0)).toBeDefined();
    expect(tries.book("b", 0)).toBeUndefined();
  });

  test("a right one forgives, and a day forgets", () => {
    const tries = createTries();
    for (let i = 0; i < 5; i++) tries.book("a", 0);
    tries.right("a");
    expect(tries.book("a", 0)).toBeUndefined();
    for (let i = 0; i < 4; i++) tries.book("a", 0);
    expect(tries.book("a", 0)).toBeDefined();
    expect(tries.book("a", DAY_MS + 1)).toBeUndefined();
  });

  test("a clock that was set back makes nobody wait longer", () => {
    const tries = createTries();
    for (let i = 0; i < 5; i++) tries.book("a", 10 * DAY_MS);
    expect(tries.book("a", 0)).toBe(30 * SECOND_MS);
  });

  test("however it is tried, an hour lets few through", () => {
    // 10 free, 5 s doubling to 300 s (7 tries in 615 s), then one in 5 min: ten in the rest of the hour.
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 1, max: 400 }), (stepS, addresses) => {
        const tries = createTries();
        let passed = 0;
        let i = 0;
        for (let atMs = 0; atMs < 60 * MINUTE_MS; atMs += stepS * SECOND_MS)
          if (tries.book(`a${i++ % addresses}`, atMs) === undefined) passed++;
        expect(passed).toBeLessThanOrEqual(10 + 7 + 10);
      }),
      { numRuns: 30 },
    );
  });
});
