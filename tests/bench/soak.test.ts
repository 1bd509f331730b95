import { expect, test } from "vitest";
import { keep } from "./row.ts";
import { soakRows } from "./soak.ts";

/** Only by hand: `SOAK_SENTENCES=1e7`, which takes a quarter of an hour. */
const sentences = Number(process.env.SOAK_SENTENCES ?? 0);

test.skipIf(sentences === 0)(
  "millions of sentences, sound and spoilt",
  async () => {
    const rows = await soakRows(sentences);
    keep("soak", rows);
    const last = (what: string) => rows.filter(({ name }) => name.startsWith(what)).map(({ value }) => value);
    // The first look is at a daemon that has hardly begun: compared is the second with the last.
    for (const what of ["descriptors", "listeners", "timers"]) {
      const values = last(what);
      expect(values.at(-1), what).toBeLessThanOrEqual((values[1] ?? 0) + 3);
    }
    const resident = last("resident memory");
    expect(resident.at(-1)).toBeLessThan((resident[1] ?? 0) * 1.15);
  },
  3_600_000,
);
