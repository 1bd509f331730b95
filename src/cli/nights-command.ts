/** The words of `rodeward nights`. What each needs is loaded when it runs. */
import { type Command, InvalidArgumentError } from "commander";
import { configFor, directoryFor, needConfig } from "./config-for.ts";
import type { Console } from "./console.ts";
import type { ClockChoice } from "./log-clock.ts";
import { quantity } from "./quantity.ts";
import { readSteps } from "./rerun-settings.ts";

export interface NightsNeeds {
  time(text: string): number;
  length(text: string): number;
  clockChoice(text: string): ClockChoice;
  whole(text: string, most: number, what: string): number;
}

const EXPORTS = ["gpx", "csv", "geojson", "nmea"] as const;

function exportKind(text: string): (typeof EXPORTS)[number] {
  const kind = EXPORTS.find((one) => one === text);
  if (kind === undefined)
    throw new InvalidArgumentError(`"${text}" is no kind of export; there are ${EXPORTS.join(", ")}`);
  return kind;
}

function scopeTable(text: string) {
  const read = readSteps(text);
  if (!read.ok) throw new InvalidArgumentError(read.problem);
  return read.steps;
}

export function addNights(program: Command, console: Console, needs: NightsNeeds): void {
  const id = (text: string) => needs.whole(text, 1e9, "night; nights list shows their numbers");
  const nights = program
    .command("nights")
    .description("the nights kept: list, show, export, name, rerun, import");
  const one = (name: string, about: string) =>
    nights
      .command(name)
      .description(about)
      .option("--config <file>", "the boat's configuration")
      .option("--directory <path>", "where the night log is, if not where the configuration says");
  const where = async (given: { directory?: string; config?: string }) =>
    given.directory ?? (await directoryFor(given.config));

  one("list", "every night, the latest first").action(async (given) => {
    const { listNights } = await import("./nights.ts");
    listNights(await where(given), console);
  });
  one("show", "phases, acts and alerts of one night")
    .argument("<id>", "its number", id)
    .option("--json", "as one object", false)
    .action(async (night: number, given) => {
      const { showNight } = await import("./nights.ts");
      showNight(await where(given), night, given.json, console);
    });
  one("export", "the track, or the sentences as they were heard")
    .argument("<id>", "its number", id)
    .requiredOption("--as <kind>", EXPORTS.join(", "), exportKind)
    .option("--out <file>", "write there instead of to standard output")
    .action(async (night: number, given) => {
      const { exportNight } = await import("./nights.ts");
      await exportNight(await where(given), night, given.as, given.out);
    });
  one("name", "names the place where a night was; without a name, takes it away")
    .argument("<id>", "its number", id)
    .argument("[name...]", "what you call it")
    .action(async (night: number, words: string[], given) => {
      const { namePlaceOf } = await import("./nights.ts");
      namePlaceOf(await where(given), night, words.join(" "));
    });
  one(
    "rerun",
    "a night again under other settings (its own, where nothing is given): which alerts would have come",
  )
    .argument("<id>", "its number", id)
    .option("--margin <length>", "margin of the circle, such as 20m", quantity("length"))
    .option("--scope <steps>", "scope from each wind on, such as 0kn=5,20kn=7,30kn=8", scopeTable)
    .option("--wind-limit <speed>", "mean wind that is worth a call, such as 20kn", quantity("speed"))
    .option("--gust-limit <speed>", "the same for gusts", quantity("speed"))
    .option("--json", "as a list of pairs", false)
    .action(async (night: number, given) => {
      const { rerunNight } = await import("./nights-again.ts");
      // Only a configuration that is named: whichever lies here is not the one the night had.
      const config = given.config === undefined ? undefined : (await configFor(given.config))?.config;
      const { margin: marginM, scope: steps, windLimit: windLimitMps, gustLimit: gustLimitMps } = given;
      const wish = { config, changes: { marginM, steps, windLimitMps, gustLimitMps }, json: given.json };
      await rerunNight(await where(given), night, wish, console);
    });
  one("import", "recorded logs as a night")
    .argument("<log...>", "plain or TAG-stamped logs, .gz too, - for standard input")
    .option("--clock <clock>", "auto, tag, sentence or lines:N", needs.clockChoice, { kind: "auto" })
    .option("--from <time>", "time of the first line, for lines:N", needs.time)
    .option("--let-go <time>", "when the anchor was let go, if the log does not say", needs.time)
    .option("--rode <length>", "rode out then, such as 30m", needs.length)
    .action(async (logs: string[], given) => {
      const { importNight } = await import("./nights-again.ts");
      const { clock, from: fromMs, letGo: letGoMs, rode: rodeM } = given;
      const { config } = await needConfig(given.config);
      await importNight(await where(given), logs, { config, clock, fromMs, letGoMs, rodeM }, console);
    });
}
