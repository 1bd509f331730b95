/** The wind has turned from where the anchor was set. In: memory, mean wind, room; out: a finding. */
import type { Picture } from "../instruments/picture.ts";
import { turnDeg, wrap360 } from "../units/angle.ts";
import { bearingDeg, distanceM } from "../units/position.ts";
import { MINUTE_MS } from "../units/time.ts";
import type { Finding } from "./finding.ts";
import { isHeld, OFF } from "./latch.ts";
import type { WatchSettings } from "./settings.ts";
import type { KeepOff, WatchState } from "./state.ts";
import { directionText } from "./wording.ts";

const SHIFT_MS = MINUTE_MS;
const BACK_MS = 10 * MINUTE_MS;
const HYSTERESIS_DEG = 10;
/** A lighter air turns as it likes. */
const LEAST_WIND_MPS = 2.5;
const LEEWARD_DEG = 40;
/** A mark farther off than so many swing radii is not what wakes a sleeper. */
const NEAR_RADII = 3;

/** `state.latches` and `memory.setWindFromDeg` are brought up to date. */
export function windShift(
  state: WatchState,
  picture: Picture,
  radiusM: number | undefined,
  { shiftLimitDeg }: WatchSettings,
): Finding | undefined {
  const { memory, latches, stay } = state;
  if (stay.phase !== "riding") {
    latches["wind-shift"] = OFF;
    // Weighing given up is the same stay; a new one sets the wind anew.
    if (stay.phase !== "weighing") memory.setWindFromDeg = undefined;
    return undefined;
  }
  const mean = picture.wind === undefined ? undefined : picture.windMean;
  const fromDeg = mean !== undefined && mean.speedMps >= LEAST_WIND_MPS ? mean.fromDeg : undefined;
  memory.setWindFromDeg ??= fromDeg;
  const setDeg = memory.setWindFromDeg;
  const shiftDeg = fromDeg === undefined || setDeg === undefined ? undefined : turnDeg(setDeg, fromDeg);
  const truth = shiftDeg === undefined ? undefined : truthOf(Math.abs(shiftDeg), shiftLimitDeg);
  if (!isHeld(latches, "wind-shift", truth, { onMs: SHIFT_MS, offMs: BACK_MS }, picture.atMs))
    return undefined;
  if (shiftDeg === undefined || fromDeg === undefined)
    return {
      key: "wind-shift",
      priority: "caution",
      text: "Wind had shifted; none told now",
      amount: undefined,
    };
  const mark = markToLeeward(state, fromDeg, radiusM);
  const side = shiftDeg > 0 ? "veered" : "backed";
  const text = `Wind ${side} ${Math.abs(shiftDeg).toFixed(0)} deg to ${directionText(fromDeg)}`;
  return mark === undefined
    ? { key: "wind-shift", priority: "caution", text, amount: undefined }
    : {
        key: "wind-shift",
        priority: "warning",
        text: `${text}: ${mark.name} to leeward`.slice(0, 43),
        amount: undefined,
      };
}

function truthOf(shiftDeg: number, limitDeg: number): boolean | undefined {
  if (shiftDeg > limitDeg) return true;
  return shiftDeg < limitDeg - HYSTERESIS_DEG ? false : undefined;
}

function markToLeeward(
  { stay }: WatchState,
  fromDeg: number,
  radiusM: number | undefined,
): KeepOff | undefined {
  const { anchor, keepOffs } = stay;
  if (anchor === undefined || radiusM === undefined) return undefined;
  const downDeg = wrap360(fromDeg + 180);
  return keepOffs.find((mark) => {
    const deg = bearingDeg(anchor.position, mark.position);
    const isNear = distanceM(anchor.position, mark.position) <= NEAR_RADII * radiusM;
    return deg !== undefined && isNear && Math.abs(turnDeg(downDeg, deg)) <= LEEWARD_DEG;
  });
}
