/**
 * `rodeward check`: opens each port as the daemon would, listens for some seconds, and says what is heard and
 * what the watch lacks. It sends nothing, and runs no hook.
 */
import { setTimeout as sleep } from "node:timers/promises";
import { createAboardClock } from "../aboard/clock.ts";
import { programProblem } from "../aboard/hook-run.ts";
import { canSoundAlarm } from "../aboard/hooks.ts";
import { portSettings } from "../aboard/settings.ts";
import { isAlive, shellFile } from "../aboard/shell.ts";
import { stateDirectoryFromShell } from "../aboard/state-directory.ts";
import { canBeHeard } from "../aboard/unheard.ts";
import type { Config, PortConfig } from "../config/schema.ts";
import { coreSettings } from "../config/settings.ts";
import { advance, begin, type Core, type Input } from "../core.ts";
import { peekTag } from "../nmea/frame.ts";
import { decode } from "../nmea/table.ts";
import { openPort } from "../ports/kinds.ts";
import { isServer, type OpenPort, PortError, type PortSettings } from "../ports/port.ts";
import { SECOND_MS } from "../units/time.ts";
import { columns } from "./columns.ts";
import type { Console } from "./console.ts";
import { type Account, createAccount, type HeardRow } from "./heard.ts";
import { NOTHING_SEEN, needsOf, seeing } from "./needs.ts";
import { Problem } from "./problem.ts";

interface Checked {
  config: PortConfig;
  settings: PortSettings;
  port: OpenPort | undefined;
  /** What it is connected to, or what is wrong. */
  why: string;
  fatal: boolean;
}

/** Throws a `Problem` (exit 1) when the watch could not run. */
export async function check(config: Config, file: string, seconds: number, console: Console): Promise<void> {
  const account = createAccount();
  const listener = createListener(config, account);
  const ports = await Promise.all(config.port.map((port) => open(port, listener.line)));
  console.err(`${file}: no problem found in it; listening for ${seconds} s`);
  if (await isAlive(shellFile(stateDirectoryFromShell(config.log.directory, process.env))))
    console.err(
      "the watch is running and holds ports that are in use here: look at the table of ports in its page, or stop it first",
    );
  const ticks = setInterval(listener.tick, SECOND_MS / 4);
  await sleep(seconds * SECOND_MS);
  clearInterval(ticks);
  listener.tick();
  const hooks = await hookPrograms(config);
  const sounding = hooks.filter(({ why, sounds }) => why === undefined && sounds);
  const hearers = [
    ...ports.filter(hears).map(({ settings }) => settings.name),
    ...sounding.map(({ program }) => `hook ${program}`),
  ];
  for (const line of portLines(ports)) console.out(line);
  console.out("");
  for (const line of heardTable(account, ports, seconds)) console.out(line);
  console.out("");
  const needs = needsOf(listener.seen(), config, hearers);
  const head = ["need", "source", "value", "what it weakens"];
  for (const line of columns(
    head,
    needs.map((need) => [need.what, need.source, need.value, need.weakens]),
  ))
    console.out(line);
  await Promise.all(ports.map(({ port }) => port?.close()));
  const problems = [
    ...ports.filter((one) => one.fatal).map((one) => `port "${one.settings.name}" cannot start`),
    ...(listener.seen().position === undefined ? ["no position is heard"] : []),
  ];
  const silent = hooks.filter(({ why }) => why !== undefined);
  const all = [
    ...(problems.length > 0 ? [`the watch could not run: ${problems.join("; ")}`] : []),
    ...(silent.length > 0
      ? [`no sound by ${silent.map(({ program, why }) => `hook ${program}: ${why}`).join("; ")}`]
      : []),
  ];
  if (all.length > 0) throw new Problem(all.join("\n"), 1);
}

interface HookProgram {
  program: string;
  /** Why it cannot be started: nothing else would tell before the night it is needed. */
  why: string | undefined;
  /** Is it for alarms? */
  sounds: boolean;
}

