/**
 * What the past teaches: the anchor's place, the reach, and how far she wanders. Only from what is some minutes
 * old, was loaded, and was not suspicious when it became old enough: so a drag teaches nothing.
 */
import { SECOND_MS } from "../units/time.ts";
import { expectedM, loosen, teach } from "./anchor-fit.ts";
import type { Hold } from "./drag-state.ts";
import { COARSE_S, FINE_S, lieFor } from "./drag-test.ts";
import { lieOver } from "./lie-history.ts";
import type { ReceiverProfile } from "./receiver.ts";
import {
  BEND_LAG_S,
  grown,
  learnBend,
  learnWay,
  learnWindow,
  type Spread,
  strangerShare,
  WINDOWS_S,
  wanderSdM,
} from "./spread.ts";
import { steadySdM } from "./velocity-worth.ts";

const LEAST_DELAY_S = 300;
const MOST_DELAY_S = 1800;
const AT_ONCE = 2;

/** After each coarse bin: teaches the bins that have become old enough. In place. */
export function learnFromPast(hold: Hold, profile: ReceiverProfile, atMs: number): void {
  const ridingS = (atMs - (hold.ridingMs ?? atMs)) / SECOND_MS;
  const delayS = Math.min(MOST_DELAY_S, Math.max(LEAST_DELAY_S, ridingS / 2));
  const until = hold.lie.coarse.count - Math.round(delayS / COARSE_S);
  for (let i = 0; i < AT_ONCE && hold.taught < until; i++) {
    if (!hold.suspicious.on && hold.tier.alarm === undefined) teachBin(hold, profile, hold.taught);
    hold.taught++;
  }
}

const LOADED = 0.5;
/** A slow error of the receiver's is one measurement for about this long. */
const MEASURE_TAU_S = 300;
/** The reach changes a little with what the sea does: m² an hour for c, and hardly for the place. */
const REACH_MEAN_S = 3600;
const REACH_VAR_PER_H = 0.5;
const PLACE_VAR_PER_H = 0.05;

function teachBin(hold: Hold, { spread, velocity }: ReceiverProfile, bin: number): void {
  const { coarse } = hold.lie;
  const back = coarse.count - 1 - bin;
  const last = lieOver(coarse, 1, back);
  if (last === undefined || last.loaded < LOADED) return;
  WINDOWS_S.forEach((windowS, index) => {
    const past = lieOver(coarse, windowS / COARSE_S, back);
    if (past !== undefined) learnWindow(spread, index, past.excessM - expectedM(hold.fit, past), COARSE_S);
  });
  const hours = COARSE_S / 3600;
  loosen(hold.fit, REACH_VAR_PER_H * hours, PLACE_VAR_PER_H * hours);
  const gapM = hold.reachM - (hold.taughtReachM ?? hold.reachM);
  hold.taughtReachM = (hold.taughtReachM ?? hold.reachM) + (gapM * COARSE_S) / REACH_MEAN_S;
  if (hold.loadN !== undefined) {
    const ratio = hold.loadN / (hold.taughtLoadN ?? hold.loadN);
    hold.taughtLoadN = (hold.taughtLoadN ?? hold.loadN) * ratio ** (COARSE_S / REACH_MEAN_S);
  }
  teach(hold.fit, last, last.excessM, measureVar(spread, steadySdM(velocity)));
  grown(spread, COARSE_S);
  const way = lieOver(coarse, WAY_BINS, back);
  if (way !== undefined && hold.wayS > (back + WAY_BINS) * COARSE_S)
    learnWay(spread, way.wayM, WAY_BINS * COARSE_S, COARSE_S);
}

/** Of one coarse bin, m². */
function measureVar(spread: Spread, steadyM: number | undefined): number {
  return (2 * MEASURE_TAU_S * wanderSdM(spread, false) ** 2 * strangerShare(spread, steadyM)) / COARSE_S;
}

const WAY_BINS = 3;
const BEND_DELAY_S = 120;
const BEND_MEAN_S = 20;

/** Every so many seconds: how sharply the excess bends, some minutes ago. In place. */
export function learnLiveliness(hold: Hold, spread: Spread): void {
  const meanAt = (backS: number) => {
    const mean = lieFor(hold.lie, BEND_MEAN_S, backS);
    return mean === undefined || mean.loaded < LOADED ? undefined : mean.excessM - expectedM(hold.fit, mean);
  };
  const a = meanAt(BEND_DELAY_S);
  const b = meanAt(BEND_DELAY_S + BEND_LAG_S);
  const c = meanAt(BEND_DELAY_S + 2 * BEND_LAG_S);
  if (a === undefined || b === undefined || c === undefined) return;
  const calm = !hold.suspicious.on && hold.tier.alarm === undefined;
  learnBend(spread, a - 2 * b + c, BEND_EVERY_BINS * FINE_S, calm);
}

export const BEND_EVERY_BINS = 4;
