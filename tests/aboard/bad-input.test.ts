/** What is wrong at start or comes in wrong while running: one clear line each, and the rest goes on. */
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { chmod, mkdir, readdir, writeFile } from "node:fs/promises";
import { connect, createServer, type Server } from "node:net";
import { join } from "node:path";
import { afterEach, describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { until } from "../ports/ear.ts";
import { noPty, openPty } from "../ports/pty.ts";
import {
  type Afloat,
  alfsOf,
  BUS,
  boatConfig,
  connectTo,
  createFolder,
  DISPLAYS,
  endChildren,
  type Folder,
  type Journal,
  pageOf,
  recorderOn,
  rodeward,
  start,
} from "./afloat.ts";

const T0 = Date.parse("2026-06-15T01:00:00Z");
const SHOAL = 10806;

const folders: Folder[] = [];
const running: Afloat[] = [];
const servers: Server[] = [];

function folder(): string {
  const made = createFolder();
  folders.push(made);
  return made.path;
}

async function afloat(...args: Parameters<typeof start>): Promise<Afloat> {
  const one = await start(...args);
  running.push(one);
  return one;
}

/** A port that another program holds. */
async function taken(): Promise<{ port: number; free(): Promise<void> }> {
  const server = createServer();
  servers.push(server);
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const address = server.address();
  if (address === null || typeof address === "string") throw new Error("no port");
  return { port: address.port, free: () => new Promise((resolve) => server.close(() => resolve())) };
}

afterEach(async () => {
  endChildren();
  for (const one of running.splice(0)) await one.daemon.stop();
  for (const one of servers.splice(0)) one.close();
  for (const one of folders.splice(0)) one.remove();
});

const lines = (journal: Journal) =>
  journal.entries
    .filter(
      (entry) => !["info", "debug"].includes(entry.level) && !entry.text.includes("client is not built"),
    )
    .map(({ fields, text }) => ({ ...fields, text }));

/** The watch works: a shoal is alarmed on the displays. */
async function expectAlarm({ daemon }: Afloat): Promise<void> {
  const display = await connectTo(daemon.address("displays"));
  await recorderOn(await connectTo(daemon.address("bus")), T0).seconds(8, { depthM: 1.2 });
  await until(() => alfsOf(display, SHOAL).length > 0, "the alarm");
}

describe("a port that cannot be opened", () => {
  test("in use: said once, alarmed as port down, the rest goes on", async () => {
    const other = await taken();
    const second = `[[port]]\nname = "second"\nkind = "tcp-server"\nlisten = "127.0.0.1:${other.port}"\n`;
    const one = await afloat(boatConfig(second + BUS + DISPLAYS), folder());
    expect(lines(one.journal)).toEqual([
      {
        port: "second",
        why: `port "second": cannot listen on 127.0.0.1:${other.port}: it is in use by another program; stop that one, or choose another port`,
        text: "port down",
      },
    ]);
    await expectAlarm(one);
    expect(one.daemon.core().alerts.active["port-down"]?.text).toMatch(/^second: cannot listen on/);
  });

  test("an absent serial device and an unknown host", async () => {
    const absent = '[[port]]\nname = "wire"\nkind = "serial"\ndevice = "/dev/rodeward-no-such"\n';
    const far = '[[port]]\nname = "far"\nkind = "tcp-client"\naddress = "rodeward-no-such.invalid:2000"\n';
    const one = await afloat(boatConfig(absent + far + BUS + DISPLAYS), folder());
    await until(() => lines(one.journal).length === 2, "two lines");
    const why = (port: string) => lines(one.journal).find((line) => "port" in line && line.port === port);
    expect(why("wire")).toMatchObject({
      text: "port down",
      why: "no such device /dev/rodeward-no-such; `rodeward ports` lists what there is",
    });
    expect(why("far")).toMatchObject({
      text: "port down",
      why: expect.stringMatching(/^rodeward-no-such\.invalid:2000: that name (is not known|could not be)/),
    });
    await expectAlarm(one);
  });

  test.skipIf(noPty || process.getuid?.() !== 0)(
    "without permission: the group to join is named",
    async () => {
      const pty = await openPty();
      const { chown } = await import("node:fs/promises");
      // Group 20 is dialout on Debian (base-passwd).
      await chown(pty.device, 0, 20);
      await chmod(pty.device, 0o660);
      await chmod(join(pty.device, ".."), 0o755);
      const at = folder();
      await chmod(at, 0o777);
      const file = join(at, "boat.toml");
      await writeFile(
        file,
        boatConfig(`[[port]]\nname = "wire"\nkind = "serial"\ndevice = "${pty.device}"\n${DISPLAYS}`),
      );
      const child = rodeward(["run", "--config", file], { STATE_DIRECTORY: join(at, "state") }, [
        "setpriv",
        "--reuid=65534",
        "--regid=65534",
        "--clear-groups",
      ]);
      await until(() => child.err().includes("permission denied"), "the line", 5000);
      expect(child.err()).toContain(
        `permission denied for ${pty.device}: add the user to the group dialout and log in again`,
      );
      expect(await (await fetch(`${await pageOf(child)}/healthz`)).json()).toMatchObject({ ok: true });
      await pty.remove();
    },
  );
});

describe("the page's port", () => {
  test("taken: one line, the watch goes on; it is tried again", { timeout: 20_000 }, async () => {
    const other = await taken();
    const one = await afloat(
      boatConfig(BUS + DISPLAYS, `[page]\nlisten = "127.0.0.1:${other.port}"\n`),
      folder(),
    );
    expect(one.daemon.pageUrl).toBeUndefined();
    expect(lines(one.journal).at(-1)).toEqual({
      why: `page: cannot listen on 127.0.0.1:${other.port}: it is in use by another program; stop that one, or choose another port`,
      text: "no page; the watch goes on without it, and it is tried again",
    });
    await expectAlarm(one);
    await other.free();
    await until(() => one.daemon.pageUrl !== undefined, "the page after all", 12_000);
    expect((await fetch(`${one.daemon.pageUrl}/healthz`)).status).toBe(200);
    const served = one.journal.entries.find((entry) => entry.text === "page served");
    expect(served?.fields, "the PIN, which nobody has seen yet").toMatchObject({
      pin: expect.stringMatching(/^\d{6}$/),
    });
  });
});

describe("a state directory", () => {
  test("of a running daemon: the second one is refused, and touches nothing", async () => {
    const at = folder();
    const one = await afloat(boatConfig(BUS + DISPLAYS), at);
    await recorderOn(await connectTo(one.daemon.address("bus")), T0).second(
      {},
      "PRDW,LETGO,5428.092,N,01022.926,E",
    );
    await until(() => one.daemon.core().watch.stay.phase === "let-go", "let go");
    const file = join(at, "boat.toml");
    await writeFile(file, boatConfig(BUS + DISPLAYS));
    const second = rodeward(["run", "--config", file], { STATE_DIRECTORY: at });
    expect(await second.ended).toEqual({ code: 1, signal: null });
    expect(second.err().trim()).toBe(
      `another rodeward is running here (${join(at, "daemon.lock")} is locked)`,
    );
    await expectAct(at, ["UNDO"], { code: 0, out: "UNDO taken\n", err: "" });
    expect(one.daemon.core().watch.stay.phase).toBe("underway");
  });

  test("of a dead daemon, and three start in it at the same instant: one keeps the watch, two say why not", async () => {
    const at = folder();
    const file = join(at, "boat.toml");
    await writeFile(file, boatConfig(""));
    // As a crash leaves it: the socket's file, that nobody serves.
    const dead = spawn(process.execPath, [
      "-e",
      `require("net").createServer().listen("${join(at, "act.sock")}")`,
    ]);
    await until(() => existsSync(join(at, "act.sock")), "the socket");
    dead.kill("SIGKILL");
    const three = Array.from({ length: 3 }, () =>
      rodeward(["run", "--config", file], { STATE_DIRECTORY: at }),
    );
    const over: number[] = [];
    for (const one of three) void one.ended.then(({ code }) => over.push(code ?? -1));
    await until(() => over.length >= 2, "two give up", 15_000);
    expect(over).toEqual([1, 1]);
    for (const one of three.filter(({ process: { exitCode } }) => exitCode !== null))
      expect(one.err()).toContain("another rodeward is running here");
    await expectAct(at, ["EXPECT", "20kn"], { code: 0, out: "EXPECT taken\n", err: "" });
  });

  test("that cannot be written: no start, one line", async () => {
    const at = folder();
    await writeFile(join(at, "file"), "");
    const file = join(at, "boat.toml");
    await writeFile(file, boatConfig(DISPLAYS));
    const child = rodeward(["run", "--config", file], { STATE_DIRECTORY: join(at, "file", "state") });
    expect(await child.ended).toMatchObject({ code: 1 });
    expect(child.err().trim().split("\n")).toHaveLength(1);
    expect(child.err()).toContain(join(at, "file", "state"));
  });

  test.each([
    ["no JSON at all", "\0\0\0\0"],
    ["cut short", '{"version":1,"saved":{"atMs":17815'],
    ["of another version", '{"version":99,"saved":{}}'],
    ["well formed but hollow", hollow("riding")],
  ])("with a state file %s: it is set aside and said, and a watch can be kept", async (_, text) => {
    const at = folder();
    await mkdir(at, { recursive: true });
    await writeFile(join(at, "watch.json"), text);
    const one = await afloat(boatConfig(BUS + DISPLAYS), at);
    await expectAlarm(one);
    const said = one.journal.entries.filter((entry) => entry.level === "error");
    expect(said).toHaveLength(1);
    expect(said[0]?.text).toBe("the state file was damaged and is set aside: no watch is resumed");
    const aside = (await readdir(at)).filter((name) => name.startsWith("watch.json.damaged-"));
    expect(aside).toHaveLength(1);
    expect(said[0]?.fields.setAside).toBe(join(at, aside[0] ?? ""));
  });
});

/** Reads well, and is still no watch. */
function hollow(phase: string): string {
  const watch = { stay: { phase }, latches: {} };
  return JSON.stringify({ version: 1, saved: { atMs: T0 - 60_000, watch, alerts: { active: {} } } });
}

describe("acts", () => {
  test("malformed over the shell's socket: each is answered, none harms", async () => {
    const at = folder();
    const one = await afloat(boatConfig(BUS + DISPLAYS), at);
    const shell = connect(join(at, "act.sock"));
    let answers = "";
    shell.on("error", () => {});
    shell.on("data", (text) => {
      answers += text;
    });
    const given = [
      "hello",
      seal("PRDW"),
      seal("PRDW,NONSENSE"),
      seal("PRDW,RODE,abc,M"),
      `${seal("PRDW,LETGO").slice(0, -2)}00`,
      seal("PRDW,RODE,30,M"),
      seal("PRDW,FACT,nonsense,1"),
      seal("PRDW,FACT,supply-low,1,Supply 11.6 V"),
      "\u00ff\u00fe\u0001",
    ];
    shell.write(`${given.join("\n")}\n`, "latin1");
    await until(() => answers.split("\n").length > given.length, "an answer to each");
    expect(answers.trim().split("\n")).toEqual([
      seal("PRDW,NAK,,format"),
      seal("PRDW,NAK,,format"),
      seal("PRDW,NAK,NONSENSE,format"),
      seal("PRDW,NAK,RODE,format"),
      seal("PRDW,NAK,,format"),
      seal("PRDW,NAK,RODE,phase"),
      seal("PRDW,NAK,FACT,format"),
      seal("PRDW,ACK,FACT"),
      seal("PRDW,NAK,,format"),
    ]);
    shell.end(Buffer.alloc(1 << 20, 0x41));
    await expectAlarm(one);
  });

  test("a shell that never reads its answers is dropped, and fills no memory", async () => {
    const at = folder();
    const one = await afloat(boatConfig(BUS + DISPLAYS), at);
    const deaf = connect(join(at, "act.sock"));
    let ended = false;
    deaf.on("close", () => {
      ended = true;
    });
    deaf.on("error", () => {});
    deaf.pause();
    const many = `${seal("PRDW,UNDO")}\n`.repeat(5000);
    for (let i = 0; i < 10 && !ended; i++) await new Promise((resolve) => deaf.write(many, resolve));
    await until(() => ended || deaf.destroyed || deaf.writableEnded, "dropped");
    await expectAlarm(one);
  });

  test("`rodeward act`: taken, refused, not understood, and no daemon there", async () => {
    const at = folder();
    const one = await afloat(boatConfig(BUS + DISPLAYS), at);
    const recorder = recorderOn(await connectTo(one.daemon.address("bus")), T0);
    await recorder.seconds(3, {});
    await until(() => one.daemon.core().last.picture.position !== undefined, "a position");
    await expectAct(at, ["RODE", "30m"], {
      code: 1,
      out: "",
      err: "RODE refused: not in this phase of the stay\n",
    });
    await expectAct(at, ["LETGO"], { code: 0, out: "LETGO taken\n", err: "" });
    await expectAct(at, ["rode", "30 m"], { code: 0, out: "RODE taken\n", err: "" });
    expect(one.daemon.core().watch.stay.rode).toMatchObject({ lengthM: 30, source: "told" });
    await expectAct(at, ["RODE", "30"], { code: 2, out: "", err: expect.stringContaining('"30"') });
    await expectAct(at, ["RODE", "400m"], {
      code: 1,
      out: "",
      err: "RODE refused: more than the rode aboard\n",
    });
    await expectAct(at, ["DANCE"], {
      code: 2,
      out: "",
      err: expect.stringMatching(/^"DANCE" is no act that is understood; there are LETGO, RODE, .*\n$/),
    });
    await expectAct(at, ["PLACE", "north"], { code: 2, out: "", err: expect.stringContaining("no act") });
    const nobody = join(at, "nobody");
    const err = `no rodeward is running here (nothing at ${join(nobody, "act.sock")})\n`;
    await expectAct(nobody, ["LETGO"], { code: 1, out: "", err });
  });
});

async function expectAct(
  directory: string,
  words: string[],
  wanted: { code: number; out: string; err: unknown },
): Promise<void> {
  const child = rodeward(["act", ...words], { STATE_DIRECTORY: directory });
  const { code } = await child.ended;
  expect({ code, out: child.out(), err: child.err() }).toEqual(wanted);
}
