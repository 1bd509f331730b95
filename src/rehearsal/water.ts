/** Depth, tide and stream of the invented anchorage. */
import { type Vector, vectorOf } from "../units/angle.ts";
import { fromKn } from "../units/speed.ts";
import { dot, type Profile, profileAt } from "./plane.ts";

export interface WaterForm {
  /** Depth at the place meant for the anchor when the scene begins, metres. */
  depthM: number;
  /** Metres deeper for each metre gone in the direction `deeperDeg`; 0 for a level bottom. */
  slope: number;
  deeperDeg: number;
  /** Height of the tide above the scene's beginning, metres. */
  tideM: Profile;
  /** Stream along `streamTowardDeg`, knots; below 0 it runs the other way. */
  streamKn: Profile;
  streamTowardDeg: number;
}

/** A level bottom without tide or stream, as a form to take from. */
export const STILL_WATER = {
  depthM: 6.6,
  slope: 0,
  deeperDeg: 0,
  tideM: [[0, 0]],
  streamKn: [[0, 0]],
  streamTowardDeg: 60,
} as const satisfies WaterForm;

/** Depth at a point of the plane (metres from the place meant for the anchor). */
export function depthAt(form: WaterForm, atS: number, point: Vector): number {
  const downhillM = dot(point, vectorOf(1, form.deeperDeg));
  return Math.max(0.3, form.depthM + profileAt(form.tideM, atS) + form.slope * downhillM);
}

/** Velocity of the water, m/s. */
export function streamAt(form: WaterForm, atS: number): Vector {
  return vectorOf(fromKn(profileAt(form.streamKn, atS)), form.streamTowardDeg);
}
