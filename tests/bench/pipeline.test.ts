import { expect, test } from "vitest";
import { nightBench } from "./night.ts";
import { pipelineBench } from "./pipeline.ts";
import { keep } from "./row.ts";

test("whole pipeline and a night", async () => {
  const rows = [...pipelineBench(), ...(await nightBench())];
  keep("pipeline", rows);
  expect(rows.filter((row) => !Number.isFinite(row.value))).toEqual([]);
});