function hookPrograms({ hook }: Config): Promise<HookProgram[]> {
  const programs = [...new Set(hook.map(({ run }) => run[0] ?? ""))];
  return Promise.all(
    programs.map(async (program) => ({
      program,
      why: await programProblem(program),
      sounds: hook.some((one) => one.run[0] === program && canSoundAlarm(one)),
    })),
  );
}

type LineTaker = (port: PortConfig, text: string) => void;

async function open(config: PortConfig, line: LineTaker): Promise<Checked> {
  const settings = portSettings(config);
  const checked: Checked = { config, settings, port: undefined, why: "no answer yet", fatal: false };
  const silent = () => {};
  try {
    checked.port = await openPort(
      settings,
      {
        line: (text) => line(config, text),
        state: (_, why) => {
          checked.why = why;
        },
      },
      { log: { info: silent, warn: silent, debug: silent }, random: Math.random },
    );
  } catch (error) {
    if (!(error instanceof PortError)) throw error;
    checked.why = error.message.replace(`port "${settings.name}": `, "");
    checked.fatal = true;
  }
  return checked;
}

/** The same core as aboard, fed for as long as is listened. */
function createListener(config: Config, account: Account) {
  const settings = coreSettings(config, { utc: "learn", ignoreOperator: true });
  const clock = createAboardClock(
    Date.now(),
    config.port.some((port) => port.clock === "tag"),
  );
  let core: Core | undefined;
  let seen = NOTHING_SEEN;
  const take = (input: Input): void => {
    core = advance(core ?? begin(settings, input.atMs), input, settings).core;
    seen = seeing(seen, core);
  };
  return {
    line(port: PortConfig, text: string): void {
      account.take(port.name, decode(text, port).pieces);
      const stampMs = port.clock === "tag" ? peekTag(text)?.atMs : undefined;
      // Before a recorder has told the time there is none to begin at.
      if (stampMs !== undefined && clock.heard(stampMs)) core = undefined;
      take({ kind: "line", text, port: port.name, atMs: stampMs ?? clock.nowMs() });
    },
    tick(): void {
      if (clock.ticks()) take({ kind: "tick", atMs: clock.nowMs() });
    },
    seen: () => seen,
  };
}

function hears({ settings, port }: Checked): boolean {
  return port !== undefined && canBeHeard([{ settings, port }]);
}

function portLines(ports: readonly Checked[]): string[] {
  if (ports.length === 0) return ["no port is configured: nothing can be heard, and no alarm sent"];
  const rows = ports.map(({ settings, port, why, fatal }) => {
    const stats = port?.stats();
    const up = stats?.state === "up";
    const clients = isServer(settings) && up ? `, ${stats.clients} connected` : "";
    const down = fatal ? "cannot start" : "down";
    return [settings.name, up ? "up" : down, `${why}${clients}`];
  });
  return columns(["port", "state", ""], rows);
}

function heardTable(account: Account, ports: readonly Checked[], seconds: number): string[] {
  const rate = (count: number) => (count / seconds).toFixed(1);
  const rows = account
    .rows()
    .map((row: HeardRow) => [row.port, row.sentence, row.talker, rate(row.count), row.last]);
  for (const { settings, port } of ports) {
    for (const [reason, count] of Object.entries(account.refused(settings.name)))
      rows.push([settings.name, "refused", "", rate(count), `${count} × ${reason}`]);
    const lostBytes = port?.stats().overrunBytes ?? 0;
    if (lostBytes > 0)
      rows.push([
        settings.name,
        "noise",
        "",
        "",
        `${lostBytes} bytes without a line end: is the speed right?`,
      ]);
  }
  if (rows.length === 0) return ["nothing is heard on any port"];
  return columns(["port", "sentence", "talker", "rate/s", "last value"], rows);
}
