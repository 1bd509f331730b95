/** One scale for the whole night, for plan and elevation: nothing jumps while it is replayed. Pure. */
import type { PlanPoint } from "../boat-state.ts";
import type { NightSeries } from "../night-state.ts";
import type { Frame } from "./frame.ts";
import { M_PER_LAT_DEG } from "./plan-grid.ts";
import { PAD_PX, type SideFrame } from "./side-view.ts";

const LEAST_WORLD_M = 24;
const USUAL_BOAT_M = 10;
const ABOVE_WATER_M = 3;
/** Above and below the elevation: its figures. */
const SIDE_ROOM_PX = 92;

export interface TrackPlace extends PlanPoint {
  atS: number;
}

/** Offsets from the anchor: near enough within a swing (0.3 %). */
export function offsetOf(lat: number, lon: number, from: { lat: number; lon: number }): PlanPoint {
  const perLonDegM = M_PER_LAT_DEG * Math.cos((from.lat * Math.PI) / 180);
  const turn = ((lon - from.lon + 540) % 360) - 180;
  return { northM: (lat - from.lat) * M_PER_LAT_DEG, eastM: turn * perLonDegM };
}

/** Where the drawing's origin is: the anchor, or the first place of the track. */
export function originOf({ night, plan }: NightSeries): { lat: number; lon: number } | undefined {
  if (night.lat !== null && night.lon !== null) return { lat: night.lat, lon: night.lon };
  const [first] = plan;
  return first === undefined ? undefined : { lat: first[0], lon: first[1] };
}

/** @param origin left out, the series' own */
export function placesOf(series: NightSeries, origin = originOf(series)): TrackPlace[] {
  if (origin === undefined) return [];
  return series.plan.map(([lat, lon, atS]) => ({ ...offsetOf(lat, lon, origin), atS }));
}

function greatest(values: readonly (number | null)[]): number {
  return values.reduce<number>((most, value) => Math.max(most, value ?? 0), 0);
}

/** North up, with the stay in it; of the approach only what fits. */
export function planFrameOf(
  series: NightSeries,
  places: readonly TrackPlace[],
  width: number,
  height: number,
): Frame {
  const fromS = Date.parse(series.night.letGo) / 1000;
  const stay = places.filter(({ atS }) => atS >= fromS);
  const edgeM = greatest(series.bands.circleM.max);
  const norths = [...stay.map(({ northM }) => northM), -edgeM, edgeM];
  const easts = [...stay.map(({ eastM }) => eastM), -edgeM, edgeM];
  const [south, north, west, east] = [
    Math.min(...norths),
    Math.max(...norths),
    Math.min(...easts),
    Math.max(...easts),
  ];
  const pxPerM = Math.min(
    Math.max(1, width - 2 * PAD_PX) / Math.max(LEAST_WORLD_M, east - west),
    Math.max(1, height - 2 * PAD_PX) / Math.max(LEAST_WORLD_M, north - south),
  );
  return {
    // To the right is east.
    axisDeg: 90,
    pxPerM,
    originX: width / 2 - ((east + west) / 2) * pxPerM,
    originY: height / 2 + ((north + south) / 2) * pxPerM,
  };
}

export function sideFrameOf(
  { bands }: NightSeries,
  boatM: number | null,
  width: number,
  height: number,
): SideFrame & { needPx: number } {
  const rangeM = Math.max(LEAST_WORLD_M, greatest(bands.rangeM.max), greatest(bands.rodeM.max));
  const worldM = rangeM + (boatM ?? USUAL_BOAT_M);
  const tallM = greatest(bands.depthM.max) + ABOVE_WATER_M;
  const pxPerM = Math.min(
    Math.max(1, width - 2 * PAD_PX) / worldM,
    Math.max(0.2, (height - SIDE_ROOM_PX) / tallM),
  );
  // No more height than it takes: the rest is the plan's.
  const needPx = Math.ceil(tallM * pxPerM + SIDE_ROOM_PX);
  return { widthPx: width, pxPerM, originX: PAD_PX, needPx: Math.min(height, needPx) };
}
