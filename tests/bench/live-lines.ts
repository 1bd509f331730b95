/** What the bench says to the daemon. */
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import { positionFields } from "../../src/rehearsal/sentences.ts";
import { T0_MS } from "./live-child.ts";

/** Nine sentences of one second, no two seconds alike. */
export function secondOf(i: number): string[] {
  const at = new Date(T0_MS + i * 1000).toISOString();
  const time = `${at.slice(11, 19).replaceAll(":", "")}.00`;
  const date = `${at.slice(8, 10)}${at.slice(5, 7)}${at.slice(2, 4)}`;
  const place = positionFields({ latDeg: 54.4682 + 2e-5 * Math.sin(i / 60), lonDeg: 10.3821 }, 5);
  const swing = 20 * Math.sin(i / 45);
  return [
    `GPRMC,${time},A,${place},0.${i % 5},${(180 + swing).toFixed(1)},${date},,,A`,
    `GPGGA,${time},${place},1,09,0.9,2.8,M,46.9,M,,`,
    `GPVTG,${(180 + swing).toFixed(1)},T,,M,0.${i % 5},N,,K,A`,
    `SDDPT,${(6 + 0.2 * Math.sin(i / 300)).toFixed(1)},0.4`,
    `WIMWV,${(360 + swing).toFixed(1).replace(/^3[6-9]\d/, "012")},R,${(14 + (i % 7) / 2).toFixed(1)},N,A`,
    `HCHDT,${(270 + swing).toFixed(1)},T`,
    `IIVHW,,T,,M,0.${i % 3},N,,K`,
    `YXXDR,U,12.${i % 10},V,HOUSE`,
    `IIMTW,17.${i % 10},C`,
  ].map(seal);
}

/** Those of second `i` as the bus says them. */
export function tagged(i: number, sentences: readonly string[]): string {
  const tag = tagBlock(T0_MS + i * 1000, "bus");
  return sentences.map((sentence) => `${tag}${sentence}\r\n`).join("");
}

export const BATCHES = 100;

/** Sentences of a busy bus: as many distinct ones a second as asked for, a hundredth of a second's worth at a time. */
export function flood(i: number, batch: number, perBatch: number): string {
  const tag = tagBlock(T0_MS + i * 1000, "bus");
  let text = "";
  for (let k = 0; k < perBatch; k++) {
    const n = batch * perBatch + k;
    text += `${tag}${seal(`SDDBT,,f,${(6 + (n % 20) / 100).toFixed(2)},M,${n},F`)}\r\n`;
  }
  return text;
}

export function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
