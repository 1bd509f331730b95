import { expect, test } from "vitest";
import { latencyRows } from "./latency.ts";
import { keep } from "./row.ts";

test("how soon an alarm is out", async () => {
  const rows = await latencyRows();
  keep("latency", rows);
  expect(rows.filter((row) => !Number.isFinite(row.value))).toEqual([]);
});
