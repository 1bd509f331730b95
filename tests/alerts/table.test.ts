import { describe, expect, test } from "vitest";
import { alfOf, alrOf } from "../../src/alerts/sentences.ts";
import { ALERTS, rowOf } from "../../src/alerts/table.ts";
import { encode } from "../../src/nmea/table.ts";
import { fromKn } from "../../src/units/speed.ts";
import { alertOf } from "./alerts-aboard.ts";

const numbers = (values: readonly number[]) => new Set(values).size;

test("ids are unique and in the ranges that are open to makers", () => {
  expect(numbers(ALERTS.map((row) => row.alrId))).toBe(ALERTS.length);
  expect(numbers(ALERTS.map((row) => row.alfId))).toBe(ALERTS.length);
  expect(new Set(ALERTS.map((row) => row.key)).size).toBe(ALERTS.length);
  expect(new Set(ALERTS.map((row) => row.title)).size).toBe(ALERTS.length);
});

describe("each row", () => {
  test.each(ALERTS)("$alrId $title", (row) => {
    expect(row.alrId).toBeGreaterThanOrEqual(801);
    expect(row.alrId).toBeLessThanOrEqual(899);
    // IEC 61162-1: identifiers 10000 to 9999999 are left to makers.
    expect(row.alfId).toBe(10_000 + row.alrId);
    expect(row.title.length).toBeLessThanOrEqual(16);
    expect(row.title).toMatch(/^[A-Z ]+$/);
    expect(row.key).toMatch(/^[a-z-]+$/);
    expect(rowOf(row.key)).toBe(row);
  });

  test.each(ALERTS)("$key fits its sentences with the longest text there may be", ({ key }) => {
    const alert = { ...alertOf(key, "alarm", "W".repeat(60)), revision: 99, escalation: 9 };
    const sentences = [alrOf(alert, 0), ...alfOf(alert, 9, 0)];
    for (const sentence of sentences) expect(encode(sentence).length + 2).toBeLessThanOrEqual(82);
  });
});

test("what was acknowledged and goes on comes back: moving, scope, shoal, wind; no position every 10 minutes", () => {
  const returning = ALERTS.filter((row) => row.returnsAfter ?? row.returnsAfterMs);
  expect(
    returning.map(({ key, returnsAfter, returnsAfterMs }) => [key, returnsAfter, returnsAfterMs]),
  ).toEqual([
    ["dragging", 10, 180_000],
    ["outside-circle", 10, 180_000],
    ["scope-short", 8, undefined],
    ["shoal", 0.3, undefined],
    ["wind-over", fromKn(10), undefined],
    ["position-lost", undefined, 600_000],
    ["rode-runs-out", 10, undefined],
  ]);
});
