/** The page's words, in one place: a translation begins and ends here (figures are spoken in `wording.ts`). */
import {
  bearing,
  coarseLength,
  coarseNumber,
  compassPoint,
  fineLength,
  ratio,
  type Speak,
  speedWords,
  unitName,
} from "./wording.ts";

/** Words of the drawing, each from the fullest to the shortest that still says it. */
export const drawn = {
  out: (outM: number, { lengths }: Speak) => [`${coarseLength(outM, lengths)} out`],
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
  tooLittleAboard: (aboardM: number, { lengths }: Speak) => [
    `only ${coarseLength(aboardM, lengths, "floor")} aboard`,
    "too little aboard",
  ],
  pull: (deg: number | null, groundedM: number | null, { lengths }: Speak) => {
    if (deg === null) return ["pull not known"];
    const flat = deg < 0.5 ? "pull flat" : `anchor pulled up ${deg.toFixed(0)}°`;
    const lies = groundedM === null || groundedM < 0.5;
    const rest = lies ? "chain all lifted" : `${coarseLength(groundedM, lengths)} on the bottom`;
    return [`at the gust: ${flat}, ${rest}`, `${flat}, ${rest}`, flat];
  },
  depth: (depthM: number, { lengths }: Speak) => [fineLength(depthM, lengths)],
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
    return [`anchor ${far}, ${off < 3 ? "ahead" : `${off}° to ${side}`}`, far];
  },
  noPosition: (words: string) => [words, "no position"],
  north: () => ["N"],
  strip: { range: ["off the anchor"], wind: ["wind"], scope: ["scope"], now: ["now"] },
} as const;

/** What a screen reader says of the drawings. */
export const described = {
  side: (out: string, required: string, depth: string) =>
    `Side elevation, true to scale: ${[out, required, depth].filter((part) => part !== "").join("; ")}.`,
  plan: (parts: readonly string[]) => `Plan: ${parts.filter((part) => part !== "").join("; ")}.`,
  strip: "The night: distance off the anchor, scope and wind, with marks for alerts.",
  boatFrom: (bearingDeg: number) =>
    `she lies ${compassPoint(bearingDeg)} of her anchor, ${bearing(bearingDeg)}`,
};

export const headlines = {
  veer: (shortM: number, { lengths }: Speak) => `Veer ${coarseLength(shortM, lengths, "ceil")}`,
  scope: (now: number, target: number) => `Rode ${ratio(now)} to 1, want ${ratio(target)}.`,
  connecting: "Connecting",
  noPicture: "No picture from rodeward yet.",
  noLink: "NO LINK",
  noLinkWhy: (since: string) =>
    `to rodeward since ${since}. It may still be on watch, but this phone cannot tell. Trying again.`,
  lastHeard: (at: string, said: string) => `Last heard at ${at}: ${said}`,
  noData: "no data",
};

/** The acts, by verb: what stands on the button, and under it. */
export const acts = {
  more: "More",
  hold: "hold to do it",
  pressAgain: "press again to do it",
  holding: "hold…",
  sent: "sent, waiting",
  taken: (what: string) => `${what}: taken.`,
  notTaken: (why: string) => `Not done: ${why}.`,
  unpaired: "This phone is not paired: give the PIN below.",
  pairToAct: "pair this phone first",
  noLink: "no link: cannot be sent",
  paired: "This phone is paired.",
  imUp: "I’m up",
  imUpNote: "quiet, still watching",
  silence: "Silence",
  silenceNote: "30 s",
  imUpDone: "Quiet. It comes back if she goes on.",
  silenced: "Silenced for 30 s.",
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
