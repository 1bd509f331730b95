import { existsSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { connect, createServer, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, test } from "vitest";
import type { OpenPort } from "../../src/ports/port.ts";
import { openUnix } from "../../src/ports/unix.ts";
import { createEar, createJournal, type Ear, until } from "./ear.ts";

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

function newPath(): string {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-unix-"));
  cleanUps.push(() => rmSync(folder, { recursive: true, force: true }));
  return join(folder, "bus");
}

async function open(path: string): Promise<{ port: OpenPort; ear: Ear }> {
  const ear = createEar();
  const settings = {
    name: "local",
    kind: "unix",
    talker: "II",
    send: [],
    leaveOut: [],
    backup: false,
    path,
  } as const;
  const port = await openUnix(settings, ear.events, createJournal().deps);
  cleanUps.push(() => port.close());
  return { port, ear };
}

async function join1(path: string): Promise<{ socket: Socket; text: () => string }> {
  const socket = connect(path);
  let text = "";
  socket.on("data", (bytes) => {
    text += bytes.toString("latin1");
  });
  cleanUps.push(() => socket.destroy());
  await new Promise((resolve) => socket.once("connect", resolve));
  return { socket, text: () => text };
}

test("programs connect, hear and are heard; the file is the owner's and group's, and goes with the port", async () => {
  const path = newPath();
  const { port, ear } = await open(path);
  expect(ear.states).toEqual([{ up: true, why: `listening on ${path}` }]);
  expect(statSync(path).mode & 0o777).toBe(0o660);
  const [a, b] = [await join1(path), await join1(path)];
  await until(() => port.stats().clients === 2, "two");
  port.send("$IIHBT,30,A,0*00", false);
  a.socket.write("$SDDPT,6.0,0.4,*65\r\n$SD");
  await until(() => a.text() !== "" && b.text() !== "" && ear.lines.length === 1, "both ways");
  expect(a.text()).toBe("$IIHBT,30,A,0*00\r\n");
  expect(ear.lines).toEqual(["$SDDPT,6.0,0.4,*65"]);
  await port.close();
  expect(existsSync(path)).toBe(false);
});

test("a socket left by a dead program is taken over", async () => {
  const path = newPath();
  const { spawnSync } = await import("node:child_process");
  spawnSync(process.execPath, [
    "-e",
    `require("net").createServer().listen(${JSON.stringify(path)}, () => process.kill(process.pid, "SIGKILL"))`,
  ]);
  expect(statSync(path).isSocket()).toBe(true);
  const { ear } = await open(path);
  expect(ear.states).toMatchObject([{ up: true }]);
});

test("one in use, or any other file, is left alone and said", async () => {
  const path = newPath();
  const other = createServer();
  await new Promise<void>((resolve) => other.listen(path, resolve));
  cleanUps.push(() => other.close());
  await expect(open(path)).rejects.toThrow(
    `port "local": cannot listen on ${path}: another program serves it`,
  );
  const file = `${path}.txt`;
  writeFileSync(file, "precious");
  await expect(open(file)).rejects.toThrow(/another file is there/);
  expect(statSync(file).size).toBe(8);
});
