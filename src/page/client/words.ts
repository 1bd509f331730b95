/** The page's words, all of them: a translation begins and ends here. */
import {
  bearing,
  clock,
  coarseLength,
  coarseNumber,
  compassPoint,
  fineLength,
  ratio,
  type Speak,
  speedWords,
  type Units,
  unitName,
} from "./wording.ts";

/** Words of the drawing, each from the fullest to the shortest that still says it. */
export const drawn = {
  out: (outM: number, { lengths }: Speak) => [`${coarseLength(outM, lengths)} out`],
  stillOut: (outM: number, { lengths }: Speak) => [`${coarseLength(outM, lengths)} still out`],
  notTold: () => ["rode out not told", "rode not told"],
  toVeer: (requiredM: number, { lengths }: Speak) => [
    `${coarseLength(requiredM, lengths, "ceil")} to veer here`,
    `veer ${coarseLength(requiredM, lengths, "ceil")}`,
  ],
  enough: (requiredM: number, { lengths }: Speak) => [
    `${coarseLength(requiredM, lengths, "ceil")} is enough`,
    `want ${coarseLength(requiredM, lengths, "ceil")}`,
  ],
  short: (shortM: number, { lengths }: Speak) => [`${coarseLength(shortM, lengths, "ceil")} short`],
  tooLittleAboard: (m: number, { lengths }: Speak) => [`only ${coarseLength(m, lengths, "floor")} aboard`],
  pull: (deg: number | null, groundedM: number | null, { lengths }: Speak) => {
    if (deg === null) return ["pull not known"];
    const flat = deg < 0.5 ? "pull flat" : `anchor pulled up ${deg.toFixed(0)}°`;
    const lies = groundedM === null || groundedM < 0.5;
    const rest = lies ? "chain all lifted" : `${coarseLength(groundedM, lengths)} on the bottom`;
    return [`at the gust: ${flat}, ${rest}`, `${flat}, ${rest}`, flat];
  },
  depth: (depthM: number, { lengths }: Speak) => [fineLength(depthM, lengths)],
  depthAway: (depthM: number, { lengths }: Speak) => [`depth ${fineLength(depthM, lengths)}`],
  rise: (riseM: number, { lengths }: Speak) => [
    `high water, ${fineLength(riseM, lengths)} more`,
    `${fineLength(riseM, lengths)} more`,
  ],
  noDepth: (words: string) => [words, "no depth"],
  wind: (kn: number, fromDeg: number, speak: Speak) => [
    `wind ${speedWords(kn, speak)}, ${compassPoint(fromDeg)}`,
    `${speedWords(kn, speak)} ${compassPoint(fromDeg)}`,
  ],
  noWind: () => ["no wind known"],
  current: (kn: number, setDeg: number, speak: Speak) => [
    `current ${speedWords(kn, speak, 1)}, sets ${compassPoint(setDeg)}`,
    `sets ${compassPoint(setDeg)} ${speedWords(kn, speak, 1)}`,
  ],
  spare: (spareM: number, { lengths }: Speak) => [`${coarseLength(spareM, lengths, "floor")} to spare`],
  outside: (outsideM: number, { lengths }: Speak) => [
    `${coarseLength(outsideM, lengths, "ceil")} outside the circle`,
    `${coarseLength(outsideM, lengths, "ceil")} outside`,
  ],
  wouldLie: () => ["would lie here", "lies here"],
  wished: () => ["wished"],
  moved: (movedM: number, sdM: number | null, { lengths }: Speak) => {
    const spread = sdM === null ? "" : ` ± ${coarseNumber(sdM, lengths, "ceil")}`;
    return [`${coarseNumber(movedM, lengths)}${spread} ${unitName(lengths)}`, coarseLength(movedM, lengths)];
  },
  keepOff: (name: string, distanceM: number | undefined, { lengths }: Speak) =>
    distanceM === undefined ? [name] : [`${name} ${coarseLength(distanceM, lengths, "floor")}`, name],
  toAnchor: (rangeM: number, steerDeg: number | null, { lengths }: Speak) => {
    const far = coarseLength(rangeM, lengths);
    if (steerDeg === null) return [`anchor ${far}`, far];
    const off = Math.round(Math.abs(steerDeg));
    const side = steerDeg < 0 ? "port" : "starboard";
    const where = off < 3 ? "ahead" : `${off}° to ${side}`;
    return [`anchor ${far}, ${where}`, `${far}, ${where}`, `anchor ${far}`, far];
  },
  noPosition: (words: string) => [words, "no position"],
  north: () => ["N"],
  strip: {
    range: (m: number | undefined, { lengths }: Speak) =>
      m === undefined ? ["off"] : [`${coarseLength(m, lengths)} off`, "off"],
    wind: (kn: number | undefined, speak: Speak) =>
      kn === undefined ? ["wind"] : [`wind ${speedWords(kn, speak)}`, "wind"],
    scope: (now: number | undefined) => (now === undefined ? ["scope"] : [`scope ${ratio(now)}`, "scope"]),
    now: ["now"],
  },
} as const;

