/**
 * Plays a scene second by second. In: a scene and a seed. Out, from each `next()`: one second's sentences, what
 * a narrator says, and the truth for tests. The same scene and seed give the same seconds. It reads no clock and
 * sends nothing; and it never hears what the watch answers, so the script is the whole of what the crew does.
 */
import { moved, type Position } from "../units/position.ts";
import { toKn } from "../units/speed.ts";
import { SECOND_MS } from "../units/time.ts";
import { antennaOf } from "./boat.ts";
import { chanceOf } from "./chance.ts";
import { report } from "./crew.ts";
import { type Narrator, narrate, narratorOf, summary } from "./narration.ts";
import { type Fix, receive } from "./receiver.ts";
import type { Scene } from "./scene.ts";
import { type Readings, sense } from "./sensors.ts";
import { fixBodies, sensorBodies, stamped } from "./sentences.ts";
import { type Wind, weatherOf } from "./weather.ts";
import { heightOf, liveOn, type World, worldOf } from "./world.ts";

export interface Rehearsal {
  name: string;
  about: string;
  startMs: number;
  lengthS: number;
  /** The next second, or undefined when the scene is over. */
  next(): Second | undefined;
}

export interface Second {
  atMs: number;
  /** Sentences with their TAG blocks, without line ends. */
  lines: string[];
  /** One line for each event of this second; mostly none. */
  said: string[];
  truth: Truth;
}

/** How it really was at the end of the second. */
export interface Truth {
  /** Undefined while no anchor is on the bottom. */
  anchor: Position | undefined;
  /** The bow roller. */
  boat: Position;
  antenna: Position;
  headingDeg: number;
  /** By dragging, and by digging in; metres along the bottom. */
  draggedM: number;
  creptM: number;
  rodeM: number;
  /** Depth under the boat; height of the roller above the bottom at the anchor, undefined without one. */
  depthM: number;
  heightM: number | undefined;
  /** The rode's horizontal pull, newtons. */
  pullN: number;
  windKn: number;
  windFromDeg: number;
}

/** A scene, ready to be played from its beginning. */
export function rehearse(scene: Scene, seed: number): Rehearsal {
  const chance = chanceOf(seed);
  const world = worldOf(scene, chance.fork("boat"));
  const windAt = weatherOf(scene.wind, chance.fork("wind"));
  const fixAt = receive(scene.receiver, chance.fork("receiver"));
  const readingsOf = sense(scene.sensors, chance.fork("sensors"));
  let narrator: Narrator | undefined;
  let atS = 0;
  const next = (): Second | undefined => {
    if (atS >= scene.lengthS) return undefined;
    const wind = windAt(atS);
    narrator ??= narratorOf(wind);
    const surface = liveOn(world, wind, atS);
    const antenna = antennaOf(world.boat, scene.hull);
    const fix = fixAt(atS, antenna.at, antenna.velocity);
    const { acts, said } = report(world.crew);
    const bodies = [...instrumentBodies(scene, fix, readingsOf(world.boat, surface)), ...acts];
    const dragging = world.anchor && world.anchor.drag !== undefined;
    said.push(...narrate(narrator, wind, world.draggedM, dragging));
    const atMs = scene.startMs + atS * SECOND_MS;
    const truth = truthOf(world, wind, surface.depthM, atS);
    atS++;
    if (atS === scene.lengthS) said.push(summary(narrator, scene.lengthS));
    return { atMs, lines: stamped(bodies, atMs), said, truth };
  };
  const { name, about, startMs, lengthS } = scene;
  return { name, about, startMs, lengthS, next };
}

function instrumentBodies(scene: Scene, fix: Fix, readings: Readings): string[] {
  const { minuteDecimals: minute, speedDecimals: speed } = scene.receiver;
  const fixMs = scene.startMs + fix.timeS * SECOND_MS;
  const position = moved(scene.place, fix.at);
  return [
    ...fixBodies(fix, fixMs, position, readings.variationDeg, { minute, speed }),
    ...sensorBodies(readings),
  ];
}

function truthOf(world: World, wind: Wind, depthM: number, atS: number): Truth {
  const { scene, boat, anchor } = world;
  return {
    anchor: anchor && moved(scene.place, anchor.at),
    boat: moved(scene.place, boat.at),
    antenna: moved(scene.place, antennaOf(boat, scene.hull).at),
    headingDeg: boat.headingDeg,
    draggedM: world.draggedM,
    creptM: world.creptM,
    rodeM: world.crew.rodeM,
    depthM,
    heightM: heightOf(world, atS),
    pullN: boat.pullN,
    windKn: toKn(wind.speedMps),
    windFromDeg: wind.fromDeg,
  };
}
