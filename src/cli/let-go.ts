/** `--let-go` and the options beside it, as replay and import take them: what makes no sense, and what is to be said. */
import { formatInstant } from "../units/time.ts";
import type { ClockChoice } from "./log-clock.ts";
import { Problem } from "./problem.ts";

export interface LetGoOptions {
  clock: ClockChoice;
  fromMs: number | undefined;
  letGoMs: number | undefined;
  rodeM: number | undefined;
}

/** Options that would say nothing where they stand are refused, not passed over. */
export function checkLetGo({ clock, fromMs, letGoMs, rodeM }: LetGoOptions): void {
  if (fromMs !== undefined && clock.kind !== "lines")
    throw new Problem("--from is the time of the first line for --clock lines:N; give that too", 2);
  if (rodeM !== undefined && letGoMs === undefined)
    throw new Problem("--rode is what is out at --let-go TIME; give that too", 2);
}

/** What to say of a time before the log: perhaps a slip of the day or the zone, perhaps a log that begins too late. */
export function beforeLog(letGoMs: number | undefined, firstMs: number): string | undefined {
  if (letGoMs === undefined || letGoMs >= firstMs) return undefined;
  return `--let-go ${formatInstant(letGoMs)} is before the log, which begins ${formatInstant(firstMs)}: let go at its first fix`;
}

/** What to say when no fix came from that time on. */
export const NO_FIX = "--let-go: no fix from that time on, so no anchor was let go";
