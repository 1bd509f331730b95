import { expect, test } from "vitest";
import { liveBench } from "./live.ts";
import { keep } from "./row.ts";

test("the daemon from outside", async () => {
  const rows = await liveBench();
  keep("live", rows);
  expect(rows.filter((row) => !Number.isFinite(row.value))).toEqual([]);
});
