/**
 * A receiver that hangs while its clock runs: the place stands to the last digit, yet speed and course say, to the
 * last digit as well, that she moves. In: each new fix with the motion told; out: since when, once the way she
 * should have gone is more than the place can hide. A place that stands at no speed is no sign: many receivers
 * hold it so at rest, and honest ones repeat themselves in steps of their last digit.
 */
import { SECOND_MS } from "../units/time.ts";
import type { Fix } from "./fixes.ts";
import type { Motion } from "./wind.ts";

export interface Standing {
  latDeg: number;
  lonDeg: number;
  sogMps: number;
  cogDeg: number | undefined;
  sinceMs: number;
  atMs: number;
}

const LEAST_MS = 15 * SECOND_MS;
/** A longer gap between fixes begins anew. */
const GAP_MS = 10 * SECOND_MS;
const LEAST_WAY_M = 2;
/** Steps of the last digit. */
const HIDDEN_STEPS = 3;
const M_PER_MINUTE = 1852;

const STILL_MPS = 0.1;

/** Without a course a receiver this slow says "still", not that she moves. */
export function saysStill({ sogMps, cogDeg }: Motion): boolean {
  return sogMps === 0 || (cogDeg === undefined && sogMps <= STILL_MPS);
}

/** The next state for a fix new at `atMs`. A fix without speed, or said to be still, stands for nothing. */
export function standingNow(
  before: Standing | undefined,
  { latDeg, lonDeg }: Pick<Fix, "latDeg" | "lonDeg">,
  motion: Motion | undefined,
  atMs: number,
): Standing | undefined {
  if (motion === undefined || saysStill(motion)) return undefined;
  const { sogMps, cogDeg } = motion;
  const same =
    before !== undefined &&
    atMs - before.atMs <= GAP_MS &&
    before.latDeg === latDeg &&
    before.lonDeg === lonDeg &&
    before.sogMps === sogMps &&
    before.cogDeg === cogDeg;
  return same ? { ...before, atMs } : { latDeg, lonDeg, sogMps, cogDeg, sinceMs: atMs, atMs };
}

/** Since when it hangs; undefined: it does not, or not for long enough to tell. */
export function hungSinceMs(
  standing: Standing | undefined,
  minuteDecimals: number,
): { sinceMs: number } | undefined {
  if (standing === undefined) return undefined;
  const { sinceMs, atMs, sogMps } = standing;
  const wayM = (sogMps * (atMs - sinceMs)) / SECOND_MS;
  const hiddenM = Math.max(LEAST_WAY_M, (HIDDEN_STEPS * M_PER_MINUTE) / 10 ** minuteDecimals);
  return atMs - sinceMs >= LEAST_MS && wayM > hiddenM ? { sinceMs } : undefined;
}
