import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { isHeld, latch, OFF } from "../../src/watch/latch.ts";

/** On after 5 s, off after 10 s; one letter a second: T there, F not there, - no telling. Out: 1 on, 0 off. */
function run(truths: string): string {
  let state = OFF;
  return [...truths]
    .map((letter, s) => {
      state = latch(state, { T: true, F: false }[letter], 5000, 10_000, s * 1000);
      return state.on ? "1" : "0";
    })
    .join("");
}

describe("persistence and hysteresis", () => {
  test.each([
    ["TTTTTTTT", "00000111", "on after 5 s of it"],
    ["TTTTTFTTTTTT", "000000000001", "one second without begins the count anew"],
    ["TTTTTTFFFFFFFFFFFF", "000001111111111100", "off after 10 s without"],
    ["TTTTTTFFFFFTFFFFFFFFFFF", "00000111111111111111110", "one second of it keeps it on"],
    ["--------", "00000000", "nothing known raises nothing"],
    ["TTT---T", "0000001", "nothing known does not reset what has been counted"],
    ["TTTTTT------------", "000001111111111111", "nothing known clears nothing"],
    ["TFTFTFTFTFTF", "000000000000", "flapping raises nothing"],
  ])("%s → %s: %s", (truths, states) => expect(run(truths)).toBe(states));

  test("at once where no time is asked for", () => {
    expect(latch(OFF, true, 0, 0, 7).on).toBe(true);
  });
});

test("it never goes on without having been told so for the time, nor off", () => {
  const letters = fc.array(fc.constantFrom("T", "F", "-"), { maxLength: 80 });
  fc.assert(
    fc.property(letters, (all) => {
      const truths = all.join("");
      const states = run(truths);
      for (let s = 1; s < states.length; s++) {
        if (states[s] === states[s - 1]) continue;
        const [said, contrary, needS] = states[s] === "1" ? ["T", "F", 5] : ["F", "T", 10];
        const from = truths.slice(0, s + 1).lastIndexOf(contrary) + 1;
        const first = truths.indexOf(said, from);
        expect(truths[s]).toBe(said);
        expect(s - first).toBeGreaterThanOrEqual(needS);
      }
    }),
  );
});

test("among many, each by its own key", () => {
  const latches = {};
  const times = { onMs: 0, offMs: 0 };
  expect(isHeld(latches, "a", true, times, 0)).toBe(true);
  expect(isHeld(latches, "b", undefined, times, 0)).toBe(false);
  expect(latches).toEqual({ a: { on: true, turningSinceMs: undefined }, b: OFF });
});
