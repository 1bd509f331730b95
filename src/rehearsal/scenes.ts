/** The scenes by name. To add one: a file in `scenes/` and its row here. */
import { type Chance, chanceOf } from "./chance.ts";
import { type Rehearsal, rehearse } from "./rehearsal.ts";
import type { Scene } from "./scene.ts";
import { breeze } from "./scenes/breeze.ts";
import { drag } from "./scenes/drag.ts";
import { front } from "./scenes/front.ts";
import { quiet } from "./scenes/quiet.ts";
import { stay } from "./scenes/stay.ts";
import { tideTurn } from "./scenes/tide-turn.ts";
import { weigh } from "./scenes/weigh.ts";

export const SCENES: ReadonlyMap<string, (chance: Chance) => Scene> = new Map([
  ["stay", stay],
  ["quiet", quiet],
  ["breeze", breeze],
  ["tide-turn", tideTurn],
  ["front", front],
  ["drag", drag],
  ["weigh", weigh],
]);

/** A scene by name, its particulars drawn by the seed, ready to play; undefined when there is none of that name. */
export function rehearsalOf(name: string, seed: number): Rehearsal | undefined {
  const make = SCENES.get(name);
  return make && rehearse(make(chanceOf(seed).fork("scene")), seed);
}
