/** `rodeward act VERB …`: gives an act to the running daemon. */
import { askDaemon, shellFile } from "../aboard/shell.ts";
import { seal } from "../nmea/seal.ts";
import { decode } from "../nmea/table.ts";
import { type QuantityKind, readQuantity } from "../units/quantity.ts";
import { MPS_PER_KN } from "../units/speed.ts";
import { rightForm } from "./act-words.ts";
import type { Console } from "./console.ts";
import { Problem } from "./problem.ts";

/** Verbs whose first word is a quantity, so that a person may write `35m`. */
const WITH_UNITS: Readonly<Record<string, QuantityKind>> = {
  RODE: "length",
  RISE: "length",
  EXPECT: "speed",
  WIND: "speed",
};

const REASONS: Readonly<Record<string, string>> = {
  phase: "not in this phase of the stay",
  range: "out of range, or no fix to mark it by",
  format: "not understood",
  port: "not allowed from here",
  far: "that place is more than 5 miles off",
  rode: "more than the rode aboard",
};

function reasonInWords(verb: string, reason: string): string {
  if (verb.toUpperCase() === "UNDO" && reason === "phase")
    return "no act of the last minute is left to take back";
  if (verb.toUpperCase() === "SET" && reason === "range")
    return "it goes against another setting, as a limit of gusts below the wind's would";
  return REASONS[reason] ?? reason;
}

/** The body of the sentence for the words of the command line, such as `RODE 35m` or `PLACE 065 T 12 M`. */
export function bodyOf(verb: string, words: readonly string[]): string {
  const name = verb.toUpperCase();
  const kind = WITH_UNITS[name];
  const [first, ...rest] = words;
  // A value of two words, such as `25 m`, is one place of the sentence.
  if (name === "SET" && first !== undefined) return ["PRDW", name, first, rest.join(" ")].join(",");
  if (kind === undefined || first === undefined) return ["PRDW", name, ...words].join(",");
  const read = readQuantity(first, kind);
  if (!read.ok) throw new Problem(`${name}: ${read.problem}`, 2);
  const [value, unit] = kind === "length" ? [read.value, "M"] : [read.value / MPS_PER_KN, "N"];
  return ["PRDW", name, value.toFixed(2), unit, ...rest].join(",");
}

/** A setting is looked at before it is sent: the daemon's answer has one word, and here there is room for the reason. */
async function checkSetting(verb: string, [key, ...words]: readonly string[]): Promise<void> {
  if (verb.toUpperCase() !== "SET" || key === undefined || words.length === 0) return;
  const { problemOf } = await import("../config/in-use.ts");
  const problem = problemOf(key, words.join(" "));
  if (problem !== undefined) throw new Problem(`SET refused: ${problem}`, 2);
}

/** Throws a `Problem`: 2 for words that make no act, 1 when the daemon refuses or is not there. */
export async function act(
  verb: string,
  words: readonly string[],
  directory: string,
  console: Console,
): Promise<void> {
  await checkSetting(verb, words);
  const text = seal(bodyOf(verb, words));
  const piece = decode(text, { checksum: "required" }).pieces[0];
  const content =
    piece?.kind === "sentence" && piece.sentence.id === "PRDW" ? piece.sentence.content : undefined;
  if (content?.order === undefined)
    throw new Problem(`"${[verb, ...words].join(" ")}" is no act that is understood; ${rightForm(verb)}`, 2);
  const answer = await askDaemon(shellFile(directory), text).catch((error: Error) => {
    throw new Problem(error.message, 1);
  });
  const said = decode(answer, { checksum: "required" }).pieces[0];
  const order =
    said?.kind === "sentence" && said.sentence.id === "PRDW" ? said.sentence.content?.order : undefined;
  if (order?.verb === "ACK") return console.out(`${verb.toUpperCase()} taken`);
  const reason = order?.verb === "NAK" ? (order.reason ?? "") : "";
  throw new Problem(`${verb.toUpperCase()} refused: ${reasonInWords(verb, reason)}`, 1);
}
