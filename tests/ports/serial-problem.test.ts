import { chownSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { deviceFacts, explainSerial, groupName } from "../../src/ports/serial-problem.ts";

const sound = { exists: true, isDevice: true, allowed: true, group: "dialout" };

test.each([
  [{ ...sound, exists: false }, "x", "no such device /dev/ttyUSB0; `rodeward ports` lists what there is"],
  [
    { ...sound, allowed: false },
    "Permission denied, cannot open /dev/ttyUSB0",
    "permission denied for /dev/ttyUSB0: add the user to the group dialout and log in again",
  ],
  [
    { ...sound, allowed: false, group: "uucp" },
    "x",
    "permission denied for /dev/ttyUSB0: add the user to the group uucp and log in again",
  ],
  [
    { ...sound, allowed: false, group: undefined },
    "x",
    "permission denied for /dev/ttyUSB0: add the user to the group dialout and log in again",
  ],
  [
    { ...sound, allowed: false, group: "root" },
    "x",
    "permission denied for /dev/ttyUSB0: it belongs to group root; give the device to the group dialout (a udev rule)",
  ],
  [sound, "Resource temporarily unavailable Cannot lock port", "/dev/ttyUSB0 is in use by another program"],
  [sound, "Device or resource busy, cannot open", "/dev/ttyUSB0 is in use by another program"],
  [
    { ...sound, isDevice: false },
    "x",
    "/dev/ttyUSB0 is no serial device; `rodeward ports` lists what there is",
  ],
  [sound, "Input/output error", "cannot open /dev/ttyUSB0: Input/output error"],
])("%o, %j", (facts, message, said) => {
  expect(explainSerial("/dev/ttyUSB0", facts, message)).toBe(said);
});

test("the group's name is read from the group file by its number", () => {
  const file = "root:x:0:\ndialout:x:20:mate,skipper\nuucp:x:10:\n";
  expect(groupName(file, 20)).toBe("dialout");
  expect(groupName(file, 2)).toBeUndefined();
  expect(groupName("", 0)).toBeUndefined();
});

test("facts of what is there, and of what is not", async ({ onTestFinished }) => {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-facts-"));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const file = join(folder, "plain");
  writeFileSync(file, "");
  if (process.getuid?.() === 0) chownSync(file, 0, 0);
  expect(await deviceFacts(file)).toMatchObject({ exists: true, isDevice: false, allowed: true });
  expect((await deviceFacts("/dev/null")).isDevice).toBe(true);
  expect(await deviceFacts(join(folder, "absent"))).toEqual({
    exists: false,
    isDevice: false,
    allowed: false,
    group: undefined,
  });
});
