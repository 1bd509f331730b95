/** A real daemon on a rehearsal, in-process, played as far as a test wants: what the page shows is not made up. */
import { connect, type Socket } from "node:net";
import { fileURLToPath } from "node:url";
import { freePort } from "../../src/cli/free-port.ts";
import { readConfig } from "../../src/config/read.ts";
import { type Daemon, startDaemon } from "../../src/daemon.ts";
import { seal } from "../../src/nmea/seal.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { rehearsalOf } from "../../src/rehearsal/scenes.ts";
import { createFolder } from "./stage.ts";

export interface Rehearsed {
  url: string;
  pin: string;
  daemon: Daemon;
  /** Plays on until so many seconds into the scene have been taken in. */
  playTo(atS: number): Promise<void>;
  /** From now on a simulated second each real one. */
  goOn(): void;
  /** Gives an order from the bus. */
  order(body: string): Promise<void>;
  stop(): Promise<void>;
}

/** Built once before all tests. */
const COMPILED = fileURLToPath(new URL("../../dist", import.meta.url));
const silent = { debug: () => {}, info: () => {}, warn: () => {}, error: () => {} };

export async function rehearsed(scene: string, pagePort = 0): Promise<Rehearsed> {
  const rehearsal = rehearsalOf(scene, 7);
  if (rehearsal === undefined) throw new Error(`no scene ${scene}`);
  const ports = {
    sentencePort: await freePort(0),
    displayPort: await freePort(0),
    pagePort: await freePort(pagePort),
  };
  const read = readConfig(rehearsalConfig(ports));
  if (!read.ok) throw new Error(read.problems.join("; "));
  const folder = createFolder();
  const daemon = await startDaemon({
    config: read.config,
    stateDirectory: folder.path,
    log: silent,
    clientRoot: COMPILED,
  });
  const feed = await connected(ports.sentencePort);
  const display = await connected(ports.displayPort);
  display.resume();
  let playedS = 0;
  let lastMs = rehearsal.startMs;
  let going: NodeJS.Timeout | undefined;

  const feedSecond = (): boolean => {
    const second = rehearsal.next();
    if (second === undefined) return false;
    playedS++;
    lastMs = second.atMs;
    return feed.write(`${second.lines.join("\r\n")}\r\n`);
  };
  const takenIn = async (atMs: number): Promise<void> => {
    for (let i = 0; i < 400 && daemon.core().atMs < atMs; i++) await pause(25);
    if (daemon.core().atMs < atMs) throw new Error("the daemon did not take it all in");
  };
  return {
    url: daemon.pageUrl ?? "",
    pin: daemon.firstPin ?? "",
    daemon,
    async playTo(atS) {
      while (playedS < atS && playedS < rehearsal.lengthS)
        if (!feedSecond() && feed.writableNeedDrain)
          await new Promise((resolve) => feed.once("drain", resolve));
      await takenIn(lastMs - 1000);
    },
    goOn() {
      going ??= setInterval(feedSecond, 1000);
    },
    async order(body) {
      feed.write(`${seal(body)}\r\n`);
      await pause(150);
    },
    async stop() {
      clearInterval(going);
      feed.destroy();
      display.destroy();
      await daemon.stop();
      folder.remove();
    },
  };
}

export const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

function connected(port: number): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket = connect({ host: "127.0.0.1", port });
    socket.once("error", reject);
    socket.once("connect", () => {
      socket.off("error", reject);
      socket.on("error", () => socket.destroy());
      resolve(socket);
    });
  });
}
