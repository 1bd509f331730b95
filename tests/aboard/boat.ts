/** A daemon under test, with clients on its ports. All on loopback, in a state directory of its own. */
import { mkdtempSync, rmSync } from "node:fs";
import { connect, createServer, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { readConfig } from "../../src/config/read.ts";
import { type Daemon, startDaemon } from "../../src/daemon.ts";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import { until } from "../ports/ear.ts";

export interface LoggedLine {
  level: string;
  fields: object;
  text: string;
}

export interface Boat {
  daemon: Daemon;
  logged: LoggedLine[];
  stop(): Promise<void>;
}

const HEAD = `
[boat]
length = "9.2 m"
beam = "3.1 m"
draught = "0.8 m"
roller_height = "1.1 m"
roller_to_antenna = "6 m"
[rode]
chain = "8 m"
rope = "60 m"
[page]
listen = "127.0.0.1:0"
`;

/** @param more TOML after the boat, the rode and the page: ports, hooks */
export async function putToSea(more: string): Promise<Boat> {
  const read = readConfig(HEAD + more);
  if (!read.ok) throw new Error(read.problems.join("\n"));
  const stateDirectory = mkdtempSync(join(tmpdir(), "rodeward-boat-"));
  const logged: LoggedLine[] = [];
  const at = (level: string) => (fields: object, text: string) => void logged.push({ level, fields, text });
  const log = { debug: at("debug"), info: at("info"), warn: at("warn"), error: at("error") };
  const daemon = await startDaemon({ config: read.config, stateDirectory, log });
  return {
    daemon,
    logged,
    async stop() {
      await daemon.stop();
      rmSync(stateDirectory, { recursive: true, force: true });
    },
  };
}

export interface Client {
  socket: Socket;
  /** Whole lines heard. */
  lines(): string[];
  say(...bodies: string[]): void;
}

/** A client of a port that listens. */
export async function joined(daemon: Daemon, port: string): Promise<Client> {
  const at = Number(daemon.address(port)?.split(":").at(-1));
  const socket = connect({ host: "127.0.0.1", port: at });
  await new Promise((resolve, reject) => {
    socket.once("connect", resolve);
    socket.once("error", reject);
  });
  return clientOf(socket);
}

export function clientOf(socket: Socket): Client {
  let text = "";
  socket.on("data", (bytes) => {
    text += bytes.toString("latin1");
  });
  socket.on("error", () => {});
  return {
    socket,
    lines: () => text.split("\r\n").slice(0, -1),
    say: (...bodies) => void socket.write(bodies.map((body) => `${seal(body)}\r\n`).join("")),
  };
}

/** A port that nothing listens on just now. */
export async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const bound = server.address();
  await new Promise((resolve) => server.close(resolve));
  return typeof bound === "object" && bound !== null ? bound.port : 0;
}

/** Of a port with `clock = "tag"`: sentences of whole seconds, told as fast as they can be taken. */
export function recorder(client: Client): { seconds(n: number, ...bodies: string[]): void } {
  let second = 0;
  return {
    seconds(n, ...bodies) {
      for (let end = second + n; second < end; second++) {
        const tag = tagBlock(Date.UTC(2026, 5, 15, 12, 0, second), "recorder");
        for (const body of [rmcBody(15, second), ...bodies]) client.socket.write(`${tag}${seal(body)}\r\n`);
      }
    },
  };
}

/** An accepted fix, anchor let go here with 30 m out, brought up. */
export async function anchored(boat: Boat, operator: Client): Promise<void> {
  for (let n = 0; n < 3; n++) {
    operator.say(rmcBody(0, n), "SDDPT,6.0,0.4,");
    await until(() => true, "");
  }
  await until(() => boat.daemon.core().last.picture.position !== undefined, "a fix", 5000);
  operator.say("PRDW,LETGO,5045.6120,N,00118.2340,W", "PRDW,RODE,30,M", "PRDW,BROUGHTUP");
  await until(() => boat.daemon.core().watch.stay.phase === "riding", "riding", 5000);
}

/** A fix so many metres north of the anchorage, `n` seconds after 12:00 UTC. */
export function rmcBody(northM: number, n: number): string {
  const minutes = (45.612 + northM / 1852).toFixed(4);
  const clock = new Date(Date.UTC(2026, 5, 15, 12, 0, n)).toISOString().slice(11, 19).replaceAll(":", "");
  return `GPRMC,${clock}.00,A,50${minutes},N,00118.2340,W,0.1,,150626,1.1,W,A`;
}
