/**
 * How she has lain, in bins of equal time: running sums in a ring, so that the mean over any window costs one
 * subtraction. Whole numbers (millimetres, ten-thousandths) keep the saved state small and the sums exact.
 */
import type { Vector } from "../units/angle.ts";

export interface LieRing {
  binS: number;
  /** Bins ever put in; the last one's sums are at (count − 1) % size. */
  count: number;
  /**
   * Running sums up to and with each bin: seconds, excess, direction, stretch reckoned, outward way by velocity,
   * loaded seconds.
   */
  seconds: number[];
  excess: number[];
  north: number[];
  east: number[];
  stretch: number[];
  way: number[];
  loaded: number[];
}

/** One second, or the sum of several. Excess, direction and stretch are summed over the seconds, unrounded. */
export interface LieSum {
  seconds: number;
  excess: number;
  north: number;
  east: number;
  stretch: number;
  way: number;
  loaded: number;
}

export const NO_LIE: LieSum = { seconds: 0, excess: 0, north: 0, east: 0, stretch: 0, way: 0, loaded: 0 };

const PER_M = 1000;
const PER_UNIT = 10_000;

export function emptyRing(binS: number, size: number): LieRing {
  const zeros = () => new Array<number>(size).fill(0);
  return {
    binS,
    count: 0,
    seconds: zeros(),
    excess: zeros(),
    north: zeros(),
    east: zeros(),
    stretch: zeros(),
    way: zeros(),
    loaded: zeros(),
  };
}

/** Adds one bin; a bin without any second in it (no fix) still takes its time. In place. */
export function pushBin(ring: LieRing, sum: LieSum): void {
  const size = ring.seconds.length;
  const last = (ring.count + size - 1) % size;
  const here = ring.count % size;
  const add = (sums: number[], by: number) => {
    sums[here] = (sums[last] ?? 0) + Math.round(by);
  };
  add(ring.seconds, sum.seconds);
  add(ring.excess, sum.excess * PER_M);
  add(ring.north, sum.north * PER_UNIT);
  add(ring.east, sum.east * PER_UNIT);
  add(ring.stretch, sum.stretch * PER_M);
  add(ring.way, sum.way * PER_M);
  add(ring.loaded, sum.loaded);
  ring.count++;
}

export interface LieMean {
  excessM: number;
  u: Vector;
  /** Reckoned for the loads she lay under, m. */
  stretchM: number;
  /** Outward way by the velocity over the whole window, m. */
  wayM: number;
  /** Shares of the window with a fix, and loaded. */
  known: number;
  loaded: number;
}

/** Mean over the `bins` bins that end `back` bins before the newest; undefined where there are not so many. */
export function lieOver(ring: LieRing, bins: number, back: number): LieMean | undefined {
  const size = ring.seconds.length;
  const to = ring.count - 1 - back;
  if (to - bins < 0 || back + bins >= size) return undefined;
  const a = (to - bins) % size;
  const b = to % size;
  const seconds = (ring.seconds[b] ?? 0) - (ring.seconds[a] ?? 0);
  const share = seconds / (bins * ring.binS);
  if (share < LEAST_KNOWN) return undefined;
  const per = (sums: number[], unit: number) => ((sums[b] ?? 0) - (sums[a] ?? 0)) / (unit * seconds);
  return {
    excessM: per(ring.excess, PER_M),
    u: { north: per(ring.north, PER_UNIT), east: per(ring.east, PER_UNIT) },
    stretchM: per(ring.stretch, PER_M),
    wayM: ((ring.way[b] ?? 0) - (ring.way[a] ?? 0)) / PER_M,
    known: share,
    loaded: per(ring.loaded, 1),
  };
}

/** A window with less than half its fixes says nothing. */
const LEAST_KNOWN = 0.5;
