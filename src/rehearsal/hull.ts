/**
 * What wind and water do to the hull. The boat is a point of mass at her bow roller with a heading; the forces
 * are squares of speed along and across her, with round coefficients.
 */
import { lengthOf, toRad, type Vector } from "../units/angle.ts";
import { minus, plus, times } from "./plane.ts";

export interface HullForm {
  massKg: number;
  lengthM: number;
  draughtM: number;
  /** What the wind sees from ahead and from abeam, square metres, coefficients in it. */
  aheadM2: number;
  abeamM2: number;
  rollerHeightM: number;
  /** The antenna's distance abaft the roller. */
  antennaAbaftM: number;
  /** The sounder's depth below the waterline. */
  transducerM: number;
  /** Yaw at anchor in a wind: amplitude either side, and a whole swing to and fro. */
  yawDeg: number;
  yawPeriodS: number;
}

const AIR = 1.22;
const WATER = 1025;

/** Force of wind and water on the hull, newtons. `air`, `stream` and `velocity` in m/s over the ground. */
export function hullForce(
  hull: HullForm,
  air: Vector,
  stream: Vector,
  velocity: Vector,
  headingDeg: number,
): Vector {
  const cos = Math.cos(toRad(headingDeg));
  const sin = Math.sin(toRad(headingDeg));
  const wind = windForce(hull, turned(minus(air, velocity), cos, sin));
  const water = waterForce(hull, turned(minus(stream, velocity), cos, sin));
  const ahead = wind.ahead + water.ahead;
  const abeam = wind.abeam + water.abeam;
  return { north: ahead * cos - abeam * sin, east: ahead * sin + abeam * cos };
}

/** Along and across the boat: ahead, and to starboard. */
export interface Abroad {
  ahead: number;
  abeam: number;
}

function turned(vector: Vector, cos: number, sin: number): Abroad {
  return {
    ahead: vector.north * cos + vector.east * sin,
    abeam: -vector.north * sin + vector.east * cos,
  };
}

/** Force of a wind that flows so past the hull, m/s in, newtons out. */
export function windForce(hull: HullForm, flow: Abroad): Abroad {
  const pressure = 0.5 * AIR * Math.sqrt(flow.ahead ** 2 + flow.abeam ** 2);
  return { ahead: pressure * flow.ahead * hull.aheadM2, abeam: pressure * flow.abeam * hull.abeamM2 };
}

/** Force of water that flows so past the hull, m/s in, newtons out: she slips along, and hardly sideways. */
export function waterForce(hull: HullForm, flow: Abroad): Abroad {
  return {
    ahead: (20 + 220 * Math.abs(flow.ahead)) * flow.ahead,
    abeam: (50 + 0.5 * WATER * 1.1 * sideM2(hull) * Math.abs(flow.abeam)) * flow.abeam,
  };
}

/**
 * Where the bow wants to point, as a vector whose length (newtons) says how much: up the wind and up the stream,
 * each by its grip on her side. `windN` and `streamN` are the two by themselves.
 */
export function bowWish(
  hull: HullForm,
  air: Vector,
  stream: Vector,
): { wish: Vector; windN: number; streamN: number } {
  const windPerMps = 0.5 * AIR * lengthOf(air) * hull.abeamM2;
  const streamPerMps = 0.5 * WATER * lengthOf(stream) * sideM2(hull);
  return {
    wish: plus(times(air, -windPerMps), times(stream, -streamPerMps)),
    windN: windPerMps * lengthOf(air),
    streamN: streamPerMps * lengthOf(stream),
  };
}

/** Under water, with what is not hull left out. */
function sideM2(hull: HullForm): number {
  return 0.55 * hull.lengthM * hull.draughtM;
}
