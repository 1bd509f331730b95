/**
 * The picture as outsiders see it: the answer of `/api/state` and every message of `/ws`. Units are in the
 * names. Every key is always there; what is not known is null, never 0. Type only: the browser imports it too.
 */

import type { StateGuidance } from "./guidance-state.ts";

export type StatePhase = "underway" | "let-go" | "riding" | "weighing";

export interface BoatState {
  /** RFC 3339, true UTC as the daemon holds it. */
  at: string;
  phase: StatePhase;
  /** What to know or do, in words; its first sentence is the headline. */
  callout: string | null;
  /** `ageS` beside a null value says how long ago the last one was. */
  position: { lat: number | null; lon: number | null; ageS: number | null; source: string | null };
  depth: {
    surfaceM: number | null;
    underKeelM: number | null;
    ageS: number | null;
    source: string | null;
  };
  wind: {
    fromDeg: number | null;
    meanKn: number | null;
    gustKn: number | null;
    /** Clockwise from the bow, 0 to 360. */
    apparentDeg: number | null;
    apparentKn: number | null;
    ageS: number | null;
    source: string | null;
  };
  headingDeg: number | null;
  sogKn: number | null;
  cogDeg: number | null;
  rode: {
    outM: number | null;
    source: string | null;
    uncertaintyM: number | null;
    requiredM: number | null;
  };
  scope: { now: number | null; atHighWater: number | null; target: number | null };
  pull: { loadN: number | null; deg: number | null; groundedM: number | null };
  anchor: {
    lat: number | null;
    lon: number | null;
    uncertaintyM: number | null;
    /** From the antenna to the anchor. */
    rangeM: number | null;
    bearingDeg: number | null;
    movedM: number | null;
    movedSdM: number | null;
    since: string | null;
  };
  circle: { radiusM: number | null; outside: boolean | null };
  receiver: { wanderM: number | null; velocity: string | null; words: string | null };
  /** From approach to aweigh: what the watch advises. */
  guidance: StateGuidance | null;
  alerts: StateAlert[];
  ports: StatePort[];
  /** Lines for the side elevation and the plan; null while there is nothing to draw. */
  drawing: Drawing | null;
}

/** What the side elevation and the plan are drawn from, to one scale: plain metres. */
export interface Drawing {
  side: DrawnSide;
  plan: DrawnPlan | null;
  boat: { lengthM: number | null; beamM: number | null; rollerToAntennaM: number | null };
}

/** Metres along the bottom from the anchor towards the boat, and above the seabed at the anchor. */
export type SidePoint = readonly [xM: number, zM: number];

export interface DrawnSide {
  /** The rode that is out; or, with no anchor down, the one that this depth asks for. */
  rode: "out" | "planned" | "unknown";
  /** The surface above the seabed at the anchor. */
  surfaceM: number | null;
  /** Tide still to come. */
  riseM: number;
  /** Bow roller above the water. */
  rollerM: number | null;
  /** The rode under the present mean load: chain from the anchor to the splice, rope from there to the roller. */
  chain: readonly SidePoint[];
  rope: readonly SidePoint[];
  /** The roller off the anchor, as drawn. */
  reachM: number | null;
  outM: number | null;
  requiredM: number | null;
  aboardM: number | null;
  /** Horizontal, mean wind and current. */
  meanLoadN: number | null;
}

export interface PlanPoint {
  northM: number;
  eastM: number;
}

/** Offsets from the anchor; with no anchor down, from the bow. */
export interface DrawnPlan {
  lat: number;
  lon: number;
  anchor: { uncertaintyM: number } | null;
  /** Null without a heading. */
  roller: PlanPoint | null;
  antenna: PlanPoint | null;
  headingDeg: number | null;
  circleM: number | null;
  wind: { fromDeg: number; meanKn: number } | null;
  current: { setDeg: number; driftKn: number } | null;
  /** Where wind and current together pull her. */
  towardDeg: number | null;
  /** With no anchor down: where to let go for the place that was wished; null: here. */
  letGo: PlanPoint | null;
  /** With no anchor down: where the bow would then lie on the required rode. */
  liesAt: PlanPoint | null;
  keepOffs: readonly (PlanPoint & { name: string; uncertaintyM: number })[];
  /** Where the stern is wished to lie. */
  lie: PlanPoint | null;
  /** Where the anchor is taken to be now that it has moved. */
  moved: (PlanPoint & { metresM: number; sdM: number | null }) | null;
}

/** The track as columns, oldest first, and the alerts raised along it: the answer of `/api/track`. */
export interface TrackAnswer {
  /** ms, true UTC as far as it is known. */
  atMs: number[];
  lat: (number | null)[];
  lon: (number | null)[];
  /** Least and greatest distance from the antenna to the anchor in the span that ends at `atMs`. */
  rangeMinM: (number | null)[];
  rangeMaxM: (number | null)[];
  circleM: (number | null)[];
  scope: (number | null)[];
  windKn: (number | null)[];
  gustKn: (number | null)[];
  marks: { atMs: number; key: string; priority: StateAlert["priority"] }[];
}

export interface StateAlert {
  key: string;
  id: number;
  priority: "alarm" | "warning" | "caution";
  state: "unacknowledged" | "silenced" | "acknowledged" | "transferred" | "rectified";
  since: string;
  text: string;
}

export interface StatePort {
  name: string;
  kind: string;
  state: string;
  lines: number;
  refused: number;
  sent: number;
  /** Sentences that were lost on the way out. */
  dropped: number;
  /** Sentences that gave way to a newer one of their kind on a slow line. */
  replaced: number;
}
