/** `rodeward check`: what is heard, and what the watch lacks. As a child: its exit code is part of it. */
import { readFileSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { createServer, type Server, type Socket } from "node:net";
import { join } from "node:path";
import { afterEach, describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { until } from "../ports/ear.ts";
import { noPty, openPty } from "../ports/pty.ts";
import { boatConfig, bodiesAt, createFolder, endChildren, type Folder, rodeward } from "./afloat.ts";

const LOG = new URL("../../fixtures/logs/gpsd-ijsselmeer-wind-depth-heading.nmea", import.meta.url);

const folders: Folder[] = [];
const servers: Server[] = [];
const talking: NodeJS.Timeout[] = [];

afterEach(() => {
  endChildren();
  for (const timer of talking.splice(0)) clearInterval(timer);
  for (const one of servers.splice(0)) one.close();
  for (const one of folders.splice(0)) one.remove();
});

async function checked(config: string, seconds = "3") {
  const folder = createFolder();
  folders.push(folder);
  const file = join(folder.path, "boat.toml");
  await writeFile(file, config);
  const child = rodeward(["check", "--config", file, "--seconds", seconds]);
  const { code } = await child.ended;
  return { code, out: child.out(), err: child.err(), file };
}

/** A server that says these lines to whoever connects, so many times a second. */
async function serverOf(lines: () => readonly string[], everyMs: number): Promise<number> {
  const clients = new Set<Socket>();
  const server = createServer((socket) => {
    socket.on("error", () => {});
    clients.add(socket);
  });
  servers.push(server);
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  talking.push(
    setInterval(() => {
      for (const socket of clients)
        socket.write(
          lines()
            .map((line) => `${line}\r\n`)
            .join(""),
        );
    }, everyMs),
  );
  const address = server.address();
  return typeof address === "object" && address !== null ? address.port : 0;
}

const row = (text: string, start: string) => text.split("\n").find((line) => line.startsWith(start)) ?? "";
const client = (port: number) =>
  `[[port]]\nname = "gateway"\nkind = "tcp-client"\naddress = "127.0.0.1:${port}"\n`;

describe("rodeward check", () => {
  test("names each sentence with its rate and value, and the source of each need", async () => {
    const port = await serverOf(() => bodiesAt(Date.now(), { depthM: 6 }).map(seal), 250);
    const { code, out, err } = await checked(boatConfig(client(port)));
    expect({ code, out }).toMatchObject({ code: 0 });
    expect(err).toContain("no problem found in it; listening for 3 s");
    expect(row(out, "gateway  DPT")).toMatch(/^gateway {2}DPT +SD +[34]\.\d +6\.0 m from the surface$/);
    expect(row(out, "gateway  RMC")).toMatch(
      /^gateway {2}RMC +GP +[34]\.\d +54°28\.092'N 10°22\.926'E, 0\.1 kn$/,
    );
    expect(row(out, "position")).toMatch(/^position +gateway\/GP +54°28\.092'N 10°22\.926'E$/);
    expect(row(out, "depth from surface")).toMatch(/gateway\/SD +6\.0 m$/);
    expect(row(out, "depth under keel")).toMatch(/gateway\/SD +5\.2 m$/);
    expect(row(out, "heading")).toMatch(/gateway\/HC +270° true$/);
    expect(row(out, "wind")).toMatch(/^wind +missing +no wind alarms; the rode wanted is reckoned for 20 kn/);
    expect(row(out, "somebody to hear alarms")).toMatch(/missing +nothing connected would sound/);
    // One column begins where its head begins.
    const table = out.split("\n").slice(out.split("\n").findIndex((line) => line.startsWith("need")));
    const at = table[0]?.indexOf("source") ?? -1;
    for (const line of table.filter((text) => text !== "")) expect(line.slice(at - 2, at)).toBe("  ");
  });

  test.skipIf(noPty)(
    "a recorded log through a serial line: position, depth, and a line that alarms go out on",
    async () => {
      const pty = await openPty();
      const texts = readFileSync(LOG, "latin1")
        .split(/\r?\n/)
        .filter((text) => text !== "" && !text.startsWith("#"));
      let next = 0;
      talking.push(
        setInterval(() => {
          pty.say(Buffer.from(`${texts.slice(next, next + 20).join("\r\n")}\r\n`, "latin1"));
          next = (next + 20) % (texts.length - 20);
        }, 100),
      );
      const wire = `[[port]]\nname = "wire"\nkind = "serial"\ndevice = "${pty.device}"\nbaud = 38400\nsend = ["alerts"]\n`;
      const { code, out } = await checked(boatConfig(wire), "4");
      expect({ code, out }).toMatchObject({ code: 0 });
      expect(row(out, "wire  up")).toContain(`${pty.device} at 38400 baud`);
      expect(row(out, "position")).toMatch(/^position +wire\//);
      expect(row(out, "depth from surface")).toMatch(/ wire\/\w\w +\d+\.\d m/);
      expect(row(out, "somebody to hear alarms")).toMatch(/ wire$/);
      await pty.remove();
    },
  );

  test("ports that fail: one line each; without a position the watch could not run", async () => {
    const other = createServer();
    servers.push(other);
    await new Promise<void>((resolve) => other.listen(0, "127.0.0.1", resolve));
    const address = other.address();
    const taken = typeof address === "object" ? address?.port : undefined;
    const ports = [
      '[[port]]\nname = "ghost"\nkind = "serial"\ndevice = "/dev/rodeward-no-such"\n',
      '[[port]]\nname = "far"\nkind = "tcp-client"\naddress = "rodeward-no-such.invalid:2000"\n',
      `[[port]]\nname = "taken"\nkind = "tcp-server"\nlisten = "127.0.0.1:${taken}"\n`,
    ];
    const { code, out, err } = await checked(boatConfig(ports.join("")), "1");
    expect(code).toBe(1);
    expect(row(out, "ghost")).toMatch(
      /^ghost +down +no such device \/dev\/rodeward-no-such; `rodeward ports`/,
    );
    expect(row(out, "far")).toMatch(
      /^far +down +rodeward-no-such\.invalid:2000: that name (is not|could not)/,
    );
    expect(row(out, "taken")).toMatch(
      /^taken +cannot start +cannot listen on .*: it is in use by another program/,
    );
    expect(out).toContain("nothing is heard on any port");
    expect(row(out, "position")).toMatch(/^position +missing +no watch can be kept/);
    expect(err.trim().split("\n").at(-1)).toBe(
      'the watch could not run: port "taken" cannot start; no position is heard',
    );
  });

  test("a hook whose program is not there, or may not be run", async () => {
    const port = await serverOf(() => bodiesAt(Date.now(), { depthM: 6 }).map(seal), 250);
    const hooks = ["sh", "/no/such/buzzer", LOG.pathname].map(
      (program) => `[[hook]]\non = ["alarm"]\nrun = ["${program}"]\n`,
    );
    const quiet = '[[hook]]\non = ["caution"]\nrun = ["true"]\n';
    const { code, out, err } = await checked(boatConfig(client(port) + hooks.join("") + quiet), "1");
    expect(code).toBe(1);
    // One that could sound is somebody who would hear an alarm, as aboard.
    expect(row(out, "somebody").trim()).toMatch(/^somebody to hear alarms +hook sh$/);
    expect(err.trim().split("\n").at(-1)).toBe(
      `no sound by hook /no/such/buzzer: there is no such program; hook ${LOG.pathname}: it may not be run: permission denied`,
    );
  });

  test("a depth whose reference is not known, a magnetic heading without variation, and noise", async () => {
    const port = await serverOf(
      () => [seal("SDDBT,,f,5.0,M,,F"), seal("HCHDM,265.0,M"), "$SDDBT,,f,5.0,M,,F*00", "garbage"],
      250,
    );
    const config = boatConfig(client(port)).replace('below_water = "0.4 m"', "");
    const { code, out } = await checked(config);
    expect(code).toBe(1);
    expect(row(out, "depth from surface")).toMatch(
      /5\.8 m +from where it is measured is not known: taken as under the keel for scope; set transducer\.below_water$/,
    );
    expect(row(out, "heading")).toMatch(
      /gateway\/HC +magnetic, without variation +of no use without a variation/,
    );
    expect(out).toMatch(/gateway {2}refused +\d\.\d +\d+ × bad-checksum/);
    expect(out).toMatch(/gateway {2}refused +\d\.\d +\d+ × no-start/);
  });

  test("bad configuration: exit 2, and bad usage as well", async () => {
    const { code, err, file } = await checked("[rode]\nchain = 8\n");
    expect(code).toBe(2);
    expect(err.split("\n")[0]?.startsWith(`${file}: rode.chain: `)).toBe(true);
    const child = rodeward(["check", "--seconds", "soon"]);
    expect((await child.ended).code).toBe(2);
    await until(() => child.err().includes('"soon" is no time to listen'), "why");
  });
});
