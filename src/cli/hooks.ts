/**
 * `rodeward hooks test|dead`: runs the hooks that could sound an alarm, without the daemon. `dead` is for the
 * service manager, which calls it when the watch has ended; it says nothing of an end that was wished.
 */
import { readFileSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";
import { leaveDeathNote, tidings } from "../aboard/death-note.ts";
import { runHook } from "../aboard/hook-run.ts";
import { canSoundAlarm } from "../aboard/hooks.ts";
import { stateDirectory } from "../aboard/state-directory.ts";
import type { HookConfig } from "../config/hook-schema.ts";
import { hooksIn } from "../config/hooks-in.ts";
import { configProblem, findConfig, readConfig } from "../config/read.ts";
import { formatInstant } from "../units/time.ts";
import type { Console } from "./console.ts";
import { Problem } from "./problem.ts";

/** Goes by what can be read of the configuration: a fault elsewhere in it may be what has ended the watch. */
export async function hooksCommand(what: string, named: string | undefined, console: Console): Promise<void> {
  const text = configText(named);
  const hooks = hooksIn(text);
  if (what === "test") await testHooks(hooks, console);
  else if (what === "dead") {
    const read = readConfig(text);
    const directory = stateDirectory(read.ok ? read.config.log.directory : undefined, process.env);
    await soundDeath(hooks, directory, process.env, console);
  } else throw new Problem(`"${what}" is nothing that hooks can be told here; there are test and dead`, 2);
}

function configText(named: string | undefined): string {
  const file = findConfig(named);
  if (file === undefined) throw new Problem("no configuration, so no hooks: give --config FILE", 2);
  try {
    return readFileSync(file, "utf8");
  } catch (error) {
    throw new Problem(`${file}: ${configProblem(file, error)}`, 2);
  }
}

const TEST_SOUNDS_MS = 3000;

type Environment = Readonly<Record<string, string | undefined>>;

/** Each alarm hook sounds for three seconds, and is told that it is over. Throws a `Problem` (1) for those that fail. */
export async function testHooks(
  hooks: readonly HookConfig[],
  console: Console,
  soundsMs = TEST_SOUNDS_MS,
): Promise<void> {
  const since = formatInstant(Math.floor(Date.now() / 1000) * 1000);
  await runAll(hooks, tidings("test", true, "A test: you should hear this", since), console);
  await sleep(soundsMs);
  await runAll(hooks, tidings("test", false, "The test is over", since), console);
  console.out("Did you hear it, at the bow and asleep below? No program can tell.");
}

/**
 * Tells the alarm hooks that nobody watches, unless systemd says that the end was wished. Throws a `Problem` (1)
 * when none could be told.
 */
export async function soundDeath(
  hooks: readonly HookConfig[],
  stateDirectory: string,
  env: Environment,
  console: Console,
): Promise<void> {
  // Of ExecStopPost=, or of OnFailure= (systemd.exec(5)).
  const result = env.SERVICE_RESULT ?? env.MONITOR_SERVICE_RESULT ?? "unknown";
  if (result === "success") return;
  const why = `The watch has ended (${result}): nobody watches`;
  console.err(why);
  if (hooks.some(canSoundAlarm) && !leaveDeathNote(stateDirectory, why))
    console.err("no note could be left: the alarm is to be stilled by hand");
  const since = formatInstant(Math.floor(Date.now() / 1000) * 1000);
  await runAll(hooks, tidings("dead", true, why, since), console);
}

async function runAll(
  hooks: readonly HookConfig[],
  told: Readonly<Record<string, string>>,
  console: Console,
): Promise<void> {
  const able = hooks.filter(canSoundAlarm);
  if (able.length === 0) throw new Problem('no hook could sound: there is none with on = ["alarm"]', 1);
  const ends = await Promise.all(able.map(({ run, limit }) => runHook(run, told, limit * 1000).over));
  let failed = 0;
  for (const [i, why] of ends.entries()) {
    if (why === undefined) continue;
    failed++;
    console.err(`hook ${able[i]?.run[0] ?? ""}: ${why}`);
  }
  if (failed === able.length) throw new Problem("no hook could sound: each has failed", 1);
}
