/** A wire that sends anything: nothing throws, nothing grows. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { advance, begin, type Core, type Input } from "../src/core.ts";
import { seal } from "../src/nmea/seal.ts";
import { TABLE } from "../src/nmea/table.ts";
import { act, line, run, second } from "./core-run.ts";
import { EVENING_MS, rmc } from "./instruments/aboard.ts";
import { CORE } from "./watch/night.ts";

/** Sentences of every kind with anything in their places, and lines that are none. */
const wireText = (() => {
  const examples = TABLE.map((row) => row.example.slice(1, row.example.lastIndexOf("*")));
  const placed = fc.oneof(
    fc.constantFrom(
      "",
      "0",
      "-1",
      "0.0",
      "1e9",
      "99999999999",
      "A",
      "V",
      "T",
      "M",
      "N",
      "f",
      "C",
      "Q",
      "RDW",
    ),
    fc.double({ noNaN: true, min: -1e6, max: 1e6 }).map((value) => value.toFixed(2)),
    fc.string({ maxLength: 6 }),
  );
  const talker = fc.constantFrom("GP", "GN", "II", "SD", "WI", "ZZ");
  const filled = fc
    .tuple(fc.constantFrom(...examples), talker, fc.array(fc.tuple(fc.nat(14), placed), { maxLength: 4 }))
    .map(([body, id, changes]) => {
      const places = body.split(",");
      if (!body.startsWith("P")) places[0] = id + (places[0] ?? "").slice(2);
      for (const [at, text] of changes) if (at + 1 < places.length) places[at + 1] = text;
      return seal(places.join(","));
    });
  const binary = fc.string({
    unit: fc.integer({ min: 0, max: 255 }).map((code) => String.fromCharCode(code)),
    maxLength: 90,
  });
  return fc.oneof({ weight: 6, arbitrary: filled }, { weight: 1, arbitrary: binary });
})();

describe("a wire that sends anything", () => {
  test("nothing throws, and every sentence that goes out can be written", () => {
    const port = fc.constantFrom("bus", "wifi", "wheel", "edge", "unknown");
    const heard = fc.array(fc.tuple(wireText, port, fc.nat(800)), { minLength: 30, maxLength: 90 });
    fc.assert(
      fc.property(heard, (lines) => {
        let atMs = EVENING_MS;
        const inputs: Input[] = [
          ...second(1, [rmc(1), seal("SDDPT,4.6,0.4"), seal("HEHDT,10.0,T")]),
          act(1, "LETGO"),
          act(1, "RODE,30.0,M"),
        ];
        for (const [text, from, laterMs] of lines) {
          atMs += laterMs;
          inputs.push(line(atMs, text, from));
        }
        run([...inputs, { kind: "tick", atMs: atMs + 70_000 }]);
      }),
      { numRuns: 20 },
    );
  });

  test("the state stays small over 20,000 of its sentences", () => {
    const lines = fc.sample(wireText, { numRuns: 4000, seed: 7 });
    const inputs: Input[] = [];
    for (let i = 0; i < 20_000; i++) {
      // New talkers without end.
      const talker = String.fromCharCode(65 + (i % 15), 65 + (Math.floor(i / 15) % 26));
      const text = lines[i % lines.length] ?? "";
      const renamed = text.startsWith("$ZZ") ? seal(talker + text.slice(3, text.lastIndexOf("*"))) : text;
      inputs.push(line(EVENING_MS + i * 10, renamed, i % 50 === 0 ? "wheel" : "wifi"));
    }
    const half = run(inputs.slice(0, 10_000));
    const sizeAt = (core: Core) => JSON.stringify({ ...core, heard: [] }).length;
    const halfSize = sizeAt(half.core);
    const whole = run(inputs.slice(10_000), half.core);
    expect(sizeAt(whole.core)).toBeLessThan(60_000);
    expect(sizeAt(whole.core)).toBeLessThan(1.5 * halfSize);
    expect(whole.core.heard.length).toBeLessThan(200);
  });

  test("a flood within one second is bounded too", () => {
    let core = begin(CORE, EVENING_MS);
    const text = seal("GPGSV,1,1,00");
    for (let i = 0; i < 25_000; i++)
      core = advance(
        core,
        line(EVENING_MS + 1, i % 2 === 0 ? text : seal(`HEHDT,${i % 360}.0,T`)),
        CORE,
      ).core;
    expect(core.heard.length).toBeLessThanOrEqual(20_000);
  });
});
