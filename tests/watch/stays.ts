/** Stays simulated by the rehearsal's own models, with the truth known, through the whole core. */

import { readConfig } from "../../src/config/read.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { advance, begin, type CoreSettings } from "../../src/core.ts";
import type { Picture } from "../../src/instruments/picture.ts";
import { comingUp, settingOf } from "../../src/rehearsal/anchorage.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { type Chance, chanceOf } from "../../src/rehearsal/chance.ts";
import type { Drag } from "../../src/rehearsal/ground.ts";
import { rehearse, type Truth } from "../../src/rehearsal/rehearsal.ts";
import type { Scene } from "../../src/rehearsal/scene.ts";
import { event, type ScriptEvent, weighing } from "../../src/rehearsal/script.ts";
import { STILL_WATER } from "../../src/rehearsal/water.ts";
import { STEADY } from "../../src/rehearsal/weather.ts";
import type { Figures } from "../../src/watch/figures.ts";
import type { Stay } from "../../src/watch/state.ts";

export interface StayPlan {
  windKn: number;
  streamKn: number;
  streamTowardDeg: number;
  windFromDeg: number;
  depthM: number;
  rodeM: number;
  /** From before neutral to let go. */
  neutralS: number;
  letGoS: number;
  astern: boolean;
  /** The anchor comes along from so many seconds after let go. */
  drag: { afterS: number; drag: Drag } | undefined;
  weighS: number | undefined;
  lengthS: number;
  /** The bow has no compass. */
  noHeading: boolean;
  /** And no log. */
  noLog: boolean;
  extra: ScriptEvent[];
}

export const PLAIN: StayPlan = {
  windKn: 14,
  streamKn: 0,
  streamTowardDeg: 60,
  windFromDeg: 230,
  depthM: 6.6,
  rodeM: 42,
  neutralS: 60,
  letGoS: 200,
  astern: false,
  drag: undefined,
  weighS: undefined,
  lengthS: 700,
  noHeading: false,
  noLog: false,
  extra: [],
};

const VEER_MPS = 0.35;

export function sceneOf(plan: StayPlan, chance: Chance): Scene {
  const veeredS = plan.letGoS + Math.ceil(plan.rodeM / VEER_MPS);
  const script = [
    event(plan.letGoS - plan.neutralS, { do: "neutral" }),
    event(plan.letGoS, { do: "let-go" }, "PRDW,LETGO"),
    event(plan.letGoS + 3, { do: "veer", toM: plan.rodeM, rateMps: VEER_MPS }),
    ...plan.extra,
  ];
  if (plan.astern)
    script.push(
      event(veeredS + 60, { do: "astern", thrustN: 900 }),
      event(veeredS + 130, { do: "astern", thrustN: 0 }),
    );
  if (plan.drag !== undefined)
    script.push(event(plan.letGoS + plan.drag.afterS, { do: "drag", drag: plan.drag.drag }));
  if (plan.weighS !== undefined)
    script.push(...weighing(plan.weighS, plan.rodeM).events.filter(({ act }) => act !== "PRDW,AWEIGH"));
  const { windFromDeg } = plan;
  return {
    ...settingOf(chance),
    name: "a stay",
    about: "",
    startMs: Date.UTC(2026, 5, 14, 12),
    lengthS: plan.lengthS,
    begin: comingUp(windFromDeg, 150, 3),
    wind: { ...STEADY, speedKn: [[0, plan.windKn]], fromDeg: [[0, windFromDeg]] },
    water: {
      ...STILL_WATER,
      depthM: plan.depthM,
      streamKn: [[0, plan.streamKn]],
      streamTowardDeg: plan.streamTowardDeg,
    },
    script,
  };
}

export interface Followed {
  atS: number;
  truth: Truth;
  picture: Picture;
  figures: Figures;
  stay: Stay;
}

const PORTS = { sentencePort: 1, displayPort: 2, pagePort: 3 };

let own: CoreSettings | undefined;

/** The rehearsal boat's own settings. */
export function boatSettings(autoBroughtUp: boolean): CoreSettings {
  const read = own === undefined ? readConfig(rehearsalConfig(PORTS)) : undefined;
  if (read?.ok === false) throw new Error(read.problems.join("; "));
  if (read?.ok) own = coreSettings(read.config, { utc: "given", ignoreOperator: false });
  if (own === undefined) throw new Error("no settings");
  const settings = own;
  return { ...settings, watch: { ...settings.watch, autoBroughtUp } };
}

export function follow(
  plan: StayPlan,
  seed: number,
  take: (now: Followed) => void,
  settings: CoreSettings = boatSettings(false),
  change: (scene: Scene) => Scene = (scene) => scene,
): void {
  const scene = change(sceneOf(plan, chanceOf(seed).fork("scene")));
  const rehearsal = rehearse(scene, seed);
  let core = begin(settings, scene.startMs);
  for (let second = rehearsal.next(); second !== undefined; second = rehearsal.next()) {
    for (const text of second.lines) {
      if (plan.noHeading && /HDG|VHW/.test(text)) continue;
      if (plan.noLog && /VHW/.test(text)) continue;
      core = advance(core, { kind: "line", text, port: "rehearsal", atMs: second.atMs }, settings).core;
    }
    core = advance(core, { kind: "tick", atMs: second.atMs + 1000 }, settings).core;
    const { picture, figures, stay } = core.last;
    take({ atS: (second.atMs - scene.startMs) / 1000, truth: second.truth, picture, figures, stay });
  }
}
