import { expect } from "vitest";
import type { Second } from "../../src/rehearsal/rehearsal.ts";
import { tautReachM } from "../../src/rehearsal/rode-law.ts";
import { rehearsalOf } from "../../src/rehearsal/scenes.ts";
import { distanceM } from "../../src/units/position.ts";

const kept = new Map<string, { seconds: Second[]; cpuS: number }>();

function play(name: string, seed: number, forS: number): { seconds: Second[]; cpuS: number } {
  const key = `${name}/${seed}/${forS}`;
  const before = kept.get(key);
  if (before) return before;
  const rehearsal = rehearsalOf(name, seed);
  if (!rehearsal) throw new Error(`no scene "${name}"`);
  const begin = process.cpuUsage();
  const seconds: Second[] = [];
  for (let second = rehearsal.next(); second; second = rehearsal.next()) {
    seconds.push(second);
    if (seconds.length === forS) break;
  }
  const { user, system } = process.cpuUsage(begin);
  const now = { seconds, cpuS: (user + system) / 1e6 };
  kept.set(key, now);
  return now;
}

/** A scene played to its end, or for so many seconds; once for all tests of a file. */
export function played(name: string, seed: number, forS = Number.POSITIVE_INFINITY): Second[] {
  return play(name, seed, forS).seconds;
}

/** Processor time that playing a scene to its end took, seconds: unlike the clock's, it bears a busy machine. */
export function playedInS(name: string, seed: number): number {
  return play(name, seed, Number.POSITIVE_INFINITY).cpuS;
}

/** Distance of the roller past a straight, unstretched rode, metres; negative inside, or without an anchor. */
export function pastTautM({ truth }: Second): number {
  if (truth.anchor === undefined || truth.heightM === undefined) return Number.NEGATIVE_INFINITY;
  return distanceM(truth.anchor, truth.boat) - tautReachM(truth.rodeM, truth.heightM);
}

/** The softest rode that is drawn would be twice its length at 40 kN. */
const SOFTEST_N = 40e3;

/** Fails where she lies further out than a straight rode and its stretch; 2 cm for a step's lag. */
export function expectHeld(seconds: readonly Second[]): void {
  for (const second of seconds) {
    const { pullN, rodeM, draggedM, anchor } = second.truth;
    const pastM = pastTautM(second);
    if (anchor === undefined || draggedM > 0) throw new Error(`not held at ${second.atMs}`);
    if (pastM > (pullN * rodeM) / SOFTEST_N + 0.02) throw new Error(`${pastM} m past, at ${second.atMs}`);
  }
}

/** Fails unless a scene was played to the end that it promises, with its acts in order and a summary. */
export function expectWhole(name: string, seconds: readonly Second[]): void {
  const rehearsal = rehearsalOf(name, 1);
  expect(seconds).toHaveLength(rehearsal?.lengthS ?? 0);
  expect(seconds[0]?.atMs).toBe(rehearsal?.startMs);
  expect(new Date(rehearsal?.startMs ?? 0).toISOString().slice(0, 7)).toBe("2026-06");
  const said = seconds.flatMap((second) => second.said);
  expect(said.some((line) => /^anchor let go in \d/.test(line))).toBe(true);
  expect(said.at(-1)).toMatch(/^end of the scene/);
  for (const line of said) expect(line).not.toMatch(/\n|NaN|undefined/);
  const verbs = seconds.flatMap(acts).map((act) => act.split(",")[0]);
  expect(verbs.indexOf("LETGO")).toBeGreaterThan(-1);
  expect(verbs.indexOf("BROUGHTUP")).toBeGreaterThan(verbs.indexOf("LETGO"));
}

/** The sentence behind the TAG block: address and fields, by its formatter (`RMC`, or `PRDW`). */
export function sentence(line: string): { id: string; fields: string[] } {
  const body = line.slice(line.lastIndexOf("\\") + 2, line.lastIndexOf("*"));
  const [address = "", ...fields] = body.split(",");
  return { id: address.startsWith("P") ? address : address.slice(2), fields };
}

/** One sentence of a second by its formatter. */
export function heard(second: Second, id: string): string[] | undefined {
  return second.lines.map(sentence).find((one) => one.id === id)?.fields;
}

export function acts(second: Second): string[] {
  return second.lines
    .filter((line) => /\$(PRDW|IIACN),/.test(line))
    .map(sentence)
    .map(({ id, fields }) => (id === "PRDW" ? fields.join(",") : `ACN ${fields[2]}`));
}

/** `ddmm.mmmm` and its hemisphere, read independently of the code that writes them. */
export function degrees(text: string, hemisphere: string): number {
  const point = text.indexOf(".");
  const value = Number(text.slice(0, point - 2)) + Number(text.slice(point - 2)) / 60;
  return hemisphere === "S" || hemisphere === "W" ? -value : value;
}
