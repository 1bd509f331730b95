/** Acts from the shell: the socket, from its own side. */
import { connect } from "node:net";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { expect, test } from "vitest";
import { unfailing } from "../../src/aboard/log-destination.ts";
import { askDaemon, isCardTrouble, openShell } from "../../src/aboard/shell.ts";
import { cleaning } from "./afloat.ts";

const { cleanUps, folder } = cleaning();

async function shell() {
  const file = join(folder().path, "act.sock");
  const taken: string[] = [];
  const opened = await openShell(file, (text) => {
    taken.push(text);
    return `took ${text}`;
  });
  cleanUps.push(() => opened.close());
  return { file, taken };
}

test("one line is one answer", async () => {
  const { file, taken } = await shell();
  expect(await askDaemon(file, "a")).toBe("took a");
  expect(taken).toEqual(["a"]);
});

test("of one who has hung up nothing is taken: he was told that there is no answer, and may say it again", async () => {
  const { file, taken } = await shell();
  const client = connect(file);
  await new Promise<void>((resolve) => {
    client.on("connect", () => {
      client.write("PLACE\n", () => {
        client.destroy();
        resolve();
      });
    });
  });
  await sleep(100);
  expect(taken).toEqual([]);
  expect(await askDaemon(file, "b")).toBe("took b");
});

test("one who closes his side before the answer is told that nothing was taken", async () => {
  const { file, taken } = await shell();
  const client = connect({ path: file, allowHalfOpen: true });
  const said: string[] = [];
  client.on("data", (bytes) => said.push(bytes.toString()));
  client.end("LETGO\n");
  await new Promise((resolve) => client.on("end", resolve));
  expect(said.join()).toContain("not taken: keep the connection open");
  expect(taken).toEqual([]);
});

test("nobody there, and somebody who takes nobody, are told apart", async () => {
  await expect(askDaemon(join(folder().path, "act.sock"), "a")).rejects.toThrow(
    "no rodeward is running here",
  );
  const { file } = await shell();
  const idle = Array.from({ length: 8 }, () => connect(file));
  cleanUps.push(() => {
    for (const one of idle) one.destroy();
  });
  await Promise.all(idle.map((one) => new Promise((resolve) => one.on("connect", resolve))));
  await sleep(50);
  await expect(askDaemon(file, "a")).rejects.toThrow(/the daemon .*try again/);
});

test("a worn or full card is told from what a person has set wrong", () => {
  const coded = (code: string) => Object.assign(new Error(code), { code });
  for (const code of ["EROFS", "EIO", "ENOSPC"]) expect(isCardTrouble(coded(code))).toBe(true);
  for (const error of [coded("EACCES"), coded("ENOENT"), new Error("x"), "EROFS"])
    expect(isCardTrouble(error)).toBe(false);
});

test("a log that cannot be written takes nobody down", () => {
  const written: string[] = [];
  const write = unfailing((text) => {
    if (text === "full") throw new Error("ENOSPC");
    written.push(text);
  });
  for (const text of ["a", "full", "b"]) write(text);
  expect(written).toEqual(["a", "b"]);
});
