import { expect, test } from "vitest";
import { keep } from "./row.ts";
import { tackleBench } from "./tackle.bench.ts";

test("one catenary, and the rode that the mechanics ask for", async () => {
  const rows = (await tackleBench()).map(({ name, value, unit, reference }) => ({
    name,
    value,
    unit,
    ...(reference === undefined ? {} : { must: reference }),
  }));
  keep("tackle", rows);
  expect(rows.filter((row) => !(row.value > 0))).toEqual([]);
});
