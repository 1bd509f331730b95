/**
 * What could be said now, most important first, by phase. In: state, guidance, figures, findings; out: candidates
 * for the one callout, each with its line of why.
 */
import type { Picture } from "../instruments/picture.ts";
import { asAboard, toVeer } from "../tackle/veer-length.ts";
import { toKn } from "../units/speed.ts";
import { formatClock, MINUTE_MS, SECOND_MS } from "../units/time.ts";
import { approachCalls } from "./approach-calls.ts";
import { HELD_M } from "./backing-down.ts";
import { type Candidate, candidate } from "./callout.ts";
import type { CalloutKey } from "./callout-texts.ts";
import { FORWARD, leewardText } from "./drag-steps.ts";
import type { Guidance, Reckoned } from "./guidance.ts";
import { isCramped } from "./room.ts";
import type { WatchSettings } from "./settings.ts";
import type { WatchState } from "./state.ts";
import { weighCalls } from "./weigh-calls.ts";
import { lengthText } from "./wording.ts";

export interface Saying {
  state: WatchState;
  picture: Picture;
  guidance: Guidance;
  figures: Reckoned;
  settings: WatchSettings;
}

export function callsNow(saying: Saying): Candidate[] {
  switch (saying.state.stay.phase) {
    case "underway":
      return approachCalls(saying);
    case "let-go":
      return [...holdingCalls(saying), ...veeringCalls(saying), ...bringingUpCalls(saying)];
    case "riding":
      return [...holdingCalls(saying), ...ridingCalls(saying)];
    case "weighing":
      return weighCalls(saying);
  }
}

const HEARD_MS = MINUTE_MS;

/** What must be heard at once, let go or riding. */
function holdingCalls({ picture, guidance, settings }: Saying): Candidate[] {
  const { bringingUp, sternPull, steps, leaving, room, rode } = guidance;
  const calls: Candidate[] = [];
  if (steps.length > 0) calls.push(candidate("dragging", [], leewardText(room?.leeward, settings)));
  if (leaving) calls.push(candidate("leaving", [], "The alarm stays until you say so"));
  if (bringingUp?.notHolding === true && bringingUp.creptM !== undefined)
    calls.push(
      candidate(
        "not-holding",
        [lengthText(bringingUp.creptM, settings.units)],
        whyNotHolding(rode, settings),
      ),
    );
  if (sternPull?.creptM !== undefined && picture.atMs - (sternPull.endedMs ?? 0) < HEARD_MS) {
    const crept = lengthText(sternPull.creptM, settings.units);
    calls.push(
      sternPull.creptM <= HELD_M
        ? candidate("held-astern", [crept], "A minute's pull, by position alone")
        : candidate("creeping", [], `Crept ${crept} in a minute`),
    );
  }
  if (rode.contradicted && rode.lengthM !== undefined && rode.leastM !== undefined)
    calls.push(
      candidate(
        "said-too-little",
        [asAboard(rode.lengthM, settings.units).text, lengthText(rode.leastM, settings.units)],
        "More is out than was told, or the anchor has moved",
      ),
    );
  return calls;
}

/** A mark missed while veering looks like an anchor that comes. */
function whyNotHolding({ contradicted, lengthM, leastM }: Guidance["rode"], settings: WatchSettings): string {
  if (!contradicted || lengthM === undefined || leastM === undefined) return "The range grows under load";
  const said = asAboard(lengthM, settings.units).text;
  return `Or more is out: said ${said}, distance needs ${lengthText(leastM, settings.units)}`;
}

const TELL_AFTER_MS = 20 * SECOND_MS;
/** Less than this to go is rounding. */
const VEERED_M = 0.5;

function veeringCalls({ state, picture, guidance, settings }: Saying): Candidate[] {
  const { veer, rode, room } = guidance;
  if (rode.lengthM === undefined) {
    if (picture.atMs - state.stay.phaseSinceMs < TELL_AFTER_MS) return [];
    return [candidate("tell-rode", [], toVeerWhy(saysLeast(rode.leastM, settings)))];
  }
  if (veer?.remainingM === undefined || veer.remainingM < VEERED_M) return [];
  if (isCramped(room, veer.toM)) return [noRoom(guidance, settings)];
  const to = `To ${toVeer(veer.toM, settings.units).text} in all${veer.tooShort ? ", all there is aboard" : ""}`;
  return [veerCall(veer.remainingM, veer.inMarks, to, settings)];
}

function saysLeast(leastM: number | undefined, { units }: WatchSettings): string {
  return leastM === undefined ? "" : `By the distance at least ${lengthText(leastM, units)}`;
}

function toVeerWhy(least: string): string {
  return least === "" ? "Without it the circle takes all there is aboard" : least;
}

type Marks = NonNullable<Guidance["veer"]>["inMarks"];

