/** Nights gathered by place: has she dragged here, and in which wind? In: the list; out: a line a place. Pure. */
import type { NightLine } from "../night-state.ts";
import { offsetOf } from "./nights-frame.ts";

export interface Place {
  name: string | null;
  lat: number | null;
  lon: number | null;
  /** The latest first. */
  nights: NightLine[];
  dragged: NightLine[];
  /** The one with the strongest mean wind. */
  windiest: NightLine | undefined;
  leastScope: number | undefined;
  spareM: number | undefined;
  mostDraggedM: number | undefined;
}

/** Anchors nearer than this to the first of them lie in the same place. */
const SAME_PLACE_M = 300;

/** Most visited first. */
export function placesOf(nights: readonly NightLine[]): Place[] {
  const groups: NightLine[][] = [];
  for (const night of nights) {
    const group = groups.find(([first]) => first !== undefined && isSamePlace(first, night));
    if (group === undefined) groups.push([night]);
    else group.push(night);
  }
  return groups.map(placeOf).sort((a, b) => b.nights.length - a.nights.length);
}

function isSamePlace(a: NightLine, b: NightLine): boolean {
  if (a.place !== null && a.place === b.place) return true;
  if (a.lat === null || a.lon === null || b.lat === null || b.lon === null) return false;
  const { northM, eastM } = offsetOf(b.lat, b.lon, { lat: a.lat, lon: a.lon });
  return Math.hypot(northM, eastM) <= SAME_PLACE_M;
}

function placeOf(nights: NightLine[]): Place {
  const [first] = nights;
  const known = <K extends keyof NightLine>(key: K) =>
    nights.map((night) => night[key]).filter((value) => typeof value === "number");
  const least = (values: number[]) => (values.length === 0 ? undefined : Math.min(...values));
  const most = (values: number[]) => (values.length === 0 ? undefined : Math.max(...values));
  const windiest = nights.reduce<NightLine | undefined>(
    (best, night) => ((night.meanMps ?? -1) > (best?.meanMps ?? -1) ? night : best),
    undefined,
  );
  return {
    name: nights.find(({ place }) => place !== null)?.place ?? null,
    lat: first?.lat ?? null,
    lon: first?.lon ?? null,
    nights,
    dragged: nights.filter(({ draggedM }) => draggedM !== null),
    windiest,
    leastScope: least(known("leastScope")),
    spareM: least(known("spareM")),
    mostDraggedM: most(known("draggedM")),
  };
}
