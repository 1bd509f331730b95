/** Fine-tuning over a wished place: how much more rode would put the stern on it. In: stay, picture; out: metres. */

import type { Picture } from "../instruments/picture.ts";
import { toRad, turnDeg } from "../units/angle.ts";
import { bearingDeg, distanceM } from "../units/position.ts";
import { FIX_M } from "./anchor-position.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay } from "./state.ts";

export interface ToPlace {
  veerM: number;
  uncertaintyM: number;
}

const LEAST_M = 2;
const MOST_M = 25;
/** Farther aside than this no rode brings her there. */
const ASIDE_M = 8;

/** Undefined when she lies on it, or veering would not bring her there. */
export function toPlaceOf(
  { lie, anchor, phase }: Stay,
  { position, headingDeg }: Picture,
  { boat }: WatchSettings,
): ToPlace | undefined {
  if (phase !== "riding" || lie === undefined || anchor === undefined || boat.lengthM === undefined)
    return undefined;
  if (position === undefined || headingDeg === undefined) return undefined;
  const downDeg = bearingDeg(anchor.position, position.value);
  if (downDeg === undefined) return undefined;
  const farM = distanceM(position.value, lie);
  const offDeg = turnDeg(downDeg, bearingDeg(position.value, lie) ?? downDeg);
  const sternM = boat.lengthM - (boat.rollerToAntennaM ?? 0);
  const alongM = farM * Math.cos(toRad(offDeg)) - sternM;
  const asideM = Math.abs(farM * Math.sin(toRad(offDeg)));
  if (alongM < LEAST_M || alongM > MOST_M || asideM > ASIDE_M) return undefined;
  return { veerM: alongM, uncertaintyM: Math.hypot(FIX_M, asideM / 2) };
}
