/** The review's words, in one place: a translation begins and ends here. */
import type { Compared, NightAlert, NightLine } from "../night-state.ts";
import {
  clock,
  coarseLength,
  coarseNumber,
  compassPoint,
  fineLength,
  plainText,
  ratio,
  type Speak,
  speedWords,
  unitName,
} from "./wording.ts";
import { windWords } from "./wording-speed.ts";
import { alertWords } from "./words.ts";

export const across = {
  wind: ({ speeds }: Speak) => `gust, ${speeds}`,
  scope: "least scope on watch",
};

const DASH = "–";
const MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");

/** `14 Jun 2026` by this device's zone. */
export function day(atMs: number): string {
  const at = new Date(atMs);
  return `${at.getDate()} ${MONTHS[at.getMonth()]} ${at.getFullYear()}`;
}

export function dayAndTime(atMs: number): string {
  return `${day(atMs)}, ${clock(atMs)}`;
}

export function placeWords({ place, lat, lon }: Pick<NightLine, "place" | "lat" | "lon">): string {
  if (place !== null) return place;
  if (lat === null || lon === null) return "place not known";
  return `${degrees(lat, "N", "S")} ${degrees(lon, "E", "W")}`;
}

/** Degrees and decimal minutes, as on paper. */
function degrees(value: number, plus: string, minus: string): string {
  const thousandths = Math.round(Math.abs(value) * 60_000);
  const minutes = ((thousandths % 60_000) / 1000).toFixed(3).padStart(6, "0");
  return `${Math.floor(thousandths / 60_000)}°\u00a0${minutes}′\u00a0${value < 0 ? minus : plus}`;
}

export function hoursWords(hours: number): string {
  const minutes = Math.round(hours * 60);
  return minutes < 60
    ? `${minutes} min`
    : `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")}`;
}

const ENDINGS = new Map([
  ["aweigh", "aweigh"],
  ["slip", "slipped"],
  ["cut-off", "cut off"],
  ["log-end", "end of the log"],
]);

export function endingWords({ ending }: Pick<NightLine, "ending">): string {
  return ending === null ? "still there" : (ENDINGS.get(ending) ?? ending);
}

/** A figure, or a dash: absent is never 0. */
export function or<T>(value: T | null | undefined, words: (value: T) => string): string {
  return value === null || value === undefined ? DASH : words(value);
}

export const figure = {
  wind: (mps: number | null | undefined, speak: Speak) => or(mps, (value) => windWords(value, speak)),
  windKn: (kn: number, speak: Speak) => speedWords(kn, speak),
  from: (deg: number | null | undefined) => or(deg, compassPoint),
  scope: (value: number | null | undefined) => or(value, ratio),
  metres: (lengthM: number | null | undefined, { lengths }: Speak) =>
    or(lengthM, (value) => coarseLength(value, lengths)),
  fine: (lengthM: number | null | undefined, { lengths }: Speak) =>
    or(lengthM, (value) => fineLength(value, lengths)),
};

/** Room left to the circle: never rounded to more than it was. */
export function spareWords(spareM: number | null | undefined, { lengths }: Speak): string {
  return or(spareM, (value) =>
    value < 0 ? `${coarseLength(-value, lengths, "ceil")} outside` : coarseLength(value, lengths, "floor"),
  );
}

export function heldWords(
  held: number,
  dragged: number,
  mostM: number | undefined,
  { lengths }: Speak,
): string {
  if (dragged === 0) return "held every time";
  const far = mostM === undefined ? "" : `, ${coarseLength(mostM, lengths, "ceil")} at most`;
  return `dragged ${dragged} of ${held}${far}`;
}

export const headings = {
  list: [
    "Night",
    "Place",
    "Hours",
    "Gust",
    "From",
    "Least scope",
    "Least room",
    "Alerts",
    "Dragged",
    "Ended",
  ],
  places: ["Place", "Nights", "Holding", "Most wind", "Least scope", "Least room"],
  rerun: ["When", "As it was", "As it would have been"],
};