/** What a screen reader says of the drawings. */
export const described = {
  side: (out: string, required: string, depth: string) =>
    `Side elevation, true to scale: ${[out, required, depth].filter((part) => part !== "").join("; ")}.`,
  plan: (parts: readonly string[]) => `Plan: ${parts.filter((part) => part !== "").join("; ")}.`,
  boatFrom: (bearingDeg: number) =>
    `she lies ${compassPoint(bearingDeg)} of her anchor, ${bearing(bearingDeg)}`,
};

export const headlines = {
  veer: (shortM: number, { lengths }: Speak) => `Veer ${coarseLength(shortM, lengths, "ceil")}`,
  scope: (now: number, target: number) => `Rode ${ratio(now)} to 1, want ${ratio(target)}.`,
  noLink: "NO LINK",
  noLinkWhy: (since: string) =>
    `to rodeward since ${since}. It may still be on watch, but this phone cannot tell. Trying again.`,
  lastHeard: (at: string, said: string) => `Last heard at ${at}: ${said}`,
  noData: "no data",
};

/** The acts by verb: on the button, and under it. */
export const actWords = {
  LETGO: ["Let go", "anchor goes now, here"],
  NEUTRAL: ["In neutral", "read wind against tide"],
  RODE: ["Rode out…", "how much is out"],
  SPLICE: ["Splice at the roller", "all the chain is out, no rope"],
  BOTTOM: ["On the bottom", "the line goes slack"],
  BROUGHTUP: ["Brought up", "she holds"],
  EXPECT: ["Wind tonight…", "most wind before morning"],
  RISE: ["Tide to come…", "rise above now by high water"],
  KEEPOFF: ["Keep off…", "boat, rock or shoal"],
  LIE: ["Lie there…", "where the stern is to lie"],
  WIND: ["Wind now…", "as you judge it"],
  PLACE: ["Place the anchor…", "from where it was taken to be"],
  WEIGH: ["Weigh", "weighing begins"],
  "WEIGH-BALL": ["Weigh with the ball", "overrunning the anchor on purpose"],
  AWEIGH: ["Aweigh", "anchor off the bottom"],
  SLIP: ["Slip", "rode buoyed and let go"],
  UNDO: ["Undo", "the last act, within a minute"],
} as const satisfies Record<string, readonly [string, string]>;

export const fieldWords = {
  bearing: "Bearing, degrees true",
  rode: "Rode out, from the roller",
  tonight: "Most wind expected before morning",
  rise: "Rise above the present level by high water",
  range: "Distance from here",
  name: "Name",
  wind: "Wind, as you judge it",
  from: "From, degrees true",
  off: "Distance from where it was taken to be",
};

/** Around the acts. */
export const acts = {
  more: "More",
  unit: { less: (unit: string) => `less ${unit}`, more: (unit: string) => `more ${unit}` },
  hold: "hold to do it",
  pressAgain: "press again to do it",
  sent: "sent, waiting",
  taken: (what: string) => `${what}: taken.`,
  notTaken: (why: string) => `Not done: ${why}.`,
  unpaired: "This phone is not paired: give the PIN below.",
  pairToAct: "pair this phone first",
  noLink: "no link: cannot be sent",
  noAnswer: "No answer: it may have been taken. Look before you press again.",
  noPlace: "the boat's own place is not known",
  paired: "This phone is paired.",
  imUp: "I’m up",
  imUpNote: "quiet, still watching",
  silence: "Silence",
  silenceNote: "30 s",
  imUpDone: "Quiet. It comes back if she goes on.",
  silenced: "Silenced for 30 s.",
  acknowledge: "Acknowledge",
  acknowledged: "Acknowledged.",
  undo: "Undo",
  veeredTo: (length: string) => `Veered to ${length}`,
  whenDone: "when done, hold",
};

export const sounds = {
  off: "Sound off: tap to arm",
  armed: "Sound armed",
  asleep: "Sound stopped: tap to arm",
  none: "No sound in this browser",
  screenOn: "The screen is kept on while sound is armed.",
  screenMaySleep:
    "The screen may go to sleep, and the sound with it: this browser keeps it on only at a secure address or localhost.",
  screenFree: "With sound armed the screen is kept on, where the browser may.",
};

export const alertStates = {
  unacknowledged: "not acknowledged",
  silenced: "silenced, not acknowledged",
  acknowledged: "acknowledged",
  transferred: "taken over by another display",
  rectified: "over, not acknowledged",
} as const;

export const phases = {
  underway: { head: "Under way", line: "under way" },
  "let-go": { head: "Anchor let go", line: "anchor let go, veering" },
  riding: { head: "Riding", line: "riding to her anchor" },
  weighing: { head: "Weighing", line: "weighing" },
} as const;

/** `no depth since 02:10`, or `no depth` where none was ever heard. */
export function none(what: string, ageS: number | null, atMs: number): string {
  return ageS === null ? `no ${what}` : `no ${what} since ${clock(atMs - ageS * 1000)}`;
}

