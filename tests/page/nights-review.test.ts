import { expect, test } from "vitest";
import { placesOf } from "../../src/page/client/nights-places.ts";
import { ageOf, placeAt } from "../../src/page/client/nights-plan.ts";
import { placeWords, spareWords } from "../../src/page/client/nights-words.ts";
import type { NightLine } from "../../src/page/night-state.ts";

let id = 0;
function night(over: Partial<NightLine>): NightLine {
  return {
    id: ++id,
    origin: "watch",
    utcKnown: true,
    letGo: "2026-06-14T20:00:00Z",
    ended: null,
    ending: null,
    hours: 10,
    place: null,
    lat: 50.5,
    lon: -0.2,
    rodeM: 30,
    meanMps: 6,
    gustMps: 9,
    windFromDeg: 200,
    leastScope: 5,
    leastDepthM: 4,
    outsideM: null,
    spareM: 20,
    draggedM: null,
    alerts: 0,
    alarms: 0,
    ...over,
  };
}

test("nights gather by place, with the worst of each", () => {
  const places = placesOf([
    night({ draggedM: 30, spareM: -4, leastScope: 3.9 }),
    // 200 m to the north: the same place. 0.0018° of latitude.
    night({ lat: 50.5018, meanMps: 14, windFromDeg: 315 }),
    night({ lat: 50.6 }),
    night({ lat: null, lon: null, leastScope: null, spareM: null }),
  ]);
  expect(places.map(({ nights }) => nights.length)).toEqual([2, 1, 1]);
  const [here, , nowhere] = places;
  expect(here).toMatchObject({ leastScope: 3.9, spareM: -4, mostDraggedM: 30 });
  expect(here?.dragged).toHaveLength(1);
  expect(here?.windiest).toMatchObject({ meanMps: 14, windFromDeg: 315 });
  expect(nowhere).toMatchObject({ leastScope: undefined, spareM: undefined, mostDraggedM: undefined });
});

test("a name joins what lies apart, and the antimeridian parts nothing", () => {
  expect(placesOf([night({ place: "Home" }), night({ place: "Home", lat: 51 })])).toHaveLength(1);
  expect(placesOf([night({ lat: 0, lon: 179.999 }), night({ lat: 0, lon: -179.9995 })])).toHaveLength(1);
});

test("a place is written in degrees and minutes, rounded into the next degree where it is due", () => {
  const plain = (lat: number, lon: number) => placeWords({ place: null, lat, lon }).replaceAll("\u00a0", " ");
  expect(plain(50.5, -0.2)).toBe("50° 30.000′ N 0° 12.000′ W");
  expect(plain(-33.999999, 151.25)).toBe("34° 00.000′ S 151° 15.000′ E");
  expect(placeWords({ place: "Home cove", lat: 1, lon: 2 })).toBe("Home cove");
});

test("room left is never rounded to more than it was", () => {
  const speak = { lengths: "metric", speeds: "kn" } as const;
  expect(spareWords(2.9, speak)).toBe("2 m");
  expect(spareWords(-2.1, speak)).toBe("3 m outside");
  expect(spareWords(null, speak)).toBe("–");
});

test("the place nearest in time, and its twelfth of the night", () => {
  const places = [0, 10, 20, 300].map((atS) => ({ atS, northM: atS, eastM: 0 }));
  expect(placeAt(places, 12)?.atS).toBe(10);
  expect(placeAt(places, 17)?.atS).toBe(20);
  expect(placeAt(places, -5)?.atS).toBe(0);
  expect(placeAt(places, 9999)?.atS).toBe(300);
  expect(placeAt([], 5)).toBeUndefined();
  const span = { fromS: 0, toS: 120 };
  expect([0, 9.9, 10, 119, 120, 500].map((atS) => ageOf(atS, span))).toEqual([0, 0, 1, 11, 11, 11]);
});
