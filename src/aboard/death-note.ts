/**
 * A note in the state directory that the watch has ended by itself and that its hooks were told so; the next
 * start finds it, and tells them that the watch is back.
 */
import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { formatInstant } from "../units/time.ts";

const NOTE = "dead";

/** What an alarm hook is told besides alerts: the same words as for an alert, under a key that is none. */
export function tidings(key: "dead" | "test", sound: boolean, text: string, since: string) {
  return {
    RODEWARD_KEY: key,
    RODEWARD_PRIORITY: "alarm",
    RODEWARD_STATE: sound ? "unacknowledged" : "normal",
    RODEWARD_TITLE: key === "dead" ? "WATCH IS DEAD" : "TEST",
    RODEWARD_TEXT: text,
    RODEWARD_SINCE: since,
    RODEWARD_SOUND: sound ? "1" : "0",
  };
}

/** False when it cannot be written: then whoever hears the alarm has to still it. */
export function leaveDeathNote(stateDirectory: string, why: string): boolean {
  try {
    writeFileSync(join(stateDirectory, NOTE), why, { mode: 0o600 });
    return true;
  } catch {
    return false;
  }
}

/** At a start: what the hooks are told when they had been told that the watch was dead. Once. */
export function backAgain(
  stateDirectory: string,
  log: { warn(fields: object, text: string): void },
): Readonly<Record<string, string>> | undefined {
  const why = takeDeathNote(stateDirectory);
  if (why === undefined) return undefined;
  log.warn({ why }, "the watch is back after it had ended by itself");
  return tidings("dead", false, "The watch is back", formatInstant(Math.floor(Date.now())));
}

function takeDeathNote(stateDirectory: string): string | undefined {
  const file = join(stateDirectory, NOTE);
  try {
    const why = readFileSync(file, "utf8").slice(0, 200);
    rmSync(file);
    return why;
  } catch {
    return undefined;
  }
}
