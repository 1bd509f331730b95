/**
 * Clocks that go wrong: the receiver's time steps, stands in a leap second, or is not there; the board wakes up in
 * 1970. The watch runs by monotonic time, so nothing may be alarmed but the step itself, and nothing be missed.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeAll, describe, expect, test, vi } from "vitest";
import { startTime } from "../../src/aboard/clock.ts";
import { seal } from "../../src/nmea/seal.ts";
import { alfsOf, BUS, boatConfig, bodiesAt, connectTo, DISPLAYS, start } from "../aboard/afloat.ts";
import { until } from "../ports/ear.ts";
import { type Riding, riding, type Watched, watched } from "./failing-sensors.ts";

let from: Riding;
beforeAll(() => {
  from = riding();
});

const HOUR_MS = 3_600_000;
const STEPS_AT_S = 30;

/** Its own sentence with the receiver's time put `byMs` on, date included. */
function put(line: string, atMs: number): string[] {
  const at = line.lastIndexOf("$");
  const fields = line.slice(at + 1, line.lastIndexOf("*")).split(",");
  const id = (fields[0] ?? "").slice(2);
  const iso = new Date(atMs).toISOString();
  const clock = `${iso.slice(11, 19).replaceAll(":", "")}.00`;
  const date = `${iso.slice(8, 10)}${iso.slice(5, 7)}${iso.slice(2, 4)}`;
  if (id === "RMC") return [line.slice(0, at) + seal(fields.with(1, clock).with(9, date).join(","))];
  if (id === "GGA") return [line.slice(0, at) + seal(fields.with(1, clock).join(","))];
  return [line];
}

const secondMs = (s: number) => from.seconds[s]?.atMs ?? 0;
const words = ({ raised }: Watched) =>
  raised.map(({ key, priority, afterS }) => `${key} ${priority} ${afterS}`);

describe("the receiver's clock", () => {
  test.each([
    ["an hour on", HOUR_MS],
    ["an hour back", -HOUR_MS],
    ["a day on", 24 * HOUR_MS],
    ["a day back", -24 * HOUR_MS],
    ["1024 weeks back (week roll-over)", -1024 * 7 * 24 * HOUR_MS],
  ])("steps %s: said as a step, at most, and the watch goes on", (_, byMs) => {
    const after = watched(from, (line, s) => put(line, secondMs(s) + (s >= STEPS_AT_S ? byMs : 0)));
    for (const { key, priority } of after.raised) expect(`${key} ${priority}`).toBe("clock-stepped caution");
    expect(after.core.watch.stay.phase).toBe("riding");
    expect(after.core.last.picture.position).toBeDefined();
    expect(after.core.atMs).toBe(secondMs(149) + 1000);
  });

  test("an hour on is said within seconds", () => {
    const after = watched(from, (line, s) => put(line, secondMs(s) + (s >= STEPS_AT_S ? HOUR_MS : 0)));
    expect(after.raised.map(({ key }) => key)).toEqual(["clock-stepped"]);
    expect(after.raised[0]?.afterS).toBeLessThanOrEqual(STEPS_AT_S + 15);
  });

  test("23:59:60, and the second that comes twice in some receivers: nothing is said, no fix is missed", () => {
    const midnightMs = Date.UTC(2026, 5, 30, 23, 59, 30);
    const leap = (line: string, s: number) => {
      const trueMs = midnightMs + (s > STEPS_AT_S ? s - 1 : s) * 1000;
      const [told = line] = put(line, trueMs);
      if (s !== STEPS_AT_S) return [told];
      return [told.replace(/(RMC|GGA),000000\.00/, "$1,235960.00").replace(/,010726,/, ",300626,")].map(
        resealed,
      );
    };
    const begun = watched(from, (line, s) => put(line, midnightMs + s * 1000));
    const after = watched(from, leap);
    expect(words(after)).toEqual(words(begun));
    expect(after.core.last.picture.lastFix?.atMs).toBeGreaterThanOrEqual(secondMs(149));
  });

  test("no time and no date at all: the watch goes on by the board's clock, and says nothing", () => {
    const after = watched(from, (line) => [
      resealed(line.replace(/(RMC|GGA),[\d.]+,/, "$1,,").replace(/,\d{6}(,0\.8,E,A,V)/, ",$1")),
    ]);
    expect(after.core.watch.stay.phase).toBe("riding");
    expect(words(after)).toEqual([]);
    expect(after.core.last.picture.lastFix?.atMs).toBeGreaterThanOrEqual(secondMs(149));
  });
});

function resealed(line: string): string {
  const at = line.lastIndexOf("$");
  return line.slice(0, at) + seal(line.slice(at + 1, line.lastIndexOf("*")));
}

describe("the board's clock", () => {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-clock-"));
  afterEach(() => {
    vi.useRealTimers();
    rmSync(folder, { recursive: true, force: true });
  });

  test("in 1970, and set 56 years on in the midst of the watch: the time is the receiver's, no alarm is false or late", async () => {
    vi.useFakeTimers({ toFake: ["Date"], now: 5000 });
    const byArrival = BUS.replace('clock = "tag"\n', "");
    const { daemon } = await start(boatConfig(byArrival + DISPLAYS), folder);
    const bus = await connectTo(daemon.address("bus"));
    const display = await connectTo(daemon.address("displays"));
    const nowMs = Date.UTC(2026, 5, 15, 22, 0, 0);
    let s = 0;
    const second = async (depthM: number, ...acts: string[]) => {
      await bus.say(...[...bodiesAt(nowMs + s++ * 1000, { depthM }), ...acts].map((body) => seal(body)));
      await new Promise((resolve) => setTimeout(resolve, 1000));
    };
    for (let i = 0; i < 3; i++) await second(6);
    await second(6, "PRDW,LETGO", "PRDW,RODE,30,M", "PRDW,BROUGHTUP");
    vi.setSystemTime(nowMs);
    for (let i = 0; i < 3; i++) await second(6);
    expect(daemon.core().watch.stay.phase).toBe("riding");
    const active = Object.keys(daemon.core().alerts.active).filter((key) => key !== "clock-stepped");
    expect(active).toEqual([]);
    for (const depthM of [5, 4, 3, 2]) await second(depthM);
    for (let i = 0; i < 8; i++) await second(1.2);
    await until(() => alfsOf(display, 10806).length > 0, "the shoal", 5000);
    // 22:00 UTC and some seconds, by the receiver.
    const [alf] = alfsOf(display, 10806);
    expect(alf?.timeOfDayS).toBeGreaterThan(22 * 3600);
    expect(alf?.timeOfDayS).toBeLessThan(22 * 3600 + 60);
    bus.close();
    display.close();
    await daemon.stop();
  });
});

describe("a board without a clock of its own", () => {
  test("goes on after all that was kept, also of the seconds since the state was saved", () => {
    expect(startTime(1_000_000, undefined)).toBe(1_000_000);
    expect(startTime(1_000_000, 999_000)).toBe(1_000_000);
    // The night log may hold 8 s more than the state file; a night would be cut in two.
    expect(startTime(500_000, 999_000)).toBeGreaterThanOrEqual(999_000 + 8000);
  });
});
