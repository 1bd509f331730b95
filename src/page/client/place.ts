/** A place told by bearing and distance from the boat, as the daemon wants it: latitude and longitude. Pure. */
import type { BoatState } from "../boat-state.ts";
import { pointAt } from "./frame.ts";
import { M_PER_LAT_DEG } from "./plan-grid.ts";
import { metresPer, type Units } from "./wording.ts";

/**
 * @param range a length in the viewer's unit, "50 m"
 * @returns undefined where the boat's own place is not known
 */
export function placeFrom(
  { lat, lon }: BoatState["position"],
  bearingDeg: number,
  range: string,
  units: Units,
): { lat: number; lon: number } | undefined {
  if (lat === null || lon === null) return undefined;
  const { northM, eastM } = pointAt(bearingDeg, Number.parseFloat(range) * metresPer(units));
  const perLonDegM = M_PER_LAT_DEG * Math.cos((lat * Math.PI) / 180);
  return { lat: lat + northM / M_PER_LAT_DEG, lon: lon + eastM / perLonDegM };
}
