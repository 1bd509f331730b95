import { describe, expect, test } from "vitest";
import { callOut, candidate, LEAST_GAP_MS } from "../../src/watch/callout.ts";
import { CALLOUTS, type CalloutKey } from "../../src/watch/callout-texts.ts";

const KEYS = Object.keys(CALLOUTS) as CalloutKey[];
/** The longest figure that is ever put in: two words. */
const LONGEST = "100 fathoms";

function longest(key: CalloutKey): string {
  const { text, figures } = CALLOUTS[key];
  return text(...Array.from({ length: figures }, () => LONGEST));
}

describe("every callout", () => {
  test.each(KEYS)("%s: at most eight words, one sentence, no claim of safety", (key) => {
    // Wind is "25 kn", marks and directions are one word: two lengths never meet, but the sum must still hold.
    const text = CALLOUTS[key].text(...(FIGURES[key] ?? [LONGEST, LONGEST]));
    expect(text.split(/\s+/).length).toBeLessThanOrEqual(8);
    expect(text).not.toMatch(/safe|undefined|\.\s|\.$/i);
    expect(longest(key)).not.toContain("undefined");
  });

  test("what sends someone forward begins with lifejacket and clip on", () => {
    const forward = KEYS.map(longest).filter((text) => /chafe|cleat|day shape/.test(text));
    expect(forward).toHaveLength(3);
    for (const text of forward) expect(text).toMatch(/^Lifejacket, clip on/);
  });
});

/** Figures as they come, where they are not lengths. */
const FIGURES: Partial<Record<CalloutKey, readonly string[]>> = {
  "wind-rules": ["230"],
  "tide-rules": ["230"],
  "lies-about": ["230"],
  "let-go-there": [LONGEST, "230"],
  "veer-marks": ["3", LONGEST],
  "veer-to-mark": ["3"],
  tonight: ["25 kn", LONGEST],
  steer: ["20", "starboard"],
};

describe("one at a time", () => {
  const quiet = candidate("no-drag");
  const order = candidate("steer", ["20", "port"]);
  const other = candidate("steer", ["30", "port"]);
  const urgent = candidate("foul");

  test("the most urgent, and of equals the first", () => {
    expect(callOut(undefined, [quiet, order, other], 0)?.text).toBe("Steer 20 to port");
    expect(callOut(undefined, [quiet, order, urgent], 0)?.text).toBe("Foul? Stop hauling");
  });

  test("stands for the least gap, unless something more urgent breaks in", () => {
    const first = callOut(undefined, [order], 1000);
    expect(callOut(first, [other], 1000 + LEAST_GAP_MS - 1)?.text).toBe("Steer 20 to port");
    expect(callOut(first, [other], 1000 + LEAST_GAP_MS)?.text).toBe("Steer 30 to port");
    expect(callOut(first, [quiet], 2000)?.text).toBe("Steer 20 to port");
    expect(callOut(first, [urgent, other], 2000)).toMatchObject({ key: "foul", sinceMs: 2000 });
  });

  test("said again it keeps the time it began", () => {
    const first = callOut(undefined, [order], 1000);
    expect(callOut(first, [order], 60_000)?.sinceMs).toBe(1000);
  });
});
