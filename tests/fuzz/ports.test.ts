/**
 * Spoilt lines through every kind of port of a daemon that is on watch, with an alarm standing: it stays up, grows
 * by nothing, alarms on, and no garbage acknowledges, clears or hides the alarm. By hand, for many:
 *   FUZZ_LINES=1e7 RODEWARD_BUILT=1 nice -n 15 npx vitest run --config tests/vitest.config.ts tests/fuzz
 */
import { spawn } from "node:child_process";
import { createSocket } from "node:dgram";
import { readFileSync, writeFileSync } from "node:fs";
import { connect, createServer, type NetConnectOpts, type Socket } from "node:net";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { afterEach, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { boatConfig, bodiesAt, connectTo, createFolder, freePorts, PROGRAM } from "../aboard/afloat.ts";
import { until } from "../ports/ear.ts";
import { noPty, openPty } from "../ports/pty.ts";
import { mutations, recordedLines } from "./mutations.ts";

const LINES = Number(process.env.FUZZ_LINES ?? 12_000);
const SEED = Number(process.env.FUZZ_SEED ?? 1);
const AT_ONCE = 200;
const CORPUS = fileURLToPath(new URL("../../fixtures/fuzz/lines.nmea", import.meta.url));

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

interface Mouth {
  kind: string;
  /** Resolves when the system has taken it. */
  say(text: string): Promise<void>;
}

async function afloat() {
  const folder = createFolder();
  cleanUps.push(folder.remove);
  const [bus = 0, tcp = 0, udp = 0, listening = 0, page = 0, displays = 0] = await freePorts(6);
  const pty = noPty ? undefined : await openPty();
  if (pty !== undefined) cleanUps.push(() => pty.remove());
  const socket = join(folder.path, "in.sock");
  // A port that we connect to: its far end is here.
  const peers: Socket[] = [];
  const server = createServer((peer) => {
    peers.push(peer);
    peer.on("error", () => {});
    peer.resume();
  });
  await new Promise<void>((resolve) => server.listen(listening, "127.0.0.1", resolve));
  cleanUps.push(() => server.close());
  const port = (name: string, kind: string, more: string) =>
    `[[port]]\nname = "${name}"\nkind = "${kind}"\nacknowledge = false\n${more}\n`;
  const text = boatConfig(
    [
      port("bus", "tcp-server", `listen = "127.0.0.1:${bus}"\noperator = true`),
      port("displays", "tcp-server", `listen = "127.0.0.1:${displays}"\nsend = ["alerts", "acts"]`),
      port("tcp", "tcp-server", `listen = "127.0.0.1:${tcp}"`),
      port("far", "tcp-client", `address = "127.0.0.1:${listening}"`),
      port("udp", "udp", `listen = "127.0.0.1:${udp}"`),
      port("unix", "unix", `path = "${socket}"`),
      port("pipe", "stdin", ""),
      port("lan", "udp-61162-450", 'groups = ["239.192.0.4:60004"]\ninterface = "127.0.0.1"'),
      pty === undefined ? "" : port("wire", "serial", `device = "${pty.device}"\nbaud = 38400`),
    ].join(""),
    `[page]\nlisten = "127.0.0.1:${page}"\n[sources]\nposition = ["bus"]\ndepth = ["bus"]\nheading = ["bus"]\n`,
  );
  const file = join(folder.path, "boat.toml");
  writeFileSync(file, text);
  const child = spawn(process.execPath, [PROGRAM, "run", "--config", file], {
    stdio: ["pipe", "ignore", "pipe"],
    // As in the unit.
    env: {
      ...process.env,
      STATE_DIRECTORY: folder.path,
      NODE_OPTIONS: "--max-old-space-size=96 --max-semi-space-size=2",
    },
  });
  cleanUps.push(() => child.kill("SIGKILL"));
  let err = "";
  child.stderr.on("data", (chunk) => {
    err += chunk;
  });
  child.stdin.on("error", () => {});
  await until(() => /^page: http/m.test(err), "all ports to be open", 30_000);
  const watch = await connectTo(`127.0.0.1:${bus}`, 20_000);
  const display = await connectTo(`127.0.0.1:${displays}`, 5000);
  const datagrams = createSocket("udp4");
  await new Promise<void>((resolve) => datagrams.bind(0, "127.0.0.1", resolve));
  datagrams.setMulticastInterface("127.0.0.1");
  cleanUps.push(() => datagrams.close());
  const datagram = (bytes: Buffer, to: number, host: string) =>
    new Promise<void>((resolve) => datagrams.send(bytes, to, host, () => setImmediate(resolve)));
  const stream = async (at: NetConnectOpts) => {
    const mouth = connect(at);
    mouth.on("error", () => {});
    mouth.resume();
    await new Promise((resolve) => mouth.once("connect", resolve));
    cleanUps.push(() => mouth.destroy());
    return mouth;
  };
  const writing = (to: NodeJS.WritableStream) => (bytes: string) =>
    new Promise<void>((resolve) => {
      if (to.write(bytes, "latin1")) resolve();
      else to.once("drain", resolve);
    });
  const tcpMouth = await stream({ host: "127.0.0.1", port: tcp });
  const unixMouth = await stream({ path: socket });
  await until(() => peers.length > 0, "the daemon's own connection", 10_000);
  const [far] = peers;
  const each = async (bytes: string, send: (line: string) => Promise<void>) => {
    for (const line of bytes.split("\r\n")) await send(line);
  };
  const latin = (line: string) => Buffer.from(line, "latin1");
  const mouths: Mouth[] = [
    { kind: "tcp-server", say: writing(tcpMouth) },
    { kind: "unix", say: writing(unixMouth) },
    { kind: "stdin", say: writing(child.stdin) },
    { kind: "udp", say: (bytes) => each(bytes, (line) => datagram(latin(`${line}\r\n`), udp, "127.0.0.1")) },
    {
      kind: "udp-61162-450",
      say: (bytes) => each(bytes, (line) => datagram(latin(`UdPbC\0${line}\r\n`), 60_004, "239.192.0.4")),
    },
  ];
  if (far !== undefined) mouths.push({ kind: "tcp-client", say: writing(far) });
  if (pty !== undefined)
    mouths.push({
      kind: "serial",
      async say(bytes) {
        pty.say(latin(bytes));
        await sleep(20);
      },
    });
  return { child, watch, display, mouths, page: `http://127.0.0.1:${page}`, err: () => err };
}

type State = {
  phase: string;
  alerts: { key: string; state: string }[];
  ports: { name: string; lines: number; refused: number }[];
  circle: { outside: boolean };
};

test(`${LINES} spoilt lines through every kind of port`, { timeout: 120_000 + LINES }, async () => {
  const boat = await afloat();
  const state = async () => (await (await fetch(`${boat.page}/api/state`)).json()) as State;
  let eastM = 0;
  let aim = 0;
  let living = true;
  // The boat's own instruments go on all the while.
  const living1Hz = (async () => {
    while (living) {
      await boat.watch.say(...bodiesAt(Date.now(), { eastM }).map((body) => seal(body)));
      eastM = Math.min(eastM + 6, aim);
      await sleep(1000);
    }
  })();
  await sleep(2500);
  await boat.watch.say(...["PRDW,LETGO", "PRDW,RODE,12,M", "PRDW,BROUGHTUP"].map((body) => seal(body)));
  await until(
    () => boat.display.lines.filter((line) => /PRDW,ACK/.test(line)).length === 3,
    "the watch",
    10_000,
  );
  aim = 96;
  const alarmed = () => boat.display.lines.some((line) => /IIALR,[^,]*,802,A,V/.test(line));
  await until(alarmed, "the alarm", 60_000);

  const residentMB = () =>
    Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${boat.child.pid}/status`, "utf8"))?.[1]) / 1024;
  const corpus = readFileSync(CORPUS, "latin1")
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"));
  for (const { say } of boat.mouths) await say(`${corpus.join("\r\n")}\r\n`);
  const garbage = mutations(SEED, recordedLines());
  const marks: number[] = [];
  const tenth = Math.max(1, Math.floor(LINES / AT_ONCE / 10));
  for (let said = 0, block = 0; said < LINES; said += AT_ONCE, block++) {
    const lines = Array.from({ length: AT_ONCE }, () => garbage.next().value as string);
    await boat.mouths[block % boat.mouths.length]?.say(`${lines.join("\r\n")}\r\n`);
    if (block % tenth === tenth - 1) {
      marks.push(residentMB());
      if (LINES > 1e5) console.log(`${said + AT_ONCE} lines, ${Math.round(marks.at(-1) ?? 0)} MB resident`);
    }
  }
  await sleep(3000);
  living = false;
  await living1Hz;

  expect(boat.child.exitCode).toBeNull();
  expect(boat.err()).not.toMatch(/"level":[56]0|Unhandled|unhandled|at .*\.js:\d+/);
  const now = await state();
  expect(now.phase).toBe("riding");
  // Not known, where a flood keeps her own fixes waiting too long; never inside.
  expect(now.circle.outside).not.toBe(false);
  expect(now.alerts.find(({ key }) => key === "outside-circle")?.state).toBe("unacknowledged");
  // All kinds were really heard.
  for (const { name, lines, refused } of now.ports)
    if (name !== "displays") expect(lines + refused, name).toBeGreaterThan(20);
  // What a burst takes is given back in its time: the least of the last marks against the least of the first.
  expect(Math.min(...marks.slice(-4)) - Math.min(...marks.slice(0, 4))).toBeLessThan(50);
});
