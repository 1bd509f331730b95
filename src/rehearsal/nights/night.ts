/**
 * A night drawn by chance: boat, rode, place, weather, receiver, and perhaps a drag or a fault. In: what kind of
 * night and a seed; out: a scene to play and the boat's papers, which say only what an owner would know. The
 * ranges are those of a study of the problem; they are judgements, not measurements.
 */
import { moved } from "../../units/position.ts";
import { instantOf } from "../../units/time.ts";
import { comingUp } from "../anchorage.ts";
import { type Chance, chanceOf } from "../chance.ts";
import { type DragKind, drawDrag } from "../ground.ts";
import { type ReceiverForm, type ReceiverGrade, receiverOf } from "../receiver.ts";
import { USUAL_FAULTS } from "../receiver-fault.ts";
import type { Scene } from "../scene.ts";
import { arrival, broughtUpS, event, type ScriptEvent } from "../script.ts";
import { sensorsOf } from "../sensors.ts";
import { drawBoat, type Papers } from "./boat.ts";
import { drawWeather, type Weather } from "./weathers.ts";

export const WEATHERS = ["calm", "breeze", "gale", "tide-turn", "front", "squall"] as const;
export const DRAGS: readonly DragKind[] = ["creep", "drag", "runaway", "drag-and-reset", "drag-at-turn"];
export const FAULTS = ["jump", "void", "frozen"] as const;
export const VELOCITIES = ["alive", "pinned-0.4", "pinned-0.8", "no-course", "static-hold"] as const;

export type FaultKind = (typeof FAULTS)[number];
export type VelocityKind = (typeof VELOCITIES)[number];

export interface NightKind {
  grade: ReceiverGrade;
  velocity: VelocityKind;
  /** What happens: a weather with the anchor holding, a fault of the receiver's, or a drag. */
  event: { weather: Weather } | { fault: FaultKind } | { drag: DragKind };
}

export interface Night {
  scene: Scene;
  papers: Papers;
  /** When the anchor begins to move, seconds into the scene; undefined: it holds. */
  dragS: number | undefined;
}

const HOURS = 10;
const DRAG_HOURS = 5;
const LET_GO_S = 240;

export function nightOf(kind: NightKind, seed: number): Night {
  const chance = chanceOf(seed).fork("night");
  const isDrag = "drag" in kind.event;
  const lengthS = (isDrag ? DRAG_HOURS : HOURS) * 3600;
  const ship = drawBoat(chance.fork("boat"));
  const weather = drawWeather(weatherFor(kind, chance), lengthS, ship.waterFrom, chance.fork("weather"));
  const letGo = {
    letGoS: LET_GO_S,
    rodeM: ship.rodeM,
    riseM: undefined,
    expectKn: undefined,
    miscountM: undefined,
  };
  const dragS = isDrag ? dragTime(weather.turnS, lengthS, chance) : undefined;
  const script: ScriptEvent[] = arrival(letGo);
  if ("drag" in kind.event && dragS !== undefined)
    script.push(event(dragS, { do: "drag", drag: drawDrag(kind.event.drag, chance) }));
  const { rode, hull, ground, rodeTruth, papers } = ship;
  const scene: Scene = {
    name: "night",
    about: "a night drawn by chance",
    startMs: instantOf(2026, 6, 15, 20 * 3600) ?? 0,
    lengthS,
    place: moved(PLACE, { north: chance.between(-2000, 2000), east: chance.between(-2000, 2000) }),
    begin: comingUp(weather.fromDeg, 150, 3),
    hull,
    rode,
    rodeTruth,
    ground,
    wind: weather.wind,
    water: weather.water,
    receiver: drawReceiver(kind, broughtUpS(letGo), lengthS, chance),
    sensors: sensorsOf(chance),
    script,
  };
  return { scene, papers, dragS };
}

/** Open water, and no charted anchorage. */
const PLACE = { latDeg: 50.4731, lonDeg: -0.2107 };

function weatherFor({ event: what }: NightKind, chance: Chance): Weather {
  if ("weather" in what) return what.weather;
  if ("drag" in what) return what.drag === "drag-at-turn" ? "stream" : "fresh";
  return WEATHERS[Math.floor(chance.uniform() * WEATHERS.length)] ?? "breeze";
}

/** At 35 to 70 % of the night; at the turn, 20 to 70 minutes after it. */
function dragTime(turnS: number | undefined, lengthS: number, chance: Chance): number {
  if (turnS !== undefined) return Math.round(turnS + chance.between(20, 70) * 60);
  return Math.round(lengthS * chance.between(0.35, 0.7));
}

function drawReceiver(kind: NightKind, upS: number, lengthS: number, chance: Chance): ReceiverForm {
  const form = receiverOf(kind.grade, chance.fork("receiver"));
  const decimals = 3 + Math.floor(chance.uniform() * 3);
  const receiver: ReceiverForm = { ...form, minuteDecimals: decimals, ...VELOCITY_FORMS[kind.velocity] };
  if (!("fault" in kind.event)) return receiver;
  const fromS = Math.round(chance.between(upS + 1800, lengthS - 3600));
  const faults = [faultOf(kind.event.fault, fromS, chance)];
  return { ...receiver, faults };
}

function faultOf(kind: FaultKind, fromS: number, chance: Chance) {
  switch (kind) {
    case "jump": {
      const jump = USUAL_FAULTS.jump(fromS, chance.between(0, 360));
      return chance.uniform() < 0.25 ? { ...jump, byM: 318 } : jump;
    }
    case "void":
      return USUAL_FAULTS.void(fromS);
    case "frozen":
      return USUAL_FAULTS.frozen(fromS, chance.uniform() < 0.5);
  }
}

const VELOCITY_FORMS: Readonly<Record<VelocityKind, Partial<ReceiverForm>>> = {
  alive: {},
  "pinned-0.4": { pinnedBelowKn: 0.4 },
  "pinned-0.8": { pinnedBelowKn: 0.8 },
  "no-course": { courseFromKn: 1 },
  "static-hold": { pinnedBelowKn: 0.8, holdsForM: 8 },
};
