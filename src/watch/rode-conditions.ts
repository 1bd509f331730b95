/** Conditions that rest on the tackle: too little rode for the pull, too little aboard, too shallow to come. */
import type { Picture } from "../instruments/picture.ts";
import { asAboard, toVeer } from "../tackle/veer-length.ts";
import { HOUR_MS, MINUTE_MS, SECOND_MS } from "../units/time.ts";
import type { Figures } from "./figures.ts";
import type { Finding } from "./finding.ts";
import { isHeld, OFF } from "./latch.ts";
import { isCramped, NO_ROOM } from "./room.ts";
import type { WatchSettings } from "./settings.ts";
import type { WatchState } from "./state.ts";
import { deepestM } from "./tackle-now.ts";

/** On watch with the rode out; `state.latches` is brought up to date in place. */
export function rodeFindings(
  state: WatchState,
  picture: Picture,
  figures: Figures,
  settings: WatchSettings,
): Finding[] {
  const { phase } = state.stay;
  const runsOut = rodeRunsOut(state, picture, settings);
  if (phase !== "let-go" && phase !== "riding") {
    for (const key of ["rode-short", "rode-spent", "shoal-coming"] as const) state.latches[key] = OFF;
    return [];
  }
  const found = [
    runsOut,
    rodeShort(state, picture, figures, settings),
    rodeSpent(state, picture, figures, settings),
    shoalComing(state, picture, figures, settings),
  ];
  return found.filter((finding) => finding !== undefined);
}

/** More than is let out for chafe. */
const RUN_M = 3;
/** A clutch slips with the gusts, a little at a time; what has stood through these hours was meant. */
const STANDS_MS = 2 * HOUR_MS;
/** In a second: the counter was set anew or is heard again, and nothing ran. */
const SET_ANEW_M = 2;

/**
 * Brought up, and by the counter more and more is out: a windlass or a snubber slips. Whoever veers on purpose is
 * awake and says so with one tap; the circle grows with it, so that nothing else would tell. `state.stood` is brought
 * up to date in place.
 */
function rodeRunsOut(state: WatchState, picture: Picture, settings: WatchSettings): Finding | undefined {
  const { phase, rode } = state.stay;
  if (phase !== "riding" || rode === undefined) {
    state.stood = undefined;
    return undefined;
  }
  const nowM = rode.lengthM;
  const { lengthM: stoodM, lastM } = state.stood ?? { lengthM: nowM, lastM: nowM };
  const isMeant = rode.source !== "counted" || picture.atMs - rode.atMs >= STANDS_MS;
  const fromM = isMeant || Math.abs(nowM - lastM) > SET_ANEW_M ? nowM : Math.min(stoodM, nowM);
  state.stood = { lengthM: fromM, lastM: nowM };
  if (nowM - fromM < RUN_M) return undefined;
  const [from, to] = [fromM, nowM].map((lengthM) => asAboard(lengthM, settings.units).text);
  return {
    key: "rode-runs-out",
    priority: settings.stay === "attended" ? "caution" : "warning",
    text: `${from} out, now ${to}: make fast`,
    amount: nowM - fromM,
  };
}

const SHORT_MS = 10 * MINUTE_MS;
const SHORT_OFF_MS = 5 * MINUTE_MS;
const LEAST_SHORT_M = 5;
const SHORT_SHARE = 0.1;

/** The mechanics, at the lower load estimate, ask for more than is out by the larger of 5 m and 10 %. */
function rodeShort(
  state: WatchState,
  picture: Picture,
  { tackle, guidance }: Figures,
  settings: WatchSettings,
): Finding | undefined {
  const outM = state.stay.rode?.lengthM;
  const askedM = tackle.byMechanicsM;
  const overM = outM === undefined || askedM === undefined ? undefined : askedM - outM;
  const limitM = Math.max(LEAST_SHORT_M, SHORT_SHARE * (outM ?? 0));
  const truth = overM === undefined ? undefined : overM > limitM;
  const times = { onMs: SHORT_MS, offMs: SHORT_OFF_MS };
  if (!isHeld(state.latches, "rode-short", truth, times, picture.atMs)) return undefined;
  let text = "Pull was too steep; watch it";
  if (overM !== undefined && overM > 0 && tackle.pullDeg !== undefined) {
    const pull = `Pull ${tackle.pullDeg.toFixed(0)} deg at the gust`;
    text = isCramped(guidance.room, askedM ?? 0)
      ? NO_ROOM
      : `${pull}: veer ${toVeer(overM, settings.units).text}`;
  }
  return { key: "rode-short", priority: "warning", text, amount: undefined };
}

const SPENT_MS = 30 * SECOND_MS;
const SPENT_OFF_MS = 5 * MINUTE_MS;

/** The target cannot be met with the rode aboard. */
function rodeSpent(
  state: WatchState,
  picture: Picture,
  figures: Figures,
  settings: WatchSettings,
): Finding | undefined {
  const { requiredM, aboardM } = figures.scope;
  const truth = requiredM === undefined || aboardM === undefined ? undefined : requiredM > aboardM;
  const times = { onMs: SPENT_MS, offMs: SPENT_OFF_MS };
  if (!isHeld(state.latches, "rode-spent", truth, times, picture.atMs)) return undefined;
  const deepest = deepestM(figures.tackle, figures.scope.target, figures.heights.riseM, settings);
  const text =
    deepest === undefined
      ? "Rode aboard too short for this wind"
      : `This rode serves ${asAboard(deepest, settings.units).text} of water at most`;
  return { key: "rode-spent", priority: "caution", text, amount: undefined };
}

const COMING_MS = 60 * SECOND_MS;
const COMING_OFF_MS = 10 * MINUTE_MS;

/** Under the keel at the next low water, by the tide that was told. */
function shoalComing(
  state: WatchState,
  picture: Picture,
  { tide }: Figures,
  settings: WatchSettings,
): Finding | undefined {
  const { surfaceM, underKeelM } = picture.depth?.value ?? { surfaceM: undefined, underKeelM: undefined };
  const atLowM = tide.leastAtLowM ?? tide.depthAtLowM;
  const fallM = surfaceM === undefined || atLowM === undefined ? undefined : surfaceM - atLowM;
  const thenM = underKeelM === undefined || fallM === undefined ? undefined : underKeelM - fallM;
  const truth = thenM === undefined ? undefined : thenM < settings.leastUnderKeelM;
  const times = { onMs: COMING_MS, offMs: COMING_OFF_MS };
  if (!isHeld(state.latches, "shoal-coming", truth, times, picture.atMs)) return undefined;
  const text =
    thenM === undefined ? "Low water not known now" : `${thenM.toFixed(1)} m under the keel at low water`;
  return { key: "shoal-coming", priority: "warning", text, amount: undefined };
}
