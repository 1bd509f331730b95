/** The watch's guidance as `/api/state` shows it. Absent is null, speeds in knots, instants in UTC. */
import type { Core } from "../core.ts";
import type { StateGuidance, StateStay } from "../page/guidance-state.ts";
import { toKn } from "../units/speed.ts";
import { whyOf } from "../watch/callout.ts";
import { CALLOUTS } from "../watch/callout-texts.ts";
import type { Guidance } from "../watch/guidance.ts";
import type { TideNow } from "../watch/tide-now.ts";

type Utc = (atMs: number) => string;

export function guidanceOf({ last }: Core, utc: Utc): StateGuidance {
  const { guidance } = last.figures;
  const { callout, rode, veer, room, bringingUp, riding, weigh, leaving, steps, closed } = guidance;
  return {
    callout: callout
      ? { text: callout.text, why: callout.why, priority: callout.priority, since: utc(callout.sinceMs) }
      : null,
    rode: {
      uncertaintyM: orNull(rode.uncertaintyM),
      rollerRangeM: orNull(rode.rollerRangeM),
      leastM: orNull(rode.leastM),
      leastUncertaintyM: orNull(rode.leastUncertaintyM),
      contradicted: rode.contradicted,
    },
    veer: veer ? nulled({ ...veer, inMarks: veer.inMarks ? nulled(veer.inMarks) : null }) : null,
    approach: approachOf(guidance),
    room: roomOf(room),
    keepOffs: last.stay.keepOffs.map(({ name, position, uncertaintyM }) => ({
      name,
      lat: position.latDeg,
      lon: position.lonDeg,
      uncertaintyM,
    })),
    bringingUp: bringingUp ? nulled(bringingUp) : null,
    riding: riding
      ? {
          tested: riding.tested,
          held: riding.held ? { gustKn: toKn(riding.held.gustMps), at: utc(riding.held.atMs) } : null,
        }
      : null,
    weigh: weigh ? nulled(weigh) : null,
    tide: tideOf(last.figures.tide),
    strength: { designLoadN: orNull(last.figures.tackle.designLoadN), weak: guidance.weak },
    leaving,
    reminders: guidance.reminders.map(({ key, figures, why }) => ({
      key,
      text: CALLOUTS[key].text(...figures),
      why: whyOf(why),
    })),
    steps,
    closed: closed ? closedOf(closed, utc) : null,
  };
}

function tideOf({ suggested, ...told }: TideNow): StateGuidance["tide"] {
  return {
    ...nulled(told),
    suggested: suggested
      ? {
          riseM: suggested.riseToComeM,
          riseSdM: suggested.riseSdM,
          fallM: suggested.fallToComeM,
          fallSdM: suggested.fallSdM,
        }
      : null,
  };
}

function roomOf(room: Guidance["room"]): StateGuidance["room"] {
  if (room === undefined) return null;
  const { mostRodeM, limitedBy, leeward } = room;
  const minutes = leeward?.minutes;
  return {
    mostRodeM: orNull(mostRodeM),
    limitedBy: orNull(limitedBy),
    leeward: leeward ? { ...leeward, minutes: minutes ? nulled(minutes) : null } : null,
  };
}

function approachOf({ approach }: Guidance): StateGuidance["approach"] {
  if (approach === undefined) return null;
  const { neutral, drift, current, lie, lacks, letGo, expectedRodeM, depthAtLowM } = approach;
  return {
    neutral,
    drift: drift ? { ...inKnots(drift), overS: drift.overS } : null,
    current: current ? { ...inKnots(current), from: current.from } : null,
    lie: lie ? nulled(lie) : null,
    lacks: orNull(lacks),
    letGo: letGo
      ? {
          lat: letGo.position.latDeg,
          lon: letGo.position.lonDeg,
          distanceM: orNull(letGo.distanceM),
          bearingDeg: orNull(letGo.bearingDeg),
          uncertaintyM: letGo.uncertaintyM,
          waypoint: orNull(letGo.waypoint),
        }
      : null,
    expectedRodeM: orNull(expectedRodeM),
    depthAtLowM: orNull(depthAtLowM),
  };
}

function inKnots({
  setDeg,
  driftMps,
  sdMps,
}: {
  setDeg: number | undefined;
  driftMps: number;
  sdMps: number;
}) {
  return { setDeg: orNull(setDeg), driftKn: toKn(driftMps), sdKn: toKn(sdMps) };
}

function closedOf(closed: NonNullable<Guidance["closed"]>, utc: Utc): StateStay {
  return {
    how: closed.how,
    from: utc(closed.fromMs),
    to: utc(closed.endedMs),
    lat: orNull(closed.letGoAt?.latDeg),
    lon: orNull(closed.letGoAt?.lonDeg),
    phases: closed.phases.map(({ phase, fromMs }) => ({ phase, from: utc(fromMs) })),
    ranges: nulled(closed.ranges),
    alerts: closed.alerts.map(({ key, priority, firstMs, lastMs, times }) => ({
      key,
      priority,
      first: utc(firstMs),
      last: utc(lastMs),
      times,
    })),
  };
}

function orNull<T>(value: T | undefined): T | null {
  return value ?? null;
}

type Nulled<T> = { [K in keyof T]: undefined extends T[K] ? Exclude<T[K], undefined> | null : T[K] };

/** One level deep: every undefined becomes null. */
function nulled<T extends object>(given: T): Nulled<T> {
  return Object.fromEntries(
    Object.entries(given).map(([key, value]) => [key, value === undefined ? null : value]),
  ) as Nulled<T>;
}
