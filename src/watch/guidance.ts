/**
 * Guidance for the person between bow and helm: each second, from approach to aweigh. In: state, picture, figures;
 * out: plain data for the page and one callout. Alerts are the findings' affair; this only says what to do.
 */
import type { Picture } from "../instruments/picture.ts";
import { combinedLoad } from "../tackle/current-load.ts";
import { type WeakLink, weakLinks } from "../tackle/weak-links.ts";
import { type Approach, approachNow } from "./approach.ts";
import { HELD_M, sternPullNow } from "./backing-down.ts";
import { type BringingUp, bringingUpNow } from "./bringing-up.ts";
import type { Callout, Candidate } from "./callout.ts";
import { dragSteps } from "./drag-steps.ts";
import type { Figures } from "./figures.ts";
import type { Finding } from "./finding.ts";
import { isLeaving } from "./leaving.ts";
import type { SternPull } from "./memory.ts";
import { type ToPlace, toPlaceOf } from "./place-to-lie.ts";
import { remindersNow } from "./reminders.ts";
import { type RodeKnown, rodeKnown } from "./rode-known.ts";
import { type Room, roomNow } from "./room.ts";
import type { WatchSettings } from "./settings.ts";
import { shoalsNow } from "./shoals.ts";
import type { WatchState } from "./state.ts";
import type { StaySummary } from "./stay-summary.ts";
import { type Veering, veeringOf } from "./veering.ts";
import { type Weigh, weighNow } from "./weighing.ts";

export interface Guidance {
  callout: Callout | undefined;
  rode: RodeKnown;
  veer: Veering | undefined;
  approach: Approach | undefined;
  room: Room | undefined;
  bringingUp: BringingUp | undefined;
  sternPull: SternPull | undefined;
  riding: Riding | undefined;
  /** So much more rode and the stern lies where it is wished. */
  toPlace: ToPlace | undefined;
  weigh: Weigh | undefined;
  /** What the published design load at the gust is too much for; empty: nothing, or not known. */
  weak: WeakLink[];
  /** Under way at speed, bow leading: weighing is offered. */
  leaving: boolean;
  reminders: Candidate[];
  /** When she drags, in order; else empty. */
  steps: string[];
  /** The last stay that was closed. */
  closed: StaySummary | undefined;
}

export interface Riding {
  /** Loaded or backed down since she was brought up; until then she lies untested. */
  tested: boolean;
  /** Greatest gust held, and when. */
  held: { gustMps: number; atMs: number } | undefined;
}

export type Reckoned = Omit<Figures, "guidance">;

/** All but callout and steps, which wait for the findings. `state.memory` is brought up to date in place. */
export function guidanceNow(
  state: WatchState,
  picture: Picture,
  { heights, circle, scope, tackle, tide }: Reckoned,
  settings: WatchSettings,
): Guidance {
  const { stay, memory } = state;
  const rode = rodeKnown(stay, memory, picture, heights, settings);
  const keepOffs = [...stay.keepOffs, ...shoalsNow(state, picture, settings)];
  const room = roomNow({ ...stay, keepOffs }, memory.track, picture, heights, settings);
  memory.sternPull = sternPullNow(stay, memory, picture, settings.boat);
  return {
    callout: undefined,
    rode,
    veer: stay.phase === "weighing" ? undefined : veeringOf(scope, rode.lengthM, settings.marksM),
    approach: approachNow(state, memory, picture, heights, scope, tide.depthAtLowM, settings),
    room,
    bringingUp: bringingUpNow(stay, memory, picture, rode, heights, settings),
    sternPull: memory.sternPull,
    riding: ridingNow(state, picture, settings),
    toPlace: toPlaceOf(stay, picture, settings),
    weigh: weighNow(stay, memory, picture, rode, heights, bowLoadN(picture, settings), settings),
    weak:
      tackle.designLoadN === undefined
        ? []
        : weakLinks(settings.rode, settings.windlassPullN, tackle.designLoadN),
    leaving: isLeaving(stay, memory, picture, circle),
    reminders: remindersNow(stay, memory, picture, heights, room, settings),
    steps: [],
    closed: memory.closed,
  };
}

/** What wind and stream pull on the bow at the mean, lower estimate. */
function bowLoadN({ wind, windMean, current, headingDeg, depth }: Picture, settings: WatchSettings) {
  if (wind === undefined || windMean === undefined) return undefined;
  const stream = current && { speedMps: current.value.driftMps, towardDeg: current.value.setDeg };
  const lie = { headingDeg: headingDeg?.value, depthM: depth?.value.surfaceM };
  const blowing = { speedMps: windMean.speedMps, fromDeg: windMean.fromDeg };
  return combinedLoad(settings.boat, blowing, stream, lie)?.loadN;
}

/** A gust of half the wind limit has loaded her: a judgement. */
const TESTED_SHARE = 0.5;

function ridingNow(state: WatchState, picture: Picture, settings: WatchSettings): Riding | undefined {
  const { stay, memory } = state;
  if (stay.phase !== "riding") return undefined;
  // One second's wind, where it is no more than the largest 3-second mean: the gust, at the time it blew.
  const mean = picture.windMean?.gustMps;
  const now = picture.wind?.value.speedMps;
  const gustMps = now === undefined || mean === undefined ? undefined : Math.min(now, mean);
  if (gustMps !== undefined && gustMps > (memory.held?.gustMps ?? 0))
    memory.held = { gustMps, atMs: picture.atMs };
  const isLoaded = (memory.held?.gustMps ?? 0) >= TESTED_SHARE * settings.windLimitMps;
  return { tested: isLoaded || hasHeldAstern(memory.sternPull), held: memory.held };
}

function hasHeldAstern(pull: SternPull | undefined): boolean {
  return pull?.creptM !== undefined && pull.creptM <= HELD_M;
}

/** Is she dragging or out of her circle? Then the steps are shown. */
export function stepsFor(
  findings: readonly Finding[],
  guidance: Guidance,
  figures: Reckoned,
  settings: WatchSettings,
): string[] {
  const alarmed = findings.some(
    ({ key, priority }) => (key === "dragging" || key === "outside-circle") && priority === "alarm",
  );
  return alarmed ? dragSteps(guidance.room, figures.scope, guidance.rode.lengthM, settings) : [];
}
