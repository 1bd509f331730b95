/**
 * From the statistic to what is said: caution on the page, warning, alarm. A warning may go away; an alarm is
 * answered, never cleared by itself.
 */
import type { Picture } from "../instruments/picture.ts";
import { directionOf } from "../units/angle.ts";
import { formatClock, MINUTE_MS, SECOND_MS } from "../units/time.ts";
import type { DragState, Hold, Tier } from "./drag-state.ts";
import { ALARM_Z } from "./drag-test.ts";
import type { Finding } from "./finding.ts";

/** The fast test has two witnesses, and needs more than one to say so. */
const FAST_ALARM = 5.5;
/** Shares of the alarm's threshold. */
const CAUTION = 0.55;
const WARNING = 0.72;
const WARNING_ENDS = 0.5;
const WARNING_HELD_MS = 15 * SECOND_MS;
const WARNING_OVER_MS = 2 * MINUTE_MS;
const LEAST_M = 3;
const LEAST_ALARM_M = 4.5;

/** A warning that nobody answers and that goes on growing. */
const GROWING_MS = 5 * MINUTE_MS;
const GROWN_M = 5;
const GROWN_SD = 2;
const GROWING = 0.9;

/** A new level so far out that somebody should look, in sigma of the place. */
const LEVEL_SD = 4;

/** The next tier after a test. */
export function judgeTier(hold: Hold, levelM: number, atMs: number): Tier {
  const { slow, fast, movedM, sdM, overS } = hold.result;
  const before = hold.tier;
  const strength = Math.max(slow / ALARM_Z, fast / FAST_ALARM);
  const tier: Tier = { ...before, strength, caution: strength >= CAUTION };
  if (before.alarm !== undefined) return tier;
  const fromMs = before.warning?.fromMs ?? atMs - overS * SECOND_MS;
  const far = movedM >= LEAST_M;
  if (movedM >= LEAST_ALARM_M && (strength >= 1 || hasGrown(before, strength, movedM, sdM, atMs)))
    return { ...tier, alarm: { atMs, fromMs } };
  const warns = far && strength >= WARNING;
  const level = levelM > LEAST_M + LEVEL_SD * sdM;
  return before.warning === undefined
    ? warningRises(tier, warns || level, movedM, fromMs, atMs)
    : warningEnds(tier, strength < WARNING_ENDS && !level, atMs);
}

function hasGrown({ warning }: Tier, strength: number, movedM: number, sdM: number, atMs: number): boolean {
  return (
    warning !== undefined &&
    atMs - warning.sinceMs >= GROWING_MS &&
    strength >= GROWING &&
    movedM >= warning.movedM + Math.max(GROWN_M, GROWN_SD * sdM)
  );
}

function warningRises(tier: Tier, over: boolean, movedM: number, fromMs: number, atMs: number): Tier {
  if (!over) return { ...tier, over: undefined };
  const since = tier.over ?? { sinceMs: atMs };
  if (atMs - since.sinceMs < WARNING_HELD_MS) return { ...tier, over: since };
  return { ...tier, over: undefined, under: undefined, warning: { sinceMs: atMs, movedM, fromMs } };
}

function warningEnds(tier: Tier, under: boolean, atMs: number): Tier {
  if (!under) return { ...tier, under: undefined };
  const since = tier.under ?? { sinceMs: atMs };
  if (atMs - since.sinceMs < WARNING_OVER_MS) return { ...tier, under: since };
  return { ...tier, under: undefined, warning: undefined };
}

/** What there is to say this second; undefined: nothing. */
export function draggingFinding(state: DragState, picture: Picture): Finding | undefined {
  const { hold } = state;
  if (hold?.ridingMs === undefined) return undefined;
  const { alarm, warning, caution } = hold.tier;
  if (alarm === undefined && warning === undefined && !caution) return undefined;
  const movedM = hold.result.movedM + (hold.level?.m ?? 0);
  const told = alarm ?? warning;
  if (told === undefined)
    return { key: "dragging", priority: "caution", text: "Watching: may be moving", amount: movedM };
  const priority = alarm === undefined ? "warning" : "alarm";
  return { key: "dragging", priority, text: textFor(hold, movedM, told.fromMs, picture), amount: movedM };
}

function textFor(hold: Hold, movedM: number, fromMs: number, picture: Picture): string {
  const since = formatClock(fromMs + (picture.utcOffsetMs ?? 0));
  if (Math.round(movedM) < 1) return `Had moved since ${since}. Check by eye`;
  const sdM = Math.max(1, Math.round(hold.result.sdM));
  const toward = directionOf(hold.result.u);
  const where = toward === undefined ? "" : ` toward ${bearing(toward)}`;
  return `Moved ${Math.round(movedM)} +-${sdM} m${where} since ${since}`;
}

function bearing(deg: number): string {
  return String(Math.round(deg) % 360).padStart(3, "0");
}
