import { expect, test } from "vitest";
import { nightlogBench } from "./nightlog.ts";
import { keep } from "./row.ts";

test("the night log", async () => {
  const rows = await nightlogBench();
  keep("nightlog", rows);
  expect(rows.filter((row) => !Number.isFinite(row.value))).toEqual([]);
});