export function alertsWords({ alerts, alarms }: Pick<NightLine, "alerts" | "alarms">): string {
  if (alerts === 0) return "none";
  return alarms === 0 ? String(alerts) : `${alerts}, ${alarms} ${alarms === 1 ? "alarm" : "alarms"}`;
}

export function summaryWords(night: NightLine, speak: Speak): string {
  const { lengths } = speak;
  const parts = [
    `${hoursWords(night.hours)}, ${endingWords(night)}`,
    night.rodeM === null ? "" : `${coarseLength(night.rodeM, lengths)} out`,
    night.meanMps === null
      ? ""
      : `wind ${windWords(night.meanMps, speak)}, gusts ${figure.wind(night.gustMps, speak)}`,
    night.leastScope === null ? "" : `least scope ${ratio(night.leastScope)}`,
    night.draggedM === null ? "" : `dragged ${coarseLength(night.draggedM, lengths, "ceil")}`,
  ];
  return `${parts.filter((part) => part !== "").join("; ")}.`;
}

export const NO_UTC = "The receiver never told the time that night: times are the board's own.";

/** `RODE 40.0 M`, and why not where it was refused. */
export function actWords(text: string, answer: string): string {
  const told = text.replace(/^\$PRDW,|\*..$/g, "").replaceAll(",", " ");
  return answer === "ACK" ? told : `${told} (refused: ${answer.replace(/^NAK ?/, "")})`;
}

export function alertLine({ key, raisedMs, clearedMs, text }: NightAlert): string {
  const until = clearedMs === null ? "" : ` to ${clock(clearedMs)}`;
  return `${clock(raisedMs)}${until}  ${alertWords(key)}: ${plainText(text)}`;
}

type Raising = NonNullable<Compared["was"]>;

export function raisingWords(key: string, one: Compared["was"], other: Compared["was"]): string {
  if (one === null) return DASH;
  const words = `${one.priority}: ${alertWords(key)}`;
  return other === null ? words : `${words}${shift(one, other)}`;
}

function shift(one: Raising, other: Raising): string {
  const seconds = Math.round((one.raisedMs - other.raisedMs) / 1000);
  if (seconds === 0) return "";
  return `, ${Math.abs(seconds)} s ${seconds < 0 ? "earlier" : "later"}`;
}

/** Names of the plots, and what the cursor reads there. */
export const plots = {
  range: ({ lengths }: Speak) => `Off the anchor, ${unitName(lengths)}`,
  scope: "Scope",
  depth: ({ lengths }: Speak) => `Depth, ${unitName(lengths)}`,
  wind: ({ speeds }: Speak) => `Wind, ${speeds}`,
  heading: "Heading and the anchor's bearing",
  none: "not known",
  rangeAt: (rangeM: number, circleM: number | null, { lengths }: Speak) =>
    `${coarseNumber(rangeM, lengths)}${circleM === null ? "" : ` of ${coarseNumber(circleM, lengths)}`}`,
  scopeAt: (scope: number, target: number | null) =>
    `${ratio(scope)}${target === null ? "" : `, want ${ratio(target)}`}`,
};

export const review = {
  noNights: "No night has been kept yet. One begins when the anchor is let go.",
  noAnswer: "No answer from rodeward.",
  noNight: "There is no such night.",
  nothingThen: "nothing was kept then",
  later: "the same",
  play: "Play",
  pause: "Pause",
  unpaired: "Pair this phone on the watch page first.",
  named: "Named.",
  rerunning: (percent: number) => `Running the night again: ${percent} %`,
  cancelled: "Cancelled.",
  noRerun: (why: string) => `It could not be run again: ${why}`,
  noAlerts: "No alerts, then and now.",
  noSentences: "This night was kept without its sentences: it cannot be run again.",
  more: (count: number) => `Show all ${count}`,
} as const;
