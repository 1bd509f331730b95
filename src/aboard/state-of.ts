/** The core's last second as `/api/state` shows it. Absent is null. */
import { inOrder } from "../alerts/sentences.ts";
import { rowOf } from "../alerts/table.ts";
import type { Core } from "../core.ts";
import type { Known } from "../instruments/channel.ts";
import type { BoatState, Drawing, StateAlert } from "../page/boat-state.ts";
import type { PortStats } from "../ports/port.ts";
import { toKn } from "../units/speed.ts";
import { formatInstant } from "../units/time.ts";
import { calloutOf } from "./callout.ts";
import { guidanceOf } from "./guidance-of.ts";

export interface NamedPort {
  name: string;
  kind: string;
  stats: PortStats;
}

export function stateOf(core: Core, ports: readonly NamedPort[], drawing: Drawing): BoatState {
  const { picture } = core.last;
  const utc = (atMs: number) => formatInstant(Math.floor(atMs + (picture.utcOffsetMs ?? 0)));
  return {
    at: utc(core.atMs),
    phase: core.watch.stay.phase,
    callout: calloutOf(core),
    ...instrumentsOf(core),
    ...tackleOf(core, utc),
    receiver: receiverOf(core),
    guidance: guidanceOf(core, utc),
    alerts: alertsOf(core, utc),
    ports: ports.map((port) => portOf(core, port)),
    drawing,
  };
}

type Instruments = Pick<BoatState, "position" | "depth" | "wind" | "headingDeg" | "sogKn" | "cogDeg">;

function instrumentsOf({ atMs, last, watch }: Core): Instruments {
  const { wind, windMean, apparentWind, depth, lastFix, position, motion, headingDeg } = last.picture;
  const mean = wind === undefined ? undefined : windMean;
  return {
    position: {
      lat: orNull(position?.value.latDeg),
      lon: orNull(position?.value.lonDeg),
      ageS: age(atMs, lastFix?.atMs),
      source: orNull(lastFix?.source),
    },
    depth: {
      surfaceM: orNull(depth?.value.surfaceM),
      underKeelM: orNull(depth?.value.underKeelM),
      ...agedSource(atMs, depth, watch.seenMs.depth),
    },
    wind: {
      fromDeg: orNull(wind?.value.fromDeg),
      meanKn: kn(mean?.speedMps),
      gustKn: kn(mean?.gustMps),
      apparentDeg: orNull(apparentWind?.value.angleDeg),
      apparentKn: kn(apparentWind?.value.speedMps),
      ...agedSource(atMs, wind, watch.seenMs.wind),
    },
    headingDeg: orNull(headingDeg?.value),
    sogKn: kn(motion?.value.sogMps),
    cogDeg: orNull(motion?.value.cogDeg),
  };
}

type Tackle = Pick<BoatState, "rode" | "scope" | "pull" | "anchor" | "circle">;

function tackleOf({ last }: Core, utc: (atMs: number) => string): Tackle {
  const { stay, figures } = last;
  const { circle, scope, tackle, drag } = figures;
  const { anchor, rode } = stay;
  return {
    rode: {
      outM: orNull(rode?.lengthM),
      source: orNull(rode?.source),
      uncertaintyM: orNull(figures.guidance.rode.uncertaintyM),
      requiredM: orNull(scope.requiredM),
    },
    scope: { now: orNull(scope.now), atHighWater: orNull(scope.atHighWater), target: orNull(scope.target) },
    pull: {
      loadN: orNull(tackle.loadN),
      deg: orNull(tackle.pullDeg),
      groundedM: orNull(tackle.groundedM),
    },
    anchor: {
      lat: orNull(anchor?.position.latDeg),
      lon: orNull(anchor?.position.lonDeg),
      uncertaintyM: orNull(drag.anchorSdM ?? anchor?.uncertaintyM),
      rangeM: orNull(circle?.rangeM),
      bearingDeg: orNull(circle?.bearingDeg),
      movedM: orNull(drag.movedM),
      movedSdM: orNull(drag.movedSdM),
      since: anchor === undefined ? null : utc(anchor.sinceMs),
    },
    circle: {
      radiusM: orNull(circle?.radiusM),
      outside: circle?.rangeM === undefined ? null : circle.rangeM > circle.radiusM,
    },
  };
}

function receiverOf({ last }: Core): BoatState["receiver"] {
  const { receiver } = last.figures.drag;
  return {
    wanderM: orNull(receiver?.wanderM),
    velocity: orNull(receiver?.velocity),
    words: orNull(receiver?.words),
  };
}

function orNull<T>(value: T | undefined): T | null {
  return value ?? null;
}

function kn(speedMps: number | undefined): number | null {
  return speedMps === undefined ? null : toKn(speedMps);
}

function age(nowMs: number, atMs: number | undefined): number | null {
  return atMs === undefined ? null : Math.max(0, (nowMs - atMs) / 1000);
}

/** Beside a missing value: how long ago the last one was. */
function agedSource(nowMs: number, known: Known<unknown> | undefined, seenMs: number | undefined) {
  return { ageS: age(nowMs, known?.atMs ?? seenMs), source: known?.source ?? null };
}

function alertsOf(core: Core, utc: (atMs: number) => string): StateAlert[] {
  return inOrder(core.alerts).flatMap((alert) => {
    if (alert.status === "normal") return [];
    const { key, priority, text, status, raisedMs } = alert;
    return [{ key, id: rowOf(key).alfId, priority, state: status, since: utc(raisedMs), text }];
  });
}

function portOf(core: Core, { name, kind, stats }: NamedPort): BoatState["ports"][number] {
  const refused = Object.values(core.counts[name]?.refused ?? {}).reduce((a, b) => a + b, 0);
  const { state, lines, sent, dropped, replaced } = stats;
  return { name, kind, state, lines, refused, sent, dropped, replaced };
}
