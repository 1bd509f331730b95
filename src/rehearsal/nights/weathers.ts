/** Wind, stream and tide of a night, by the kind of weather. Times are seconds into the scene. */
import type { Chance } from "../chance.ts";
import type { Profile } from "../plane.ts";
import type { WaterForm } from "../water.ts";
import type { WindForm } from "../weather.ts";

/** "fresh" is the wind that drags happen in: 15 to 32 kn. */
export type Weather = "calm" | "breeze" | "gale" | "tide-turn" | "front" | "squall" | "fresh" | "stream";

export interface DrawnWeather {
  wind: WindForm;
  water: WaterForm;
  /** Where the wind is from at first. */
  fromDeg: number;
  /** Slack water, where the stream turns. */
  turnS: number | undefined;
}

interface Blow {
  speedKn: Profile;
  fromDeg: Profile;
  wanderDeg: number;
}

export function drawWeather(
  weather: Weather,
  lengthS: number,
  waterFrom: Pick<WaterForm, "depthM" | "slope" | "deeperDeg">,
  chance: Chance,
): DrawnWeather {
  const fromDeg = chance.between(0, 360);
  const { speedKn, fromDeg: from, wanderDeg } = blow(weather, fromDeg, lengthS, chance);
  const wind: WindForm = {
    speedKn,
    fromDeg: from,
    slowShare: 0.13,
    minuteShare: 0.07,
    gustShare: 0.11,
    puffEveryS: 400,
    puffShare: [0.12, 0.35],
    wanderDeg,
  };
  const tide = tides(weather, lengthS, chance);
  const water: WaterForm = {
    ...waterFrom,
    tideM: tide.tideM,
    streamKn: tide.streamKn,
    streamTowardDeg: fromDeg + 180 + chance.between(-25, 25),
  };
  return { wind, water, fromDeg, turnS: tide.turnS };
}

const BROUGHT_UP_S = 900;

function steady(kn: number, fromDeg: number, chance: Chance): Blow {
  return { speedKn: [[0, kn]], fromDeg: [[0, fromDeg]], wanderDeg: chance.between(4, 11) };
}

function blow(weather: Weather, fromDeg: number, lengthS: number, chance: Chance): Blow {
  switch (weather) {
    case "calm":
      return { ...steady(chance.between(0.4, 3.5), fromDeg, chance), wanderDeg: 60 };
    case "breeze":
      return steady(chance.between(8, 18), fromDeg, chance);
    case "tide-turn":
      return steady(chance.between(4, 11), fromDeg, chance);
    case "stream":
      return steady(chance.between(3, 7), fromDeg, chance);
    case "gale":
      return rising(chance.between(12, 18), chance.between(29, 37), fromDeg, lengthS, chance);
    case "fresh":
      return rising(chance.between(10, 15), chance.between(15, 32), fromDeg, 0.5 * lengthS, chance);
    case "front":
      return front(fromDeg, lengthS, chance);
    case "squall":
      return squall(fromDeg, lengthS, chance);
  }
}

/** From a wind one anchors in to the night's own, within the first half. */
function rising(kn: number, toKn: number, fromDeg: number, lengthS: number, chance: Chance): Blow {
  const beginsS = BROUGHT_UP_S + chance.between(0, 0.2) * lengthS;
  const speedKn: Profile = [
    [0, kn],
    [beginsS, kn],
    [beginsS + chance.between(0.1, 0.3) * lengthS, toKn],
  ];
  return { ...steady(kn, fromDeg, chance), speedKn };
}

function front(fromDeg: number, lengthS: number, chance: Chance): Blow {
  const beforeKn = chance.between(8, 15);
  const afterKn = chance.between(12, 24);
  const atS = lengthS * chance.between(0.3, 0.7);
  const overS = chance.between(120, 600);
  const turn = (180 + chance.between(-27, 27)) * (chance.uniform() < 0.5 ? -1 : 1);
  return {
    ...steady(beforeKn, fromDeg, chance),
    speedKn: [
      [0, beforeKn],
      [atS - 1800, beforeKn],
      [atS - 600, chance.between(1.5, 4)],
      [atS, 2.5],
      [atS + overS, afterKn],
    ],
    fromDeg: [
      [0, fromDeg],
      [atS, fromDeg],
      [atS + overS, fromDeg + turn],
    ],
  };
}

function squall(fromDeg: number, lengthS: number, chance: Chance): Blow {
  const usualKn = chance.between(5, 12);
  const atS = lengthS * chance.between(0.3, 0.8);
  const upS = chance.between(120, 300);
  const lastsS = chance.between(600, 2400);
  const veer = chance.between(-40, 40);
  return {
    ...steady(usualKn, fromDeg, chance),
    speedKn: [
      [0, usualKn],
      [atS, usualKn],
      [atS + upS, chance.between(33, 43)],
      [atS + upS + lastsS, chance.between(25, 33)],
      [atS + upS + lastsS + 900, usualKn],
    ],
    fromDeg: [
      [0, fromDeg],
      [atS, fromDeg],
      [atS + upS, fromDeg + veer],
    ],
  };
}

const HALF_TIDE_S = 6.21 * 3600;
const CORNER_S = 900;

/** At its strongest. "Stream" is one that turns her against the wind, and pulls hard enough to break an anchor out. */
const STREAM_KN: Partial<Record<Weather, readonly [least: number, most: number]>> = {
  "tide-turn": [0.8, 1.8],
  stream: [2, 3.2],
};

/** A rise and fall of some size in every weather; a stream that matters only where it is the weather. */
function tides(weather: Weather, lengthS: number, chance: Chance) {
  const rangeM = chance.between(0.2, 1.6);
  const streamKn = chance.between(...(STREAM_KN[weather] ?? [0, 0.3]));
  const turnS = lengthS * chance.between(0.3, 0.55);
  const corners = Array.from({ length: Math.ceil(lengthS / CORNER_S) + 1 }, (_, i) => i * CORNER_S);
  // With the wind before the turn, against it after: sin through zero at the turn.
  const phase = (atS: number) => (Math.PI * (turnS - atS)) / HALF_TIDE_S;
  return {
    tideM: corners.map((atS) => [atS, (rangeM / 2) * (Math.cos(phase(atS)) - Math.cos(phase(0)))] as const),
    streamKn: corners.map((atS) => [atS, streamKn * Math.sin(phase(atS))] as const),
    turnS: STREAM_KN[weather] === undefined ? undefined : turnS,
  };
}
