import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { createLineBudget, lineTimeMs, QUEUE_BOUND } from "../../src/ports/line-budget.ts";

const BAUD = 4800;
/** 80 characters, 82 with CR LF: 170.8 ms at 4800 baud (IEC 61162-1: 10 bits a character). */
const full = (n: number) => `$IITXT,${String(n).padStart(2, "0")}`.padEnd(80, ".");

function onFakeLine(write = (_text: string) => Promise.resolve()) {
  const written: { text: string; atMs: number }[] = [];
  const counts = { dropped: 0, replaced: 0 };
  const budget = createLineBudget({
    baud: BAUD,
    write: (text) => {
      written.push({ text, atMs: performance.now() });
      return write(text);
    },
    dropped: (n) => {
      counts.dropped += n;
    },
    replaced: (n) => {
      counts.replaced += n;
    },
  });
  return { budget, written, counts, texts: () => written.map((w) => w.text) };
}

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe("line budget", () => {
  test("the time on the line: 82 characters at 4800 baud are 170.8 ms, at 38400 21.4 ms", () => {
    expect(lineTimeMs(full(1), 4800)).toBeCloseTo(170.8, 1);
    expect(lineTimeMs(full(1), 38400)).toBeCloseTo(21.4, 1);
  });

  test("the next sentence goes when the line must have finished the one before", async () => {
    const { budget, written } = onFakeLine();
    for (let n = 0; n < 4; n++) budget.send(full(n), false);
    await vi.advanceTimersByTimeAsync(1000);
    const startMs = written[0]?.atMs ?? 0;
    expect(written.map((w) => w.atMs - startMs)).toEqual([0, 171, 342, 513]);
  });

  test("a lone sentence on an idle line goes at once", () => {
    const { budget, texts } = onFakeLine();
    budget.send("$IIHBT,30,A,0*00", false);
    expect(texts()).toEqual(["$IIHBT,30,A,0*00"]);
  });

  test("urgent ones are next after the one being sent, in their own order", async () => {
    const { budget, texts } = onFakeLine();
    for (let n = 0; n < 3; n++) budget.send(full(n), false);
    await vi.advanceTimersByTimeAsync(50);
    budget.send("$IIALR,1,801,A,V,A*00", true);
    budget.send("$IIALR,1,802,A,V,B*00", true);
    await vi.advanceTimersByTimeAsync(2000);
    expect(texts()).toEqual([full(0), "$IIALR,1,801,A,V,A*00", "$IIALR,1,802,A,V,B*00", full(1), full(2)]);
  });

  test("passed-on sentences go when nothing of ours waits, replace none of ours, and are dropped first", async () => {
    const { budget, texts, counts } = onFakeLine();
    budget.send(full(0), false);
    for (let n = 1; n <= QUEUE_BOUND; n++) budget.send(full(n), false, true);
    budget.send("$IIBWC,1,,,,,,T,,M,,N,ANCHOR,A*00", false);
    budget.send("$IIBWC,2,,,,,,T,,M,,N,HOME,A*00", false, true);
    budget.send("$IIALR,1,801,A,V,A*00", true);
    await vi.advanceTimersByTimeAsync(700);
    expect(texts().slice(0, 3)).toEqual([
      full(0),
      "$IIALR,1,801,A,V,A*00",
      "$IIBWC,1,,,,,,T,,M,,N,ANCHOR,A*00",
    ]);
    // The oldest three passed on gave way, none of ours.
    expect(texts()[3]).toBe(full(4));
    expect(counts).toEqual({ dropped: 3, replaced: 0 });
  });

  test("a newer sentence on the same matter takes the older one's place, so a busy matter is sent in turn", async () => {
    const { budget, texts, counts } = onFakeLine();
    budget.send(full(0), false);
    budget.send("$IIXDR,D,40.0,M,RODEREQ*00", false);
    budget.send(full(1), false);
    budget.send("$IIXDR,D,41.0,M,RODEREQ*00", false);
    await vi.advanceTimersByTimeAsync(1000);
    expect(texts()).toEqual([full(0), "$IIXDR,D,41.0,M,RODEREQ*00", full(1)]);
    expect(counts).toEqual({ dropped: 0, replaced: 1 });
  });

  test("an urgent state removes the older one that waits: it must not come after it", async () => {
    const { budget, texts } = onFakeLine();
    budget.send(full(0), false);
    budget.send("$IIALF,1,1,4,1.00,B,A,A,RDW,10801,1,2,0,OLD*00", false);
    budget.send("$IIALF,1,1,5,2.00,B,A,V,RDW,10801,1,3,0,NEW*00", true);
    await vi.advanceTimersByTimeAsync(1000);
    expect(texts()).toEqual([full(0), "$IIALF,1,1,5,2.00,B,A,V,RDW,10801,1,3,0,NEW*00"]);
  });

  test("the parts of a new report replace all parts of the old one and stay together", async () => {
    const alf = (total: number, part: number, seq: number) =>
      `$IIALF,${total},${part},${seq},,B,A,V,RDW,10801,1,1,0,X*00`;
    const { budget, texts, counts } = onFakeLine();
    budget.send(full(0), false);
    budget.send(alf(2, 1, 3), false);
    budget.send(alf(2, 2, 3), false);
    budget.send(full(1), false);
    budget.send(alf(2, 1, 4), false);
    budget.send(alf(2, 2, 4), false);
    await vi.advanceTimersByTimeAsync(2000);
    expect(texts()).toEqual([full(0), alf(2, 1, 4), alf(2, 2, 4), full(1)]);
    expect(counts.replaced).toBe(2);
  });

  test("beyond the bound the oldest that is not urgent is dropped and counted", async () => {
    const { budget, texts, counts } = onFakeLine();
    budget.send("first", false); // on the line at once
    budget.send("urgent", true);
    for (let n = 0; n < QUEUE_BOUND; n++) budget.send(`waiting ${n}`, false);
    expect(counts.dropped).toBe(1);
    await vi.advanceTimersByTimeAsync(60_000);
    expect(texts().slice(0, 3)).toEqual(["first", "urgent", "waiting 1"]);
    expect(texts()).toHaveLength(QUEUE_BOUND + 1);
  });

  test("urgent ones alone are bounded too: the newest stay", async () => {
    const { budget, texts, counts } = onFakeLine();
    for (let n = 0; n < QUEUE_BOUND + 3; n++) budget.send(`urgent ${n}`, true);
    budget.send("late and not urgent", false);
    expect(counts.dropped).toBe(3);
    await vi.advanceTimersByTimeAsync(60_000);
    expect(texts()[1]).toBe("urgent 3");
    expect(texts().at(-1)).toBe(`urgent ${QUEUE_BOUND + 2}`);
  });

  test("a line that takes nothing: one write under way, a bounded queue, and it goes on", async () => {
    let release = () => {};
    const { budget, written, counts } = onFakeLine(
      () =>
        new Promise((resolve) => {
          release = resolve;
        }),
    );
    for (let n = 0; n < 200; n++) budget.send(`s ${n}`, false);
    await vi.advanceTimersByTimeAsync(60_000);
    expect(written).toHaveLength(1);
    expect(budget.writing()).toBe(true);
    expect(counts.dropped).toBe(200 - 1 - QUEUE_BOUND);
    release();
    await vi.advanceTimersByTimeAsync(0);
    expect(written.at(-1)?.text).toBe(`s ${200 - QUEUE_BOUND}`);
  });

  test("a write that fails does not stop the next", async () => {
    const { budget, texts } = onFakeLine(() => Promise.reject(new Error("gone")));
    budget.send("a", false);
    budget.send("b", false);
    await vi.advanceTimersByTimeAsync(1000);
    expect(texts()).toEqual(["a", "b"]);
  });

  test("closing drops and counts what waits, and leaves no timer", () => {
    const { budget, texts, counts } = onFakeLine();
    budget.send("a", false);
    budget.send("b", true);
    budget.close();
    budget.send("c", true);
    expect(vi.getTimerCount()).toBe(0);
    expect(texts()).toEqual(["a"]);
    expect(counts.dropped).toBe(2);
  });

  test("whatever comes: nothing vanishes uncounted, the line is never overrun, urgent before others", async () => {
    const step = fc.record({
      n: fc.integer({ min: 0, max: 6 }),
      urgent: fc.boolean(),
      waitMs: fc.integer({ min: 0, max: 400 }),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 150 }), async (steps) => {
        const { budget, written, counts } = onFakeLine();
        for (const { n, urgent, waitMs } of steps) {
          budget.send(`$IIXDR,D,${n},M,N${n}${urgent ? "U" : ""}*00`, urgent);
          if (waitMs > 200) await vi.advanceTimersByTimeAsync(waitMs);
        }
        await vi.advanceTimersByTimeAsync(30_000);
        expect(written.length + counts.dropped + counts.replaced).toBe(steps.length);
        for (let i = 1; i < written.length; i++) {
          const [before, now] = [written[i - 1], written[i]];
          if (!before || !now) continue;
          expect(now.atMs - before.atMs).toBeGreaterThanOrEqual(lineTimeMs(before.text, BAUD) - 1e-6);
        }
        budget.close();
      }),
      { numRuns: 60 },
    );
  });
});
