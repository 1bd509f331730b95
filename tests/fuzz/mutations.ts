/** Recorded lines, spoilt: bytes, fields, lengths, checksums, TAG blocks. The same seed gives the same lines. */
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { seal } from "../../src/nmea/seal.ts";
import { type Chance, chanceOf } from "../../src/rehearsal/chance.ts";

const LOGS = fileURLToPath(new URL("../../fixtures/logs", import.meta.url));
const MOST_OF_ONE_LOG = 400;

/** Some of every recorded log, and our own orders and answers. */
export function recordedLines(): string[] {
  const logs = readdirSync(LOGS).filter((name) => name.endsWith(".nmea"));
  const recorded = logs.flatMap((name) => {
    const lines = readFileSync(`${LOGS}/${name}`, "latin1").split(/\r?\n/);
    return lines.filter((line) => line !== "" && !line.startsWith("#")).slice(0, MOST_OF_ONE_LOG);
  });
  const own = [
    "PRDW,LETGO",
    "PRDW,RODE,30.0,M",
    "PRDW,PLACE,065,T,12.0,M",
    "PRDW,KEEPOFF,120,T,50.0,M,Rock",
    "PRDW,WIND,12.0,N,230",
    "PRDW,FACT,port-down,1,x",
    "PRDW,SET,watch.margin,40",
    "IIACN,,RDW,10802,1,A,C",
    "IIACK,802",
    "IIXDR,D,30.0,M,RODE",
  ];
  return [...recorded, ...own.map(seal)];
}

type Change = (line: string, chance: Chance) => string;

const at = (line: string, chance: Chance) => Math.floor(chance.between(0, line.length));
const byte = (chance: Chance) => String.fromCharCode(Math.floor(chance.between(0, 256)));
/** Numbers that break readers. */
const NUMBERS = [
  "",
  "-",
  "+",
  ".",
  "1e999",
  "-1e999",
  "NaN",
  "Infinity",
  "0x10",
  "99999999999999999999",
  "-0",
  "1.7976931348623157e308",
  " 5",
  "5 ",
  "٣",
];
const pick = <T>(from: readonly T[], chance: Chance): T | undefined =>
  from[Math.floor(chance.between(0, from.length))];

/** One field changed, and the checksum right again: what passes the frame has to be borne by the rows. */
const field: Change = (line, chance) => {
  const start = Math.max(line.indexOf("$"), line.indexOf("!"), 0);
  const fields = line
    .slice(start + 1)
    .replace(/\*.*$/, "")
    .split(",");
  const i = 1 + Math.floor(chance.between(0, Math.max(1, fields.length - 1)));
  const value = pick(NUMBERS, chance) ?? "";
  return line.slice(0, start) + resealed(fields.map((one, k) => (k === i ? value : one)).join(","));
};

function resealed(body: string): string {
  try {
    return seal(body);
  } catch {
    return `$${body}*00`;
  }
}

const CHANGES: readonly Change[] = [
  field,
  field,
  field,
  (line, chance) => line.slice(0, at(line, chance)),
  (line, chance) => line.slice(at(line, chance)),
  (line, chance) => line + line.slice(0, at(line, chance)),
  (line, chance) => {
    const i = at(line, chance);
    return line.slice(0, i) + byte(chance) + line.slice(i + 1);
  },
  (line, chance) => {
    const i = at(line, chance);
    return line.slice(0, i) + byte(chance) + line.slice(i);
  },
  (line, chance) => line.split(",").reverse().slice(at(line, chance)).join(","),
  (line, chance) => `\\c:${pick(NUMBERS, chance)},s:${byte(chance)}bus*00\\${line}`,
  (line, chance) => `\\s:bus*${"0123456789"[at(line, chance) % 10]}\\${line}\\`,
  (line) => `${line}${",".repeat(200)}`,
  (line, chance) => "$".repeat(at(line, chance)) + line,
  (line) => line.replace(/\*.*$/, "*ZZ"),
];

/** An endless row of them; about one in ten is left as it was recorded. */
export function* mutations(seed: number, from: readonly string[] = recordedLines()): Generator<string> {
  const chance = chanceOf(seed);
  for (;;) {
    let line = pick(from, chance) ?? "";
    for (let more = Math.floor(chance.between(0, 3.3)); more > 0; more--) {
      line = (pick(CHANGES, chance) ?? field)(line, chance);
    }
    // Line ends within are lines of their own; a datagram or a pipe bears them.
    yield line.slice(0, 2000);
  }
}
