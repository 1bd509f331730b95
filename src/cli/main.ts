#!/usr/bin/env node
/** The command line: parses, calls one command, sets the exit code. Results to stdout, all else to stderr. */
import { createRequire } from "node:module";
import { Command, CommanderError, InvalidArgumentError } from "commander";
import type { QuantityKind } from "../units/quantity.ts";
import { parseInstant } from "../units/time.ts";
import { actHelp } from "./act-words.ts";
import { configFor, directoryFor, needConfig } from "./config-for.ts";
import { readClockChoice } from "./log-clock.ts";
import { addNights } from "./nights-command.ts";
import { Problem } from "./problem.ts";
import { quantity } from "./quantity.ts";

const console = {
  out: (text: string) => process.stdout.write(`${text}\n`),
  err: (text: string) => process.stderr.write(`${text}\n`),
};

const withText = (kind: QuantityKind) => {
  const read = quantity(kind);
  return (text: string) => ({ text, value: read(text) });
};

function time(text: string): number {
  const atMs = parseInstant(text);
  if (atMs === undefined)
    throw new InvalidArgumentError(`"${text}" is no time; write it like 2026-06-15T22:30Z`);
  return atMs;
}

function times(text: string): number {
  const value = Number(text);
  if (!(value > 0 && value <= 1000))
    throw new InvalidArgumentError(`"${text}" is no speed; give a number of times up to 1000`);
  return value;
}

function whole(text: string, most: number, what: string): number {
  const value = Number(text);
  if (!/^\d+$/.test(text) || value > most)
    throw new InvalidArgumentError(`"${text}" is no ${what}; give a whole number up to ${most}`);
  return value;
}

function seconds(text: string): number {
  const value = Number(text);
  if (!(value > 0 && value <= 3600))
    throw new InvalidArgumentError(`"${text}" is no time to listen; give seconds, up to 3600`);
  return value;
}

const seed = (text: string) => whole(text, 0xffffffff, "seed");
const tcpPort = (text: string) => whole(text, 65535, "port");

function speed(text: string): number | undefined {
  if (text === "max") return undefined;
  const value = Number(text);
  if (!(value > 0)) throw new InvalidArgumentError(`"${text}" is no speed; give a number of times, or max`);
  return value;
}

function clockChoice(text: string) {
  const choice = readClockChoice(text);
  if (choice === undefined)
    throw new InvalidArgumentError(`"${text}" is no clock; give auto, tag, sentence or lines:N`);
  return choice;
}

const CLASSES = ["alerts", "anchor", "rode", "acts"] as const;

function outClass(text: string): (typeof CLASSES)[number] {
  const found = CLASSES.find((one) => one === text);
  if (found === undefined)
    throw new InvalidArgumentError(`"${text}" is no class; there are ${CLASSES.join(", ")}`);
  return found;
}

const { version: VERSION } = createRequire(import.meta.url)("../../package.json") as { version: string };

// What a command needs is loaded when it runs: the shell is used at night, with wet hands, and must not wait.
const program = new Command("rodeward")
  .description("An always-on watch for a boat lying at anchor. An aid, not a substitute for a watch-keeper.")
  .exitOverride()
  .version(VERSION)
  .showHelpAfterError(false)
  .showSuggestionAfterError(false);

program
  .command("replay")
  .description("a recorded log through the same core that runs aboard")
  .argument("<log...>", "plain or TAG-stamped logs, .gz too, - for standard input")
  .option("--config <file>", "the boat's configuration")
  .option("--clock <clock>", "auto, tag, sentence or lines:N", clockChoice, { kind: "auto" })
  .option("--from <time>", "time of the first line, for lines:N", time)
  .option("--speed <n>", "times real time, or max", speed)
  .option("--let-go <time>", "put LETGO, RODE and BROUGHTUP in at that time", time)
  .option("--rode <length>", "rode out at let go, such as 30m", quantity("length"))
  .option("--only <class>", "print only alerts, anchor, rode or acts", outClass)
  .option("--json <file>", "write the summary there")
  .option("--ignore-operator", "leave out what the operator did", false)
  .action(async (logs: string[], given) => {
    const config = (await configFor(given.config))?.config;
    const { replay } = await import("./replay.ts");
    await replay(
      logs,
      {
        config,
        clock: given.clock,
        fromMs: given.from,
        speed: given.speed,
        letGoMs: given.letGo,
        rodeM: given.rode,
        only: given.only,
        jsonFile: given.json,
        ignoreOperator: given.ignoreOperator,
      },
      console,
    );
  });

