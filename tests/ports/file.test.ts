import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { open } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, test } from "vitest";
import { openFile } from "../../src/ports/file.ts";
import type { OpenPort } from "../../src/ports/port.ts";
import { createEar, createJournal, type Ear, until } from "./ear.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-file-"));
  cleanUps.push(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

async function start(path: string): Promise<{ port: OpenPort; ear: Ear }> {
  const ear = createEar();
  const settings = {
    name: "paper",
    kind: "file",
    talker: "II",
    send: [],
    leaveOut: [],
    backup: false,
    path,
  } as const;
  const port = await openFile(settings, ear.events, createJournal().deps);
  cleanUps.push(() => port.close());
  await until(() => ear.states.length > 0, "the first outcome");
  return { port, ear };
}

test("sentences are added, in their order, after what is there", async () => {
  const path = join(newFolder(), "out.nmea");
  writeFileSync(path, "# begun\r\n");
  const { port, ear } = await start(path);
  expect(ear.states).toEqual([{ up: true, why: `adding to ${path}` }]);
  for (let n = 0; n < 100; n++) port.send(`$IITXT,${n}*00`, n % 7 === 0);
  await until(() => port.stats().sent === 100, "all written");
  const lines = Array.from({ length: 100 }, (_, n) => `$IITXT,${n}*00\r\n`);
  expect(readFileSync(path, "utf8")).toBe(`# begun\r\n${lines.join("")}`);
});

test("a full disk is a port that is down, with the reason; what cannot be written is counted", async () => {
  const { port, ear } = await start("/dev/full");
  port.send("$IIHBT,30,A,0*00", false);
  await until(() => ear.states.length === 2, "the loss");
  expect(ear.states[1]).toEqual({ up: false, why: "cannot write to /dev/full: the disk is full" });
  expect(port.stats().dropped).toBe(1);
});

test.each([
  ["/nowhere/out", "there is no such directory"],
  ["/tmp", "it is a directory"],
])("%s: %s", async (path, why) => {
  const { ear } = await start(path);
  expect(ear.states).toEqual([{ up: false, why: `cannot write to ${path}: ${why}` }]);
});

test("a pipe that nobody reads holds nothing up, and is written to once somebody does", async () => {
  const path = join(newFolder(), "pipe");
  expect(spawnSync("mkfifo", [path]).status).toBe(0);
  const { port, ear } = await start(path);
  expect(ear.states[0]?.why).toBe(`cannot write to ${path}: nobody reads that pipe`);
  const { constants } = await import("node:fs");
  const reader = await open(path, constants.O_RDONLY | constants.O_NONBLOCK);
  cleanUps.push(() => reader.close());
  await until(() => port.stats().state === "up", "the pipe is read");
  port.send("$IIHBT,30,A,0*00", false);
  await until(() => port.stats().sent === 1, "written");
  const { buffer, bytesRead } = await reader.read(Buffer.alloc(100), 0, 100);
  expect(buffer.toString("latin1", 0, bytesRead)).toBe("$IIHBT,30,A,0*00\r\n");
});
