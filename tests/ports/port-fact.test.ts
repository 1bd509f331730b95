import { expect, test } from "vitest";
import { checksumOf } from "../../src/nmea/seal.ts";
import { portDownFact, trackDownPorts } from "../../src/ports/port-fact.ts";

function body(sentence: string): string {
  const match = /^\$(.*)\*([0-9A-F]{2})$/.exec(sentence);
  expect(match?.[2]).toBe(checksumOf(match?.[1] ?? ""));
  return match?.[1] ?? "";
}

test("one port down: its name and what is wrong", () => {
  expect(body(portDownFact(new Map([["bus", "no such device /dev/ttyUSB0"]])))).toBe(
    "PRDW,FACT,port-down,1,bus: no such device /dev/ttyUSB0",
  );
});

test("several: their names; none: 0", () => {
  const down = new Map([
    ["bus", "x"],
    ["gps", "y"],
  ]);
  expect(body(portDownFact(down))).toBe("PRDW,FACT,port-down,1,bus; gps down");
  expect(body(portDownFact(new Map()))).toBe("PRDW,FACT,port-down,0");
});

test("reserved characters and length are those of a sentence", () => {
  const why = 'a,b*c$d!e\\f^g~h\r\nÅ–"é" '.repeat(20);
  const sentence = portDownFact(new Map([["bus", why]]));
  expect(`${sentence}\r\n`.length).toBeLessThanOrEqual(82);
  expect(body(sentence).split(",")).toHaveLength(5);
  expect(body(sentence)).toMatch(/^[\x20-\x7e]+$/);
  expect(body(sentence)).not.toMatch(/[!$*\\^~]/);
});

test("a fact is handed over on each change, and only then", () => {
  const facts: string[] = [];
  const track = trackDownPorts((text) => facts.push(body(text).slice("PRDW,FACT,port-down,".length)));
  track("bus", true, "fine");
  track("bus", false, "gone");
  track("bus", false, "gone");
  track("gps", false, "gone");
  track("bus", true, "back");
  track("gps", true, "back");
  expect(facts).toEqual(["1,bus: gone", "1,bus; gps down", "1,gps: gone", "0"]);
});