function veerCall(remainingM: number, marks: Marks, why: string, { units }: WatchSettings): Candidate {
  const left = toVeer(remainingM, units).text;
  if (marks === undefined || marks.count < 2) return candidate("veer-more", [left], why);
  const count = String(marks.count);
  if (marks.beyondM < VEERED_M) return candidate("veer-to-mark", [count], `${why}; ${left} more`);
  return candidate("veer-marks", [count, toVeer(marks.beyondM, units).text], `${why}; ${left} more`);
}

function noRoom({ room }: Guidance, { units }: WatchSettings): Candidate {
  const most = room?.mostRodeM === undefined ? "" : `, ${asAboard(room.mostRodeM, units).text} at most`;
  return candidate("no-room", [], `The stern would reach ${room?.limitedBy ?? "a mark"}${most}`);
}

function bringingUpCalls({ guidance, settings }: Saying): Candidate[] {
  const { bringingUp } = guidance;
  if (bringingUp === undefined) return [];
  const { proposed, quiet, creptM, bowOffDeg } = bringingUp;
  if (proposed && creptM !== undefined)
    return [
      candidate("holds-further-on", [lengthText(creptM, settings.units)], "Place the anchor anew (PLACE)"),
    ];
  if (proposed)
    return [candidate("brought-up", [], quiet ? "Nothing pulls: untested" : "Bow to the anchor, no creep")];
  const bow = bowOffDeg === undefined ? "" : `; bow ${Math.abs(bowOffDeg).toFixed(0)} off the rode`;
  return [candidate("let-settle", [], `Watching whether the range grows${bow}`)];
}

/** How long it is said that the watch goes on again. */
const SAID_MS = 5 * MINUTE_MS;

function ridingCalls(saying: Saying): Candidate[] {
  const { state, picture, guidance, settings } = saying;
  const { veer, reminders, riding, room } = guidance;
  const calls: Candidate[] = [];
  if (state.gaveUpMs !== undefined && picture.atMs - state.gaveUpMs < SAID_MS)
    calls.push(candidate("watch-again", [], "No nearer to the anchor in ten minutes; WEIGH begins anew"));
  // What tonight asks for is more than what is short now.
  calls.push(...reminders.filter(({ key }) => key === "tonight"));
  if (state.latches["scope-short"]?.on === true && (veer?.remainingM ?? 0) >= VEERED_M && veer) {
    const why = `${FORWARD}; engine ahead slow until the rode hangs slack, then off the cleat`;
    calls.push(
      isCramped(room, veer.toM)
        ? noRoom(guidance, settings)
        : veerCall(veer.remainingM ?? 0, undefined, why, settings),
    );
  }
  calls.push(...placeCalls(saying), ...reminders.filter(({ key }) => !isAside(key)));
  const lying = candidate(riding?.tested === true ? "no-drag" : "lying-quiet", [], () => whyLying(saying));
  return [...calls, lying];
}

/** Told beside how she lies, never in its place: nobody has to look twice to see that she holds. */
const ASIDE: readonly CalloutKey[] = ["anchor-light", "day-shape", "fog-signal", "chafe", "under-hull"];

function isAside(key: CalloutKey): boolean {
  return ASIDE.includes(key);
}

/** Fine-tuning over a mark: so much more rode and the stern lies on it. */
function placeCalls({ guidance, settings }: Saying): Candidate[] {
  const { toPlace, room, rode } = guidance;
  if (toPlace === undefined || isCramped(room, (rode.lengthM ?? 0) + toPlace.veerM)) return [];
  const why = `± ${lengthText(toPlace.uncertaintyM, settings.units)}; lifejacket, clip on`;
  return [candidate("veer-to-place", [toVeer(toPlace.veerM, settings.units).text], why)];
}

/** `Held 24 kn at 01:10; 5.9 to 1, want 5; 16 m to spare`. */
function whyLying({ picture, guidance, figures, settings }: Saying): string {
  const { held, tested } = guidance.riding ?? { held: undefined, tested: false };
  const parts: string[] = [];
  if (tested && held !== undefined) {
    const at = formatClock(held.atMs + (picture.utcOffsetMs ?? 0));
    parts.push(`Held ${toKn(held.gustMps).toFixed(0)} kn at ${at}`);
  }
  if (!tested && picture.wind === undefined) parts.push("no wind known: not seen loaded");
  const { now, target } = figures.scope;
  parts.push(
    now === undefined
      ? "Rode out not known"
      : `${now.toFixed(1)} to 1${target ? `, want ${+target.toFixed(1)}` : ""}`,
  );
  const { circle } = figures;
  if (circle?.rangeM === undefined) parts.push("no position to judge by");
  else if (circle.rangeM <= circle.radiusM)
    parts.push(`${lengthText(circle.radiusM - circle.rangeM, settings.units)} to spare`);
  return parts.join("; ");
}
