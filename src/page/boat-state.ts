/**
 * The picture as outsiders see it: the answer of `/api/state` and every message of `/ws`. Units are in the
 * names. Every key is always there; what is not known is null, never 0. Type only: the browser imports it too.
 */

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
  receiver: { wanderM: number | null; velocity: string | null };
  alerts: StateAlert[];
  ports: StatePort[];
  /** Lines for the side elevation and the plan; null until it is drawn. */
  drawing: Record<string, unknown> | null;
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
}
