/**
 * Millions of sentences through the daemon's ports as fast as they are taken, among them whatever a wire makes of
 * sentences, while displays come, go and stall: memory, descriptors, listeners and timers must stay flat. By hand:
 *   SOAK_SENTENCES=1e7 nice -n 15 npx vitest run --config tests/bench/vitest.config.ts soak
 */
import { readdirSync } from "node:fs";
import { connect, type Socket } from "node:net";
import { fileURLToPath } from "node:url";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import { handled, type LiveChild, startChild, T0_MS } from "./live-child.ts";
import { flood, secondOf, tagged } from "./live-lines.ts";
import { asTable, type BenchRow } from "./row.ts";

const SECONDS_AT_ONCE = 10;
/** Of a busy bus, beside the nine of a small boat. */
const MORE_A_SECOND = 90;
const BLOCKS_A_VISIT = 40;
const LOOKS = 10;

/** The same every time (a linear congruential generator after Numerical Recipes), in [0, 1). */
function createChance(): () => number {
  let state = 12_345;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

/** One line that is wrong in one of the ways of a wire, or right and meant for nobody. */
function spoilt(line: string, chance: () => number): string {
  const at = Math.floor(chance() * line.length);
  const kinds = [
    () => line.slice(0, at),
    () => line.slice(at),
    () => line + line.slice(0, at),
    () => line.slice(0, at) + String.fromCharCode(Math.floor(256 * chance())) + line.slice(at + 1),
    () => `\\g:1-2-${at},s:x*00\\${line}`,
    () => "A".repeat(5000 * chance()),
    () => seal(`IIACN,,RDW,${10801 + (at % 21)},1,${"AQSO"[at % 4]},C`),
    () => seal(`IIXDR,${",".repeat(at % 40)}`),
    () => seal(`PRDW,KEEPOFF,${at},T,50.0,M,Rock ${at}`),
    () => seal(`${"AEIOU"[at % 5]}XZZ${at % 10},1,2`),
  ];
  return kinds[Math.floor(chance() * kinds.length)]?.() ?? line;
}

/** The second's nine, a third of them spoilt besides, and the busy bus. */
function secondsText(from: number, count: number, chance: () => number): { text: string; lines: number } {
  let text = "";
  let lines = 0;
  for (let i = from; i < from + count; i++) {
    const good = secondOf(i);
    text += tagged(i, good) + flood(i, 0, MORE_A_SECOND);
    const tag = tagBlock(T0_MS + i * 1000, "bus");
    const bad = good.filter(() => chance() < 1 / 3).map((line) => spoilt(line, chance));
    text += bad.map((line) => `${chance() < 0.5 ? tag : ""}${line}\r\n`).join("");
    lines += good.length + MORE_A_SECOND + bad.length;
  }
  return { text, lines };
}

/** A display that reads for a while, stalls, or says half a sentence, and is gone. */
function visit(address: string, n: number): void {
  const socket: Socket = connect({ host: "127.0.0.1", port: Number(address.split(":").at(-1)) });
  socket.on("error", () => {});
  if (n % 3 === 0) socket.pause();
  else socket.resume();
  socket.write(n % 2 === 0 ? "$SDDPT,4." : "\\s:x");
  setTimeout(() => socket.destroy(), 400);
}

interface Look {
  residentMB: number;
  heapMB: number;
  descriptors: number;
  listeners: number;
  timers: number;
}

async function look(child: LiveChild): Promise<Look> {
  const told = new Promise<{ heapMB: number; listeners: number; timers: number }>((resolve) =>
    child.process.once("message", (message) => resolve(message as Look)),
  );
  child.process.send("look");
  const descriptors = readdirSync(`/proc/${child.process.pid}/fd`).length;
  return { ...(await told), residentMB: child.residentMB(), descriptors };
}

export async function soakRows(sentences: number): Promise<BenchRow[]> {
  const probe = fileURLToPath(new URL("soak-probe.mjs", import.meta.url));
  const child = await startChild({ withWire: true, before: ["--import", probe] });
  const chance = createChance();
  const rows: BenchRow[] = [];
  const begunMs = performance.now();
  child.bus.write(
    tagged(1, [...secondOf(1), seal("PRDW,LETGO"), seal("PRDW,RODE,40,M"), seal("PRDW,BROUGHTUP")]),
  );
  let [said, at, visits] = [0, 2, 0];
  for (let turn = 0; turn <= LOOKS; turn++) {
    while (said < (sentences * turn) / LOOKS) {
      const { text, lines } = secondsText(at, SECONDS_AT_ONCE, chance);
      said += lines;
      at += SECONDS_AT_ONCE;
      if (++visits % BLOCKS_A_VISIT === 0) visit(child.displayAddress, visits / BLOCKS_A_VISIT);
      if (!child.bus.write(text)) await new Promise((resolve) => child.bus.once("drain", resolve));
    }
    await handled(child, tagged(at, [seal("PRDW,EXPECT,20,N")]));
    // Visitors of the last moment have gone, and their connections with them.
    await new Promise((resolve) => setTimeout(resolve, 1500));
    const seen = await look(child);
    const when = `after ${(said / 1e6).toFixed(2)} million`;
    const seenRows: BenchRow[] = [
      { name: `resident memory ${when}`, value: seen.residentMB, unit: "MB", must: 110 },
      { name: `heap ${when}`, value: seen.heapMB, unit: "MB" },
      { name: `descriptors ${when}`, value: seen.descriptors, unit: "" },
      { name: `listeners ${when}`, value: seen.listeners, unit: "" },
      { name: `timers ${when}`, value: seen.timers, unit: "" },
    ];
    process.stdout.write(asTable(seenRows));
    rows.push(...seenRows);
  }
  rows.push({ name: "displays come and gone", value: Math.floor(visits / BLOCKS_A_VISIT), unit: "" });
  rows.push({ name: "took", value: (performance.now() - begunMs) / 1000, unit: "s" });
  await child.stop();
  return rows;
}
