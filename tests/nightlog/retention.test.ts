import { expect, test } from "vitest";
import { bufferLine, bufferSample, newBuffer } from "../../src/nightlog/night-buffer.ts";
import { retain, roomFor, sizeOf } from "../../src/nightlog/retention.ts";
import { NIGHT_TABLES } from "../../src/nightlog/schema.ts";
import { openForWriting } from "../../src/nightlog/store.ts";
import { createWriter } from "../../src/nightlog/writer.ts";
import { START_MS } from "./boat-lines.ts";
import { temporary } from "./kept-night.ts";
import { sampleAt } from "./samples.ts";

const DAY_MS = 86_400_000;

/** So many ended nights of a thousand rows, and one under way that is the oldest of all. */
function keepNights(count: number) {
  const database = openForWriting(temporary());
  const writer = createWriter(database, "watch", "{}");
  const nights = Array.from({ length: count + 1 }, (_, i) => {
    const letGoMs = START_MS + i * DAY_MS;
    const night = newBuffer(letGoMs, letGoMs);
    for (let s = 0; s < 1000; s++) {
      bufferSample(night, sampleAt(letGoMs + s * 1000, { rangeM: s / 10 }), true);
      bufferLine(night, { text: `$IIXDR,${s},${i}`, port: "bus", atMs: letGoMs + s * 1000 });
    }
    night.phases.push({ atMs: letGoMs, phase: "let-go" });
    if (i > 0) night.ended = { atMs: letGoMs + 1_000_000, ending: "aweigh" };
    return night;
  });
  writer.write(nights);
  const ids = () => database.prepare<[], number>("SELECT id FROM nights ORDER BY id").pluck().all();
  return { database, ids, currentId: nights[0]?.id };
}

function slicesOf(slices: Iterable<unknown>): number {
  return [...slices].length;
}

test("the oldest go first, never the one under way, and no row of them is left", () => {
  const { database, ids, currentId } = keepNights(6);
  expect(ids()).toEqual([1, 2, 3, 4, 5, 6, 7]);
  slicesOf(retain(database, { nights: 4, bytes: Number.POSITIVE_INFINITY }, currentId));
  expect(ids()).toEqual([1, 5, 6, 7]);
  for (const [table] of NIGHT_TABLES)
    expect(
      database.prepare(`SELECT count(*) FROM ${table} WHERE night_id IN (2, 3, 4)`).pluck().get(),
      table,
    ).toBe(0);
  expect(database.prepare("SELECT count(*) FROM track WHERE night_id = 5").pluck().get()).toBe(1000);
  expect(database.pragma("freelist_count", { simple: true })).toBe(0);
  database.close();
});

test("when room is short they go too, however few they are; the one under way stays", () => {
  const { database, ids, currentId } = keepNights(3);
  slicesOf(retain(database, { nights: 365, bytes: sizeOf(database) - 1 }, currentId));
  expect(ids()).toEqual([1, 3, 4]);
  slicesOf(retain(database, { nights: 365, bytes: 0 }, currentId));
  expect(ids()).toEqual([1]);
  database.close();
});

test("each slice is short, and one cut short goes on the next time", () => {
  const { database, ids, currentId } = keepNights(2);
  const first = retain(database, { nights: 2, bytes: Number.POSITIVE_INFINITY }, currentId);
  for (let i = 0; i < 3; i++) first.next();
  first.return(undefined);
  expect(ids()).toEqual([1, 2, 3]);
  expect(
    slicesOf(retain(database, { nights: 2, bytes: Number.POSITIVE_INFINITY }, currentId)),
  ).toBeGreaterThan(2);
  expect(ids()).toEqual([1, 3]);
  database.close();
});

test("the room is half of what the log and what is free make together", () => {
  const directory = temporary();
  const free = 2 * roomFor(directory, 0);
  expect(free).toBeGreaterThan(0);
  // Others write to the same disk meanwhile: within a tenth.
  expect(roomFor(directory, 4e9) - 2e9).toBeGreaterThan(free * 0.45);
  expect(roomFor(directory, 4e9) - 2e9).toBeLessThan(free * 0.55);
});
