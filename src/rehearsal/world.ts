/** The scene's world: boat, anchor and crew, lived on second by second. */
import { directionOf, type Vector } from "../units/angle.ts";
import { fromKn, toKn } from "../units/speed.ts";
import { type Boat, boatOf, driftOn, steamOn } from "./boat.ts";
import type { Chance } from "./chance.ts";
import { type Crew, crewOf, obey, workRode } from "./crew.ts";
import { type Anchor, letGoAt, pullOn } from "./ground.ts";
import { heaveUp, holdStation, steamTo } from "./helm.ts";
import { minus } from "./plane.ts";
import { tautReachM } from "./rode-law.ts";
import type { Scene } from "./scene.ts";
import type { Surface } from "./sensors.ts";
import { depthAt, streamAt } from "./water.ts";
import { airVelocity, type Wind } from "./weather.ts";

export interface World {
  scene: Scene;
  boat: Boat;
  crew: Crew;
  anchor: Anchor | undefined;
  /** Moved by dragging and by digging in, metres; kept when the anchor is off the bottom. */
  draggedM: number;
  creptM: number;
  chance: Chance;
}

export function worldOf(scene: Scene, chance: Chance): World {
  const { at, headingDeg, speedMps } = scene.begin;
  return {
    scene,
    boat: boatOf(scene.hull, at, headingDeg, speedMps, chance),
    crew: crewOf(scene.script, { how: "approach", speedKn: toKn(speedMps) }, scene.rodeTruth),
    anchor: undefined,
    draggedM: 0,
    creptM: 0,
    chance,
  };
}

const STEPS = 5;
const STEP_S = 1 / STEPS;

interface Elements {
  atS: number;
  air: Vector;
  stream: Vector;
  windFromDeg: number;
}

/** One second of the world, beginning at `atS`; what its instruments then see. */
export function liveOn(world: World, wind: Wind, atS: number): Surface {
  const { scene, boat, crew } = world;
  const depthM = depthAt(scene.water, atS, boat.at);
  obey(crew, atS, {
    anchor: world.anchor,
    depthM,
    heightM: depthM + scene.hull.rollerHeightM,
    letGo: () => {
      world.anchor = letGoAt(boat.at);
    },
    aweigh: () => {
      world.anchor = undefined;
    },
  });
  const air = airVelocity(wind);
  const stream = streamAt(scene.water, atS);
  for (let i = 0; i < STEPS; i++) stepOn(world, { atS, air, stream, windFromDeg: wind.fromDeg });
  return { air, stream, depthM: depthAt(scene.water, atS, boat.at), transducerM: scene.hull.transducerM };
}

function stepOn(world: World, elements: Elements): void {
  workRode(world.crew, world.boat.pullN, STEP_S);
  moveBoat(world, elements);
  if (world.anchor !== undefined) dragOn(world, world.anchor);
}

function moveBoat(world: World, { atS, air, stream, windFromDeg }: Elements): void {
  const { scene, boat, crew, anchor, chance } = world;
  const heightM = heightOf(world, atS) ?? 0;
  switch (crew.mode.how) {
    case "adrift": {
      const rode = anchor && { form: scene.rode, lengthM: crew.rodeM, heightM, anchor: anchor.at };
      driftOn(boat, scene.hull, { air, stream, rode, asternN: crew.asternN }, STEP_S, chance);
      break;
    }
    case "approach":
      steamTo(boat, PLACE, windFromDeg, fromKn(crew.mode.speedKn), STEP_S, chance);
      break;
    case "steam":
      steamOn(boat, crew.mode.courseDeg, fromKn(crew.mode.speedKn), STEP_S, chance);
      break;
    case "heave":
      if (anchor === undefined) holdStation(boat, NOWHERE, windFromDeg, STEP_S, chance);
      else heaveUp(boat, anchor.at, tautReachM(crew.rodeM, heightM), windFromDeg, STEP_S, chance);
      break;
    case "stopped":
      holdStation(boat, NOWHERE, windFromDeg, STEP_S, chance);
  }
}

/** Places are counted from where the anchor is meant to go. */
const PLACE: Vector = { north: 0, east: 0 };
const NOWHERE: Vector = { north: 0, east: 0 };

function dragOn(world: World, anchor: Anchor): void {
  const { draggedM, creptM } = anchor;
  const bearingDeg = directionOf(minus(world.boat.at, anchor.at));
  if (bearingDeg === undefined) return;
  pullOn(anchor, world.scene.ground, world.boat.pullN, bearingDeg, STEP_S);
  world.draggedM += anchor.draggedM - draggedM;
  world.creptM += anchor.creptM - creptM;
}

/** The roller's height above the bottom at the anchor; undefined without one. */
export function heightOf(world: World, atS: number): number | undefined {
  if (world.anchor === undefined) return undefined;
  return depthAt(world.scene.water, atS, world.anchor.at) + world.scene.hull.rollerHeightM;
}
