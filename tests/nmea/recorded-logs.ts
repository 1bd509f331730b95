import { readdirSync, readFileSync } from "node:fs";

const FOLDER = new URL("../../fixtures/logs/", import.meta.url);

/** Names of the recorded logs, without ending. Where each comes from: fixtures/logs/SOURCES.md. */
export const LOGS = readdirSync(FOLDER)
  .filter((file) => file.endsWith(".nmea"))
  .map((file) => file.slice(0, -".nmea".length))
  .sort();

/** The lines of a log as bytes (latin1), without line ends. */
export function linesOf(log: string): string[] {
  return readFileSync(new URL(`${log}.nmea`, FOLDER), "latin1").split(/\r?\n/);
}