/** An angle clockwise from the bow → `from 30° to port`. */
export function offBow(deg: number): string {
  const turn = Math.round(deg > 180 ? deg - 360 : deg);
  if (turn === 0) return "from ahead";
  if (Math.abs(turn) === 180) return "from astern";
  return `from ${Math.abs(turn)}° to ${turn < 0 ? "port" : "starboard"}`;
}

const ALERTS: Readonly<Record<string, string>> = {
  dragging: "Dragging",
  "outside-circle": "Out of the circle",
  "scope-short": "Scope short",
  "rode-short": "Rode short",
  "rode-spent": "Rode spent",
  shoal: "Shoal here",
  "shoal-coming": "Shoal by low water",
  "wind-over": "Wind over the limit",
  "wind-shift": "Wind has shifted",
  "position-lost": "No position",
  "position-doubtful": "Position in doubt",
  "depth-lost": "No depth",
  "wind-lost": "No wind",
  "heading-lost": "No heading",
  "not-brought-up": "Not biting",
  "log-failing": "Log failing",
  "port-down": "A port is down",
  "clock-stepped": "The clock stepped",
  "supply-low": "Supply low",
  "not-watching": "Not on watch",
  unheard: "No one would hear",
  "rode-runs-out": "Rode runs out",
};

/** `outside-circle` → `Outside circle`, for a key that has no words here. */
export function alertWords(key: string): string {
  const own = Object.hasOwn(ALERTS, key) ? ALERTS[key] : undefined;
  return own ?? key.charAt(0).toUpperCase() + key.slice(1).replaceAll("-", " ");
}

export const settingsWords = {
  set: "Set",
  unset: "none",
  notSet: "not set",
  sent: (name: string) => `${name}: sent, waiting`,
  taken: (name: string, value: string) => `${name}: ${value}, taken.`,
  notTaken: (why: string) => `Not done: ${why}.`,
  noAnswer: "No answer from rodeward.",
  pairFirst: "To change any, pair this phone first.",
  filed: (value: string | null) => `Set here. The file says ${value ?? "nothing"}.`,
  elsewhere: (file: string | null) => `All else: in ${file ?? "the rehearsal"}, then start rodeward anew`,
};

export const settingNames: Readonly<Record<string, string>> = {
  "watch.stay": "Stay",
  "watch.margin": "Margin of the circle",
  "watch.leave_after": "Outside for so long",
  "watch.wind_limit": "Mean wind: get up and look",
  "watch.gust_limit": "Gust: get up and look",
  "watch.shift_limit": "Wind shift",
  "watch.least_under_keel": "Least depth under the keel",
  "scope.least": "Least scope, an alarm below",
  "tide.rise": "Tide: rise above the level at let go",
  "tide.high_water": "High water, time",
  "tide.high_water_height": "High water, height",
  "tide.low_water": "Low water, time",
  "tide.low_water_height": "Low water, height",
  "forecast.wind": "Wind forecast",
  "page.units": "Units of rodeward's own words",
};

/** The same in words: one line each. */
export const told = {
  none: "none now",
  underKeel: (m: number, units: Units) => `${fineLength(m, units)} under the keel`,
  noDirection: "direction not known",
  from: (deg: number) => `from ${compassPoint(deg)}, ${bearing(deg)}`,
  gusts: (kn: number, speak: Speak) => `gusts ${speedWords(kn, speak)}`,
  apparent: (kn: number, side: string, speak: Speak) => `${speedWords(kn, speak)} apparent${side}`,
  noMean: "no mean yet",
  required: (text: string | undefined) => (text === undefined ? "required not known" : `${text} required`),
  notTold: "rode out not told",
  out: (text: string) => `${text} out`,
  enough: (text: string) => `${text} is enough`,
  short: (want: string, lack: string) => `${want}: ${lack} short`,
  scope: (now: number) => `${ratio(now)} to 1`,
  target: (target: number | null) => (target === null ? "target not known" : `want ${ratio(target)}`),
  atHighWater: (scope: number) => `; ${ratio(scope)} at high water`,
  notKnown: "not known",
  load: (loadN: number | null) =>
    loadN === null ? "load not known" : `load ${Math.round(loadN / 10) * 10}\u00a0N`,
  lifted: "nothing on the bottom",
  grounded: (m: number, units: Units) => `${coarseLength(m, units)} on the bottom`,
  pull: (deg: number) => (deg < 0.5 ? "flat along the bottom" : `anchor pulled up ${deg.toFixed(0)}°`),
  noAnchor: "its place is not known",
  off: (m: number, bearingDeg: number | null, units: Units) =>
    `${coarseLength(m, units)} off${bearingDeg === null ? "" : `, bearing ${bearing(bearingDeg)}`}`,
  place: (m: number, units: Units) => `its place ± ${coarseLength(m, units, "ceil")}`,
  moved: (figures: string, since: string) => `moved ${figures}${since}`,
  since: (at: string) => ` since ${clock(Date.parse(at))}`,
  circle: (m: number, units: Units) => `circle of ${coarseLength(m, units)}`,
  insideOrNot: "not known whether inside",
  outside: (m: number, units: Units) => `${coarseLength(m, units, "ceil")} outside`,
  spare: (m: number, units: Units) => `${coarseLength(m, units, "floor")} to spare`,
};