program
  .command("rode")
  .description("how much rode, how hard the pull, how wide the swing")
  .requiredOption("--depth <length>", "from the surface, such as 8m or 26ft", withText("length"))
  .option("--wind <speed>", "mean wind, such as 18kn", quantity("speed"))
  .option("--gust <speed>", "gust; the mean times 1.4 where not given", quantity("speed"))
  .option("--tide-rise <length>", "rise still to come", quantity("length"))
  .option("--at <time>", "when, for the tide as configured; now where not given", time)
  .option("--roller <length>", "bow roller above the water", quantity("length"))
  .option("--config <file>", "the boat's configuration")
  .option("--table", "depth by wind", false)
  .option("--json", "one object", false)
  .action(async (given) => {
    if (given.gust < (given.wind ?? 0))
      throw new Problem("--gust is less than --wind, the mean that it goes above", 2);
    const { adviseRode } = await import("../tackle/rode-advice.ts");
    const { adviceInput, asJson, report, tableText, unitsOf } = await import("./rode.ts");
    const config = (await configFor(given.config))?.config;
    const question = {
      depthM: given.depth.value,
      windMps: given.wind,
      gustMps: given.gust,
      riseM: given.tideRise,
      atMs: given.at ?? Date.now(),
      rollerHeightM: given.roller,
      units: unitsOf(given.depth.text),
    };
    if (config === undefined)
      console.err(
        "no configuration: boat and rode are not known, so this is no more than a part; give --config FILE",
      );
    const input = adviceInput(question, config);
    const advice = adviseRode(input);
    const table = given.table ? ["", ...tableText(input)] : [];
    const lines = given.json ? [asJson(advice)] : [...report(input, advice, config, question.atMs), ...table];
    for (const line of lines) console.out(line);
  });

program
  .command("run")
  .description("the daemon: reads the boat's instruments, keeps the watch, sends alarms")
  .option("--config <file>", "the boat's configuration")
  .action(async (given) => {
    const { run } = await import("./run.ts");
    const { config, file } = await needConfig(given.config);
    await run(config, file, console);
  });

program
  .command("rehearse")
  .description("the daemon on a simulated anchorage: no hardware, no configuration")
  .option("--scene <name>", "stay, quiet, breeze, tide-turn, front, drag or weigh", "stay")
  .option("--speed <n>", "times real time", times, 30)
  .option("--seed <n>", "another seed, another night", seed, 1)
  .option("--display-port <port>", "where alarm sentences come out", tcpPort, 10110)
  .option("--page-port <port>", "where the page is served", tcpPort, 8010)
  .action(async (given) => {
    const { rehearse } = await import("./rehearse.ts");
    await rehearse(given, console);
  });

program
  .command("act")
  .description("gives an act to the running daemon, such as: act RODE 35m")
  .argument("<verb>", "LETGO, RODE, BROUGHTUP, WEIGH, AWEIGH, …")
  .addHelpText("after", () => `\n${actHelp()}`)
  .argument("[words...]", "what the verb takes")
  .option("--config <file>", "the boat's configuration")
  .action(async (verb: string, words: string[], given) => {
    const { act } = await import("./act.ts");
    await act(verb, words, await directoryFor(given.config), console);
  });

program
  .command("check")
  .description("opens each port, listens, and says what is heard and what the watch lacks")
  .option("--config <file>", "the boat's configuration")
  .option("--seconds <n>", "how long to listen", seconds, 8)
  .action(async (given) => {
    const { config, file } = await needConfig(given.config);
    const { check } = await import("./check.ts");
    await check(config, file, given.seconds, console);
  });

program
  .command("hooks")
  .description("sounds the alarm hooks: test them, or tell them that the watch is dead (the service does)")
  .argument("<what>", "test or dead")
  .option("--config <file>", "the boat's configuration")
  .action(async (what: string, given) => {
    const { hooksCommand } = await import("./hooks.ts");
    await hooksCommand(what, given.config, console);
  });

program
  .command("ports")
  .description("serial devices with their stable names, and services found on the network")
  .option("--seconds <n>", "how long to ask the network", seconds, 3)
  .action(async (given) => {
    const { listPorts } = await import("./ports.ts");
    await listPorts(given.seconds, console);
  });

addNights(program, console, {
  time,
  length: quantity("length"),
  clockChoice,
  whole,
});

/** A reader that goes away (`| head`) ends us quietly. */
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  process.exit(error.code === "EPIPE" ? 0 : 1);
});

try {
  await program.parseAsync();
} catch (error) {
  process.exitCode = told(error);
}

/** Says what went wrong, once, and gives the exit code. A mistake in the program is thrown on. */
function told(error: unknown): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
  if (!(error instanceof Problem)) throw error;
  console.err(error.message);
  return error.exitCode;
}
