/** Tide: how much it has still to rise or fall where the boat lies. */

/**
 * Rise still to come of the rise that was told when the depth was `depthWhenToldM` (m). Never below 0: a tide
 * that has risen further than told has no more to say.
 */
export function riseToComeM(toldM: number, depthNowM: number, depthWhenToldM: number): number {
  return Math.max(0, toldM - (depthNowM - depthWhenToldM));
}

/** Share of the range that the tide has moved after a share of the time from one turn to the next: (1 − cos πs)/2. */
export function cosineShare(timeShare: number): number {
  return (1 - Math.cos(Math.PI * Math.min(1, Math.max(0, timeShare)))) / 2;
}

/** The same by the rule of twelfths (1, 2, 3, 3, 2, 1), straight between the sixths: the cross-check. */
export function twelfthsShare(timeShare: number): number {
  const sixths = 6 * Math.min(1, Math.max(0, timeShare));
  const done = [0, 1, 3, 6, 9, 11, 12];
  const whole = Math.min(5, Math.floor(sixths));
  const from = done[whole] ?? 0;
  const to = done[whole + 1] ?? 12;
  return (from + (to - from) * (sixths - whole)) / 12;
}

/** One turn of the tide to the next, as the tables give it; which comes first does not matter. */
export interface TideTimes {
  highMs: number;
  lowMs: number;
  rangeM: number;
}

/**
 * Height above low water at an instant. Beyond the two times the tide is taken to go on with the same range and
 * the same half period, which is good for the tide before and after and no further. Undefined when both times
 * are the same.
 */
export function heightAboveLowM({ highMs, lowMs, rangeM }: TideTimes, atMs: number): number | undefined {
  const halfMs = Math.abs(highMs - lowMs);
  if (!(halfMs > 0)) return undefined;
  return rangeM * ((1 + Math.cos((Math.PI * (atMs - highMs)) / halfMs)) / 2);
}

/** Rise from now to the next high water. */
export function riseByTimesM(tide: TideTimes, atMs: number): number | undefined {
  const heightM = heightAboveLowM(tide, atMs);
  return heightM === undefined ? undefined : tide.rangeM - heightM;
}

/** Depth to expect at the next low water, from the depth now at this instant. May be below 0: it dries. */
export function depthAtLowM(tide: TideTimes, depthNowM: number, atMs: number): number | undefined {
  const heightM = heightAboveLowM(tide, atMs);
  return heightM === undefined ? undefined : depthNowM - heightM;
}

/**
 * Least depth from now until an instant (anchor up, or the morning): the low water if one falls in that time,
 * else the lesser of now and then.
 */
export function leastDepthM(
  tide: TideTimes,
  depthNowM: number,
  atMs: number,
  untilMs: number,
): number | undefined {
  const nowM = heightAboveLowM(tide, atMs);
  const thenM = heightAboveLowM(tide, untilMs);
  if (nowM === undefined || thenM === undefined) return undefined;
  const periodMs = 2 * Math.abs(tide.highMs - tide.lowMs);
  const nextLowMs = tide.lowMs + Math.ceil((atMs - tide.lowMs) / periodMs) * periodMs;
  const leastM = nextLowMs <= untilMs ? 0 : Math.min(nowM, thenM);
  return depthNowM - nowM + leastM;
}

/** A high or a low water: heights are above one datum, whichever it is. */
export interface TideTurn {
  atMs: number;
  heightM: number;
}

/** What a table of turns says at an instant. Undefined beyond its ends: nothing is read into a table. */
export interface TideByTable {
  heightM: number;
  /** To the next high water; to a higher one after it where that comes within 13 hours. Undefined: none is told. */
  riseToComeM: number | undefined;
  /** The same down to low water. */
  fallToComeM: number | undefined;
}

/** One night lies to a whole tide: the two highs, or lows, of it. */
const AHEAD_MS = 13 * 3_600_000;

/** No more turns than this come in that time. */
const TURNS_AHEAD = 6;

/** @param turns in order of time, highs and lows in turn; a cosine from each to the next */
export function tideByTable(turns: readonly TideTurn[], atMs: number): TideByTable | undefined {
  const heightM = heightByTableM(turns, atMs);
  if (heightM === undefined) return undefined;
  const next = firstAfter(turns, atMs);
  const rising = (turns[next]?.heightM ?? 0) > (turns[next - 1]?.heightM ?? 0);
  const ahead = turns.slice(next, next + TURNS_AHEAD);
  const most = farthest(
    ahead.filter((_, i) => (i % 2 === 0) === rising),
    atMs,
    Math.max,
  );
  const least = farthest(
    ahead.filter((_, i) => (i % 2 === 0) !== rising),
    atMs,
    Math.min,
  );
  return {
    heightM,
    riseToComeM: most === undefined ? undefined : Math.max(0, most - heightM),
    fallToComeM: least === undefined ? undefined : Math.max(0, heightM - least),
  };
}

/** Height above the table's datum; undefined beyond its ends: the last turn told begins a tide that is not. */
export function heightByTableM(turns: readonly TideTurn[], atMs: number): number | undefined {
  const next = firstAfter(turns, atMs);
  const [from, to] = [turns[next - 1], turns[next]];
  if (from === undefined || to === undefined) return undefined;
  const share = cosineShare((atMs - from.atMs) / (to.atMs - from.atMs));
  return from.heightM + (to.heightM - from.heightM) * share;
}

/** Place of the first turn after an instant, by halving: a year's table is walked each second. */
function firstAfter(turns: readonly TideTurn[], atMs: number): number {
  let [low, high] = [0, turns.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((turns[middle]?.atMs ?? 0) > atMs) high = middle;
    else low = middle + 1;
  }
  return low;
}

function farthest(
  turns: readonly TideTurn[],
  atMs: number,
  of: (...heights: number[]) => number,
): number | undefined {
  const [first] = turns;
  if (first === undefined) return undefined;
  const within = turns.filter((turn) => turn.atMs - atMs <= AHEAD_MS);
  return of(first.heightM, ...within.map(({ heightM }) => heightM));
}
