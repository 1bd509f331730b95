import { PassThrough } from "node:stream";
import { expect, test } from "vitest";
import { PortError, type PortSettings } from "../../src/ports/port.ts";
import { openStdin } from "../../src/ports/stdin.ts";
import { createEar, createJournal, until } from "./ear.ts";

const settings: PortSettings<"stdin"> = {
  name: "pipe",
  kind: "stdin",
  talker: "II",
  leaveOut: [],
  backup: false,
  send: [],
};

test("lines come in; the end hands over the last line and is the port going down", async () => {
  const input = new PassThrough();
  const ear = createEar();
  const port = await openStdin(settings, ear.events, createJournal().deps, () => input);
  input.write("$A*00\r\n$B");
  input.end("*00");
  await until(() => ear.states.length === 2, "the end");
  expect(ear.lines).toEqual(["$A*00", "$B*00"]);
  expect(ear.states).toEqual([
    { up: true, why: "reading standard input" },
    { up: false, why: "standard input has ended" },
  ]);
  port.send("$IIHBT*00", true);
  expect(port.stats()).toMatchObject({ state: "down", lines: 2, dropped: 1 });
  await port.close();
});

test("an input that fails is down with the reason, and throws nothing", async () => {
  const input = new PassThrough();
  const ear = createEar();
  const port = await openStdin(settings, ear.events, createJournal().deps, () => input);
  input.write("$SDDPT,12");
  await new Promise((resolve) => setTimeout(resolve, 5));
  input.destroy(new Error("read failed"));
  await until(() => ear.states.length === 2, "down");
  expect(ear.states[1]).toEqual({ up: false, why: "standard input failed: read failed" });
  expect(ear.lines).toEqual([]);
  expect(port.stats().overrunBytes).toBe(9);
});

test("no readable input is fatal, in one line that names the port", async () => {
  const opening = openStdin(settings, createEar().events, createJournal().deps, () => {
    throw new Error("EBADF: bad file descriptor,\n fstat");
  });
  await expect(opening).rejects.toThrow(
    new PortError("pipe", "cannot read standard input: EBADF: bad file descriptor, fstat"),
  );
  await expect(opening).rejects.toBeInstanceOf(PortError);
});

test("closing lets go of the input and tells nothing more", async () => {
  const input = new PassThrough();
  const ear = createEar();
  const port = await openStdin(settings, ear.events, createJournal().deps, () => input);
  await port.close();
  expect(input.destroyed).toBe(true);
  await new Promise((resolve) => setTimeout(resolve, 5));
  expect(ear.states).toHaveLength(1);
});
