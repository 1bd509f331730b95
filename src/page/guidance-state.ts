/** Guidance as outsiders see it: the key `guidance` of `/api/state`. What is not known is null. Types only. */

export interface StateGuidance {
  /** The one thing to say now: at most eight words. */
  callout: {
    text: string;
    why: string;
    priority: "quiet" | "routine" | "order" | "urgent";
    since: string;
  } | null;
  rode: {
    uncertaintyM: number | null;
    /** Roller to anchor, horizontally. */
    rollerRangeM: number | null;
    /** What the distance needs at least, with its uncertainty. */
    leastM: number | null;
    leastUncertaintyM: number | null;
    contradicted: boolean;
  };
  veer: {
    toM: number;
    remainingM: number | null;
    inMarks: { count: number; lastMarkM: number | null; beyondM: number } | null;
    tooShort: boolean;
  } | null;
  approach: {
    neutral: boolean;
    drift: { setDeg: number | null; driftKn: number; sdKn: number; overS: number } | null;
    current: { setDeg: number | null; driftKn: number; sdKn: number; from: "told" | "log" | "drift" } | null;
    lie: {
      headingDeg: number;
      uncertaintyDeg: number;
      windN: number;
      currentN: number;
      rules: "wind" | "tide";
      ratio: number | null;
    } | null;
    lacks: string | null;
    letGo: {
      lat: number;
      lon: number;
      distanceM: number | null;
      bearingDeg: number | null;
      uncertaintyM: number;
      /** The plotter's active waypoint is the place wished for; null: it was told. */
      waypoint: string | null;
    } | null;
    expectedRodeM: number | null;
    depthAtLowM: number | null;
  } | null;
  room: {
    mostRodeM: number | null;
    limitedBy: string | null;
    leeward: {
      name: string;
      distanceM: number;
      uncertaintyM: number;
      minutes: { likely: number; soonest: number; latest: number | null } | null;
    } | null;
  } | null;
  keepOffs: { name: string; lat: number; lon: number; uncertaintyM: number }[];
  bringingUp: {
    proposed: boolean;
    quiet: boolean;
    bowOffDeg: number | null;
    growingMps: number | null;
    creptM: number | null;
    notHolding: boolean;
    late: boolean;
  } | null;
  riding: { tested: boolean; held: { gustKn: number; at: string } | null } | null;
  weigh: {
    stage: string | null;
    distanceM: number | null;
    bearingDeg: number | null;
    /** To starboard positive. */
    steerDeg: number | null;
    closingMps: number | null;
    rodeOutM: number | null;
    uncertaintyM: number | null;
    loadN: number | null;
    engineNotWindlass: boolean;
    rodeSlack: boolean;
    overrunning: boolean;
    sideways: boolean;
    hangsM: number | null;
  } | null;
  tide: {
    /** Still to rise by high water; from the operator, the tide as set, or the rise in the configuration. */
    riseM: number | null;
    riseFrom: "told" | "table" | "configured" | null;
    depthAtLowM: number | null;
    /** The least of it within the swing, as far as she has lain. */
    leastAtLowM: number | null;
    /** What was told of the tide and does not reach to now: one line. */
    lacks: string | null;
    /** What the sounder makes of the hours: never used by itself. One sigma beside each. */
    suggested: { riseM: number; riseSdM: number; fallM: number; fallSdM: number } | null;
  };
  strength: {
    /** The published design load at the gust. */
    designLoadN: number | null;
    /** What it is too much for. */
    weak: { link: "chain" | "rope" | "windlass"; workingN: number }[];
  };
  /** She seems to leave: weighing is offered as one tap. */
  leaving: boolean;
  reminders: { key: string; text: string; why: string }[];
  /** When she drags: what to do, in order. */
  steps: string[];
  /** The last stay, once it is over. */
  closed: StateStay | null;
}

export interface StateStay {
  how: "aweigh" | "slipped";
  from: string;
  to: string;
  lat: number | null;
  lon: number | null;
  phases: { phase: string; from: string }[];
  /** depthM, windMps, gustMps, scope, rodeM, rangeM, loadN. */
  ranges: Record<string, { least: number; greatest: number } | null>;
  alerts: { key: string; priority: string; first: string; last: string; times: number }[];
}
