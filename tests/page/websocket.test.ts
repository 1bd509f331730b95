import { once } from "node:events";
import { connect } from "node:net";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { WebSocket } from "ws";
import { PageError } from "../../src/page/page.ts";
import { type OpenPage, openPage } from "../../src/page/server.ts";
import { createFolder, createStage, type Folder, type Stage, settingsIn, silentLog } from "./stage.ts";

let folder: Folder;
let stage: Stage;
let page: OpenPage;
const sockets: WebSocket[] = [];

beforeEach(async () => {
  folder = createFolder();
  stage = createStage();
  page = await openPage(settingsIn(folder), stage.deps, silentLog);
});
afterEach(async () => {
  for (const socket of sockets.splice(0)) socket.terminate();
  await page.close();
  folder.remove();
});

interface Watched {
  socket: WebSocket;
  messages: string[];
}

function watch(headers: Record<string, string> = { origin: page.url }, path = "/ws"): Watched {
  const socket = new WebSocket(page.url.replace("http", "ws") + path, { headers });
  const messages: string[] = [];
  socket.on("message", (data) => messages.push(String(data)));
  socket.on("error", () => {});
  sockets.push(socket);
  return { socket, messages };
}

async function until(holds: () => boolean): Promise<void> {
  const endMs = performance.now() + 3000;
  while (!holds()) {
    if (performance.now() > endMs) throw new Error("it did not come to hold in 3 s");
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

async function statusOf({ socket }: Watched): Promise<number | undefined> {
  const [, response] = (await once(socket, "unexpected-response")) as [unknown, { statusCode?: number }];
  return response.statusCode;
}

describe("the websocket", () => {
  test("gives the picture at once, and again when it changes", async () => {
    const { messages } = watch();
    await until(() => messages.length === 1);
    expect(JSON.parse(messages[0] ?? "")).toEqual(stage.state);
    await pause(210);
    stage.state = { ...stage.state, sogKn: 1.4 };
    page.push();
    await until(() => messages.length === 2);
    expect(JSON.parse(messages[1] ?? "")).toMatchObject({ sogKn: 1.4 });
  });

  test("a hundred changes in a second are about five pictures, the last of them the newest", async () => {
    const { messages } = watch();
    await until(() => messages.length === 1);
    for (let i = 1; i <= 100; i++) {
      stage.state = { ...stage.state, headingDeg: i };
      page.push();
      await pause(8);
    }
    await pause(250);
    expect(messages.length).toBeGreaterThanOrEqual(4);
    expect(messages.length).toBeLessThanOrEqual(9);
    expect(JSON.parse(messages.at(-1) ?? "")).toMatchObject({ headingDeg: 100 });
  });

  test("is refused to another site, without an origin, under a foreign name, and elsewhere", async () => {
    expect(await statusOf(watch({ origin: "http://evil.example" }))).toBe(403);
    expect(await statusOf(watch({}))).toBe(403);
    expect(await statusOf(watch({ host: "evil.example", origin: "http://evil.example" }))).toBe(403);
    expect(await statusOf(watch({ origin: page.url }, "/api/state"))).toBe(404);
    expect(await statusOf(watch({ origin: page.url }, "/nothing"))).toBe(404);
  });

  test("a failure inside shows nothing for once, and ends nothing", async () => {
    const { messages } = watch();
    await until(() => messages.length === 1);
    const { state } = stage.deps;
    stage.deps.state = () => {
      throw new Error("inside");
    };
    page.push();
    await pause(250);
    stage.deps.state = state;
    expect(messages.length).toBe(1);
    page.push();
    await until(() => messages.length === 2);
  });

  test("does not listen, and ends with one who shouts", async () => {
    const { socket, messages } = watch();
    await until(() => messages.length === 1);
    socket.send(JSON.stringify({ verb: "AWEIGH" }));
    await pause(210);
    page.push();
    await until(() => messages.length === 2);
    expect(stage.bodies).toEqual([]);
    socket.send("x".repeat(2000));
    await once(socket, "close");
  });

  test("fifty may look, and the next one when one has left", async () => {
    const all = Array.from({ length: 50 }, () => watch());
    await until(() => all.every(({ messages }) => messages.length === 1));
    expect(await statusOf(watch())).toBe(503);
    all[0]?.socket.close();
    await once(all[0]?.socket as WebSocket, "close");
    const late = watch();
    await until(() => late.messages.length === 1);
  });

  test("one who reads nothing is dropped, the others go on", async () => {
    stage.state = { ...stage.state, callout: "x".repeat(4_000_000) };
    const brisk = watch();
    const slow = connect(Number(new URL(page.url).port), "127.0.0.1");
    const key = Buffer.alloc(16, 7).toString("base64");
    slow.write(
      `GET /ws HTTP/1.1\r\nHost: ${new URL(page.url).host}\r\nOrigin: ${page.url}\r\nUpgrade: websocket\r\n` +
        `Connection: Upgrade\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: ${key}\r\n\r\n`,
    );
    slow.pause();
    slow.on("error", () => {});
    let isDropped = false;
    slow.on("close", () => {
      isDropped = true;
    });
    for (let i = 0; i < 8; i++) {
      page.push();
      await pause(210);
    }
    slow.resume();
    await until(() => isDropped);
    const before = brisk.messages.length;
    expect(before).toBeGreaterThan(5);
    page.push();
    await until(() => brisk.messages.length > before);
  });
});

describe("opening and closing", () => {
  test("a port that is taken is one clear line, and leaves no PIN that nobody was shown", async () => {
    const other = createFolder();
    const port = Number(new URL(page.url).port);
    const settings = { ...settingsIn(other), listen: { host: "127.0.0.1", port } };
    const opening = openPage(settings, stage.deps, silentLog);
    await expect(opening).rejects.toThrow(PageError);
    await expect(opening).rejects.toThrow(
      `page: cannot listen on 127.0.0.1:${port}: it is in use by another program; stop that one, or choose another port`,
    );
    const second = await openPage(settingsIn(other), stage.deps, silentLog);
    expect(second.firstPin).toMatch(/^\d{6}$/);
    await second.close();
    other.remove();
  });

  test("the address that it gives is the one that answers", async () => {
    expect(page.url).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/);
    expect((await fetch(`${page.url}/healthz`)).status).toBe(200);
  });

  test("closing ends it for those who look, soon, and may be done twice", async () => {
    const { socket, messages } = watch();
    await until(() => messages.length === 1);
    const beganMs = performance.now();
    const closed = once(socket, "close");
    await page.close();
    expect((await closed)[0]).toBe(1001);
    expect(performance.now() - beganMs).toBeLessThan(1000);
    await page.close();
    page.push();
  });
});
