/**
 * Every sensor lost, frozen or jumping, one at a time and two at once, on a boat that rides in a breeze: which alert,
 * how soon. The times are those of the alert table: what is lost is a first alert after 10 s, the next after 60 s.
 */
import { beforeAll, describe, expect, test } from "vitest";
import {
  FAULTS,
  type Failing,
  failing,
  type Raised,
  type Riding,
  riding,
  SENSORS,
} from "./failing-sensors.ts";

let from: Riding;
const alone = new Map<string, Raised[]>();
const named = (faults: readonly Failing[]) =>
  faults.map(({ sensor, fault }) => `${sensor} ${fault}`).join(", ");
const words = (raised: readonly Raised[]) =>
  raised.map(({ key, priority, afterS }) => `${key} ${priority} ${afterS}`);
const singles: Failing[] = SENSORS.flatMap((sensor) => FAULTS.map((fault) => ({ sensor, fault })));

beforeAll(() => {
  from = riding();
  for (const one of singles) alone.set(named([one]), failing(from, [one]));
});

test("with nothing wrong, nothing is alarmed", () => {
  expect(words(failing(from, []))).toEqual([]);
});

/** What each does alone. An empty list is a statement too: the next line says why. */
const TABLE: Readonly<Record<string, readonly string[]>> = {
  "position lost": ["position-lost warning 10", "position-lost alarm 60"],
  // Place and time repeated: a receiver that hangs. The first of them is a fix still.
  "position frozen": ["position-lost warning 11", "position-lost alarm 61"],
  // The fixes that jump are held back; the others, every second one, keep the watch.
  "position jumping": [],
  "depth lost": ["depth-lost caution 10", "depth-lost warning 60"],
  // So does a sounder over flat ground at slack water.
  "depth frozen": [],
  // False echoes shorter than 5 s are none of the bottom.
  "depth jumping": [],
  "wind lost": ["wind-lost caution 10"],
  "wind frozen": [],
  // Gusts of 48 knots, as far as anyone can tell.
  "wind jumping": ["wind-over warning 4"],
  "heading lost": ["heading-lost caution 10"],
  "heading frozen": [],
  "heading jumping": [],
};

describe("one sensor", () => {
  test.each(singles.map((one) => [named([one])]))("%s", (name) => {
    expect(words(alone.get(name) ?? [])).toEqual(TABLE[name]);
  });

  // The place alone may be a receiver's static hold; that its speed stands at 0.3 knots as well tells.
  test("position held, speed and course too, while the receiver's clock runs: doubtful within a minute", () => {
    const raised = failing(from, [{ sensor: "position", fault: "held" }]);
    expect(raised.filter(({ afterS }) => afterS <= 60)).not.toEqual([]);
  });
});

describe("two at once", () => {
  const pairs = singles.flatMap((one, i) =>
    singles.slice(i + 1).flatMap((other) => (other.sensor === one.sensor ? [] : [[one, other] as const])),
  );

  test("each alert comes that comes of either alone, with its priority, and no later", () => {
    expect(pairs).toHaveLength(54);
    const missing: string[] = [];
    for (const pair of pairs) {
      const raised = failing(from, pair);
      for (const one of pair)
        for (const { key, priority, afterS } of alone.get(named([one])) ?? []) {
          const both = raised.find((found) => found.key === key && found.priority === priority);
          if (both === undefined || both.afterS > afterS) missing.push(`${named(pair)}: ${key} ${priority}`);
        }
    }
    expect(missing).toEqual([]);
  });
});
