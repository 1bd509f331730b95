/** The wind of a scene: a profile, and on it slow swings, minutes, gusts and single puffs. */
import type { Vector } from "../units/angle.ts";
import { vectorOf, wrap360 } from "../units/angle.ts";
import { fromKn } from "../units/speed.ts";
import { type Chance, wander } from "./chance.ts";
import { type Profile, profileAt, times } from "./plane.ts";

export interface WindForm {
  /** Mean speed, knots. */
  speedKn: Profile;
  /** Where it blows from, degrees true; not wrapped, so that a profile can say which way round it goes. */
  fromDeg: Profile;
  /** Swings as shares of the mean: over 45 min, over 4 min, over 22 s. */
  slowShare: number;
  minuteShare: number;
  gustShare: number;
  /** Single puffs, one in so many seconds on average, so strong as a share of the mean. */
  puffEveryS: number;
  puffShare: readonly [least: number, most: number];
  /** Standard deviation of the direction, degrees; it forgets itself in 15 min. */
  wanderDeg: number;
}

export interface Wind {
  speedMps: number;
  fromDeg: number;
}

const SLOW_S = 45 * 60;
const MINUTE_S = 4 * 60;
const GUST_S = 22;
const WANDER_S = 15 * 60;

/** A steady breeze's swings, as a form to take from. Sizes and times are our own judgement, not measured. */
export const STEADY = {
  slowShare: 0.05,
  minuteShare: 0.05,
  gustShare: 0.07,
  puffEveryS: 400,
  puffShare: [0.1, 0.2],
  wanderDeg: 5,
} as const satisfies Omit<WindForm, "speedKn" | "fromDeg">;

interface Puff {
  fromS: number;
  lengthS: number;
  share: number;
}

/** The wind second by second: call once for each, in order. */
export function weatherOf(form: WindForm, chance: Chance): (atS: number) => Wind {
  let slow = form.slowShare * chance.normal();
  let minute = 0;
  let gust = 0;
  let veer = form.wanderDeg * chance.normal();
  let puff: Puff = { fromS: Number.NEGATIVE_INFINITY, lengthS: 1, share: 0 };
  return (atS) => {
    slow = wander(slow, form.slowShare, SLOW_S, 1, chance);
    minute = wander(minute, form.minuteShare, MINUTE_S, 1, chance);
    gust = wander(gust, form.gustShare, GUST_S, 1, chance);
    veer = wander(veer, form.wanderDeg, WANDER_S, 1, chance);
    if (atS >= puff.fromS + puff.lengthS && chance.uniform() < 1 / form.puffEveryS) {
      puff = { fromS: atS, lengthS: chance.between(20, 60), share: chance.between(...form.puffShare) };
    }
    const swing = 1 + slow + minute + gust + puffAt(puff, atS);
    return {
      speedMps: Math.max(0, fromKn(profileAt(form.speedKn, atS)) * swing),
      fromDeg: wrap360(profileAt(form.fromDeg, atS) + veer),
    };
  };
}

function puffAt(puff: Puff, atS: number): number {
  const through = (atS - puff.fromS) / puff.lengthS;
  return through < 0 || through > 1 ? 0 : puff.share * Math.sin(Math.PI * through) ** 2;
}

/** The wind as the velocity of the air. */
export function airVelocity(wind: Wind): Vector {
  return times(vectorOf(wind.speedMps, wind.fromDeg), -1);
}
