/** A page on a real socket, and raw TCP to it: what no well-behaved client would send. */
import { connect, type Socket } from "node:net";
import type { PageLog } from "../../src/page/page.ts";
import { type OpenPage, openPage } from "../../src/page/server.ts";
import { createFolder, createStage, type Stage, settingsIn, silentLog } from "../page/stage.ts";

export interface Served {
  page: OpenPage;
  port: number;
  stage: Stage;
  close(): Promise<void>;
}

export async function servePage(log: PageLog = silentLog): Promise<Served> {
  const folder = createFolder();
  const stage = createStage();
  const page = await openPage(
    { ...settingsIn(folder), listen: { host: "0.0.0.0", port: 0 } },
    stage.deps,
    log,
  );
  const port = Number(new URL(page.url).port);
  return {
    page,
    port,
    stage,
    async close() {
      await page.close();
      folder.remove();
    },
  };
}

/** Sends these bytes and returns all that comes back until the other end closes or `limitMs` have passed. */
export function exchange(
  port: number,
  bytes: string | Buffer,
  limitMs = 1500,
  from = "127.0.0.1",
): Promise<string> {
  return new Promise((resolve) => {
    let heard = "";
    const socket = connect({ host: "127.0.0.1", port, localAddress: from });
    const over = () => {
      clearTimeout(limit);
      socket.destroy();
      resolve(heard);
    };
    const limit = setTimeout(over, limitMs);
    socket.on("data", (chunk) => {
      heard += chunk.toString("latin1");
    });
    socket.on("error", over);
    socket.on("close", over);
    socket.write(bytes);
  });
}

/** The status of each answer heard. */
export function statuses(heard: string): number[] {
  return [...heard.matchAll(/^HTTP\/1\.1 (\d{3})/gm)].map(([, status]) => Number(status));
}

export async function answers(port: number, from = "127.0.0.1"): Promise<boolean> {
  const asked = "GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n";
  return statuses(await exchange(port, asked, 3000, from))[0] === 200;
}

export function held(port: number, from: string): Promise<Socket> {
  return new Promise((resolve) => {
    const socket = connect({ host: "127.0.0.1", port, localAddress: from });
    socket.on("error", () => {});
    socket.once("connect", () => resolve(socket));
  });
}
