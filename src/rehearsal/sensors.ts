/** Compass, wind vane, sounder and log: the truth with the bias and noise that such instruments have. */
import { lengthOf, type Vector, vectorOf, wrap360 } from "../units/angle.ts";
import { toKn } from "../units/speed.ts";
import type { Boat } from "./boat.ts";
import { type Chance, wander } from "./chance.ts";
import { dot, minus } from "./plane.ts";

export interface SensorForm {
  /** Easterly variation, degrees. */
  variationDeg: number;
  headingBiasDeg: number;
  vaneBiasDeg: number;
  /** Noise of heading, degrees, and of depth, metres. */
  headingSdDeg: number;
  depthSdM: number;
}

/** Biases drawn within ±4°; these and the noises are our own judgement of small-boat instruments. */
export function sensorsOf(chance: Chance): SensorForm {
  return {
    variationDeg: 0.8,
    headingBiasDeg: chance.between(-4, 4),
    vaneBiasDeg: chance.between(-4, 4),
    headingSdDeg: 1.5,
    depthSdM: 0.05,
  };
}

export interface Readings {
  headingMagneticDeg: number;
  variationDeg: number;
  apparentDeg: number;
  apparentKn: number;
  belowTransducerM: number;
  transducerM: number;
  waterSpeedKn: number;
}

export interface Surface {
  air: Vector;
  stream: Vector;
  depthM: number;
  transducerM: number;
}

/** The instruments second by second: call once for each, in order. */
export function sense(form: SensorForm, chance: Chance): (boat: Boat, surface: Surface) => Readings {
  let headingNoise = 0;
  let vaneNoise = 0;
  return (boat, { air, stream, depthM, transducerM }) => {
    const ahead = vectorOf(1, boat.headingDeg);
    const flow = minus(air, boat.velocity);
    const speedKn = toKn(lengthOf(flow));
    headingNoise = wander(headingNoise, form.headingSdDeg, 3, 1, chance);
    vaneNoise = wander(vaneNoise, speedKn < 4 ? 8 : 2.5, 4, 1, chance);
    // The wind comes from the other side of its flow.
    const fromDeg = (Math.atan2(-flow.east, -flow.north) * 180) / Math.PI;
    return {
      headingMagneticDeg: wrap360(boat.headingDeg + form.headingBiasDeg + headingNoise - form.variationDeg),
      variationDeg: form.variationDeg,
      apparentDeg: wrap360(fromDeg - boat.headingDeg + form.vaneBiasDeg + vaneNoise),
      apparentKn: Math.max(0, speedKn * (1 + 0.02 * chance.normal())),
      belowTransducerM: Math.max(0.1, depthM - transducerM + form.depthSdM * chance.normal()),
      transducerM,
      waterSpeedKn: Math.max(0, toKn(dot(minus(boat.velocity, stream), ahead))),
    };
  };
}
