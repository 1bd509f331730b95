/**
 * What the scenes share: the boat and the place, both invented. The figures here and in `boat-settings.ts` are
 * the same boat's; only what a receiver, a compass or a marked rode gets wrong is drawn by chance.
 */
import { vectorOf } from "../units/angle.ts";
import { fromKn } from "../units/speed.ts";
import type { Chance } from "./chance.ts";
import { receiverOf } from "./receiver.ts";
import type { Scene } from "./scene.ts";
import { sensorsOf } from "./sensors.ts";

/** Open water, and no charted anchorage. */
const PLACE = { latDeg: 50.4731, lonDeg: -0.2107 };

/** The boat, the place and her instruments: all of a scene but its name, time, weather and script. */
export type Setting = Omit<
  Scene,
  "name" | "about" | "startMs" | "lengthS" | "begin" | "wind" | "water" | "script"
>;

export function settingOf(chance: Chance): Setting {
  return {
    place: PLACE,
    hull: {
      massKg: 4200,
      lengthM: 9.2,
      draughtM: 0.8,
      aheadM2: 8,
      abeamM2: 11,
      rollerHeightM: 1.1,
      antennaAbaftM: 6,
      transducerM: 0.4,
      yawDeg: chance.between(20, 40),
      yawPeriodS: chance.between(50, 120),
    },
    rode: { chainM: 8, ropeM: 60, chainNPerM: 11.9, ropeNPerM: 0.11, stretchN: chance.between(40e3, 70e3) },
    rodeTruth: chance.between(0.98, 1.02),
    ground: { creepM: chance.between(0.5, 2.5), diggingN: 1000, holdingN: 9000 },
    receiver: { ...receiverOf("good", chance), courseFromKn: 0.2 },
    sensors: sensorsOf(chance),
  };
}

/** Coming up to the place against the wind, so far off. */
export function comingUp(windFromDeg: number, awayM: number, speedKn: number): Scene["begin"] {
  return { at: vectorOf(-awayM, windFromDeg), headingDeg: windFromDeg, speedMps: fromKn(speedKn) };
}
