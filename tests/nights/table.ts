/** Nights played, as a table: false alarms a year with their interval, and how soon each kind of drag was told. */
import { DRAGS } from "../../src/rehearsal/nights/night.ts";
import type { NightResult, Raised } from "./play.ts";

const YEAR_NIGHTS = 365;
const NIGHT_H = 10;

export function tableOf(results: readonly NightResult[]): string {
  const faulty = results.filter(({ kind }) => "fault" in kind.event);
  const others = results.filter(({ kind }) => !("fault" in kind.event));
  const errors = results.filter(({ arcDeg }) => arcDeg >= 90).flatMap(({ anchorErrorM: m }) => m ?? []);
  return [
    `| false alarms, all weathers | ${rate(others, (r) => r.falseAlarms.length)} |`,
    `| … of these by the circle | ${rate(others, (r) => r.falseAlarms.filter((f) => f.key === "outside-circle").length)} |`,
    `| false alarms, fault nights | ${rate(faulty, (r) => r.falseAlarms.length)} |`,
    `| early warnings | ${rate(others, (r) => r.falseWarnings.length)} |`,
    ...DRAGS.map((drag) =>
      dragRow(
        drag,
        results.filter(({ kind }) => "drag" in kind.event && kind.event.drag === drag),
      ),
    ),
    `| dragged 100 m or further before the alarm, or missed | ${farBefore(results)} |`,
    `| anchor's place after 90 degrees of arc, median error | ${quantile(errors, 0.5).toFixed(1)} m of ${errors.length} |`,
  ].join("\n");
}

/** So many in so many nights of ten hours, for a year, with the exact 95 % Poisson interval. */
function rate(results: readonly NightResult[], countOf: (result: NightResult) => number): string {
  const nights = results.reduce((sum, { hours }) => sum + hours, 0) / NIGHT_H;
  const count = results.reduce((sum, result) => sum + countOf(result), 0);
  if (nights === 0) return "–";
  const perYear = (n: number) => ((n * YEAR_NIGHTS) / nights).toFixed(1);
  const [low, high] = poissonInterval(count);
  return `${perYear(count)} (${perYear(low)}–${perYear(high)}); ${count} in ${nights.toFixed(0)} nights`;
}

const FAR_M = 100;

function farBefore(results: readonly NightResult[]): string {
  const drags = results.flatMap(({ drag }) => drag ?? []);
  const far = drags.filter(({ alarm, wentM }) => (alarm?.movedM ?? wentM) >= FAR_M);
  return `${far.length} of ${drags.length}`;
}

function dragRow(drag: string, results: readonly NightResult[]): string {
  const drags = results.flatMap(({ drag: one }) => one ?? []);
  const told = (of: "alarm" | "early") => drags.map((one) => ({ from: one.atS, by: one[of] }));
  const cell = (of: "alarm" | "early") => {
    const seconds = told(of).map(({ from, by }) => delayS(from, by));
    const metres = told(of).map(({ by }) => by?.movedM ?? Number.POSITIVE_INFINITY);
    const missed = seconds.filter((s) => !Number.isFinite(s)).length;
    const share = missed === 0 ? "" : ` (${((100 * missed) / drags.length).toFixed(0)} % missed)`;
    return `${whole(seconds, 0.5)} / ${whole(seconds, 0.95)} s, ${whole(metres, 0.5)} / ${whole(metres, 0.95)} m${share}`;
  };
  return `| ${drag}, ${drags.length} drags: alarm; early | ${cell("alarm")}; ${cell("early")} |`;
}

function delayS(fromS: number, by: Raised | undefined): number {
  return by === undefined ? Number.POSITIVE_INFINITY : by.atS - fromS;
}

function whole(values: readonly number[], share: number): string {
  const value = quantile(values, share);
  return Number.isFinite(value) ? value.toFixed(0) : "–";
}

/** By rank; NaN of nothing. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

/** Exact 95 % limits of a Poisson mean from a count (Garwood 1936), by halving. */
export function poissonInterval(count: number): [low: number, high: number] {
  const atMost = (mean: number, n: number) => {
    let term = Math.exp(-mean);
    let sum = term;
    for (let i = 1; i <= n; i++) {
      term *= mean / i;
      sum += term;
    }
    return sum;
  };
  const solve = (isBelow: (mean: number) => boolean) => {
    let low = 0;
    let high = 10 + 3 * count;
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (isBelow(middle)) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
  const lower = count === 0 ? 0 : solve((mean) => 1 - atMost(mean, count - 1) < 0.025);
  return [lower, solve((mean) => atMost(mean, count) > 0.025)];
}
