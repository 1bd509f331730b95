import { expect, test } from "vitest";
import { asAboard, toVeer } from "../../src/tackle/veer-length.ts";

test.each([
  [36.5, "metric", "37 m"],
  [37, "metric", "37 m"],
  [37.00000000000001, "metric", "37 m"],
  [50 * 0.3048, "feet", "50 ft"],
  [50.1 * 0.3048, "feet", "55 ft"],
  [10.2 * 1.8288, "fathoms", "11 fathoms"],
  [0, "metric", "0 m"],
] as const)("%d m in %s: veer %s", (lengthM, units, text) => expect(toVeer(lengthM, units).text).toBe(text));

test("what is aboard is rounded down", () => {
  expect(asAboard(68.9, "metric")).toEqual({ value: 68, unit: "m", text: "68 m" });
  expect(asAboard(68, "feet").text).toBe("220 ft");
  expect(asAboard(10 * 1.8288, "fathoms").value).toBe(10);
});
