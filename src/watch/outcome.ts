/** What an act may see and what may come of it. */
import type { Picture } from "../instruments/picture.ts";
import type { Order, Verb } from "../nmea/sentences/own.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay, WatchState } from "./state.ts";

export type NakReason = "phase" | "range" | "format" | "port" | "far" | "rode";

export type Answer = { ok: true; state: WatchState } | { ok: false; reason: NakReason };

export interface Scene {
  state: WatchState;
  stay: Stay;
  picture: Picture;
  settings: WatchSettings;
}

/** A new stay, which UNDO takes back; a new state for the rest; or why not. */
export type Outcome = { stay?: Stay | undefined; state?: WatchState } | NakReason;

export type Act<V extends Verb> = (order: Extract<Order, { verb: V }>, scene: Scene) => Outcome;
