/** Alerts of the stay itself: not brought up in time, the wind turned. In: state, guidance; out: findings. */
import type { Picture } from "../instruments/picture.ts";
import { MINUTE_MS } from "../units/time.ts";
import type { Figures } from "./figures.ts";
import type { Finding } from "./finding.ts";
import type { Guidance } from "./guidance.ts";
import { isHeld } from "./latch.ts";
import type { WatchSettings } from "./settings.ts";
import type { WatchState } from "./state.ts";
import { windShift } from "./wind-shift.ts";
import { lengthText } from "./wording.ts";

/** `state.latches` and `state.memory` are brought up to date in place. */
export function stayFindings(
  state: WatchState,
  picture: Picture,
  figures: Figures,
  settings: WatchSettings,
): Finding[] {
  const found = [
    notBroughtUp(state, picture, figures.guidance, settings),
    windShift(state, picture, figures.circle?.radiusM, settings),
  ];
  return found.filter((finding) => finding !== undefined);
}

const SHEERS_MS = 10 * MINUTE_MS;

/** At most 43 characters each. */
function notBroughtUp(
  { stay, latches }: WatchState,
  picture: Picture,
  { bringingUp }: Guidance,
  { units }: WatchSettings,
): Finding | undefined {
  // Off at once where it is over, brought up or aweigh; else a boat that sheers would have it come and go all night.
  const times = { onMs: 0, offMs: bringingUp === undefined ? 0 : SHEERS_MS };
  const held = isHeld(latches, "not-brought-up", bringingUp?.late === true, times, picture.atMs);
  if (!held || bringingUp === undefined || stay.anchor === undefined) return undefined;
  const minutes = Math.round((picture.atMs - stay.anchor.sinceMs) / MINUTE_MS);
  const text =
    bringingUp.creptM === undefined
      ? `Let go ${minutes} min ago, no sign of holding`
      : `Crept ${lengthText(bringingUp.creptM, units)} in ${minutes} min: re-anchor`;
  return { key: "not-brought-up", priority: "warning", text, amount: undefined };
}
