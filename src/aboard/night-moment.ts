/**
 * An instant of a kept night as a picture, so that the page draws it as it draws now. In: the night, its
 * configuration, a row of its track; out: the picture, null where the night does not say.
 */
import { watchSettings } from "../config/settings.ts";
import type { Night } from "../nightlog/review.ts";
import type { TrackPoint } from "../nightlog/track-row.ts";
import type { BoatState, DrawnPlan, DrawnSide, PlanPoint } from "../page/boat-state.ts";
import { solveCatenary } from "../tackle/catenary.ts";
import { combinedLoad } from "../tackle/current-load.ts";
import { lineAboard, veered } from "../tackle/rode.ts";
import { GUST_FACTOR } from "../tackle/wind-load.ts";
import { vectorOf } from "../units/angle.ts";
import { distanceM, moved, offsetM, type Position } from "../units/position.ts";
import { toKn } from "../units/speed.ts";
import { formatInstant } from "../units/time.ts";
import type { WatchSettings } from "../watch/settings.ts";
import { cm, shapeOf } from "./drawing.ts";
import { nightConfig } from "./night-config.ts";

type Phase = BoatState["phase"];

export function momentOf(night: Night, point: TrackPoint): BoatState {
  const config = nightConfig(night.config);
  const settings = config && watchSettings(config);
  const { lengthM, beamM, rollerToAntennaM } = settings?.boat ?? {};
  const anchor = anchorAt(night, point);
  const place = { anchor, point, settings, phase: phaseAt(night, point.atMs) };
  return {
    ...bare(formatInstant(point.atMs), place.phase),
    ...told(point),
    anchor: {
      lat: anchor?.latDeg ?? null,
      lon: anchor?.lonDeg ?? null,
      uncertaintyM: null,
      rangeM: point.rangeM ?? null,
      bearingDeg: point.bearingDeg ?? null,
      movedM: point.draggedM ?? null,
      movedSdM: null,
      since: null,
    },
    pull: pullOf(point, settings),
    drawing: {
      side: sideOf(place),
      plan: planOf(place),
      boat: { lengthM: lengthM ?? null, beamM: beamM ?? null, rollerToAntennaM: rollerToAntennaM ?? null },
    },
  };
}

function told(
  point: TrackPoint,
): Pick<BoatState, "position" | "depth" | "wind" | "rode" | "scope" | "circle"> {
  const { position, rangeM, circleM } = point;
  const outside = rangeM === undefined || circleM === undefined ? null : rangeM > circleM;
  return {
    position: { ...UNSAID, lat: position?.latDeg ?? null, lon: position?.lonDeg ?? null },
    depth: { ...UNSAID, surfaceM: point.depthM ?? null, underKeelM: null },
    wind: {
      ...UNSAID,
      fromDeg: point.meanFromDeg ?? null,
      meanKn: inKn(point.meanMps),
      gustKn: inKn(point.gustMps),
      apparentDeg: null,
      apparentKn: null,
    },
    rode: { outM: point.rodeM ?? null, source: null, uncertaintyM: null, requiredM: null },
    scope: { now: point.scope ?? null, atHighWater: null, target: point.target ?? null },
    circle: { radiusM: circleM ?? null, outside },
  };
}

const UNSAID = { ageS: null, source: null };

function inKn(mps: number | undefined): number | null {
  return mps === undefined ? null : toKn(mps);
}

function bare(
  at: string,
  phase: Phase,
): Omit<BoatState, keyof ReturnType<typeof told> | "anchor" | "drawing" | "pull"> {
  return {
    at,
    phase,
    callout: null,
    headingDeg: null,
    sogKn: null,
    cogDeg: null,
    receiver: { wanderM: null, velocity: null, words: null },
    guidance: null,
    alerts: [],
    ports: [],
  };
}

const PHASES: readonly Phase[] = ["underway", "let-go", "riding", "weighing"];

function phaseAt({ phases }: Night, atMs: number): Phase {
  const name = phases.findLast((one) => one.atMs <= atMs)?.phase;
  return PHASES.find((one) => one === name) ?? "underway";
}

/** Where it was taken to be then: off the fix by range and bearing. */
function anchorAt({ lat, lon }: Night, { position, rangeM, bearingDeg }: TrackPoint): Position | undefined {
  if (position !== undefined && rangeM !== undefined && bearingDeg !== undefined)
    return moved(position, vectorOf(rangeM, bearingDeg));
  return lat === null || lon === null ? undefined : { latDeg: lat, lonDeg: lon };
}

interface Place {
  anchor: Position | undefined;
  point: TrackPoint;
  settings: WatchSettings | undefined;
  phase: Phase;
}

/** Scope was reckoned with the height that counts, at the anchor or at the boat: it says which. */
function heightM({ depthM, rodeM, scope }: TrackPoint, settings: WatchSettings | undefined) {
  if (rodeM !== undefined && scope !== undefined && scope > 0) return rodeM / scope;
  const rollerM = settings?.boat.rollerHeightM;
  return depthM === undefined || rollerM === undefined ? undefined : depthM + rollerM;
}

/** At the gust, as it was reckoned with. */
function pullOf(point: TrackPoint, settings: WatchSettings | undefined): BoatState["pull"] {
  const { rodeM, loadN } = point;
  const highM = heightM(point, settings);
  const unknown = { loadN: loadN ?? null, deg: null, groundedM: null };
  const aboard = settings?.rode && lineAboard(settings.rode);
  if (aboard === undefined || rodeM === undefined || loadN === undefined || highM === undefined)
    return unknown;
  const solved = solveCatenary(highM, veered(aboard, rodeM), loadN);
  return solved.ok ? { loadN, deg: solved.pullDeg, groundedM: solved.groundedM } : unknown;
}

function sideOf({ anchor, point, settings, phase }: Place): DrawnSide {
  const { depthM, rodeM, rangeM } = point;
  const { rollerHeightM, rollerToAntennaM } = settings?.boat ?? {};
  const isDown = phase !== "underway" && anchor !== undefined;
  const highM = heightM(point, settings);
  const reachM = isDown && rangeM !== undefined ? rollerRangeM(anchor, point, rollerToAntennaM) : undefined;
  const loadN = settings && meanLoadN(point, settings);
  const side = {
    surfaceM: cm(highM === undefined || rollerHeightM === undefined ? depthM : highM - rollerHeightM),
    riseM: 0,
    rollerM: cm(rollerHeightM),
    outM: cm(rodeM),
    requiredM: null,
    aboardM: null,
    meanLoadN: cm(loadN),
  };
  const shape = settings && isDown ? shapeOf(rodeM, highM, loadN ?? 0, reachM, settings) : undefined;
  if (shape !== undefined) return { ...side, ...shape, rode: "out" };
  return { ...side, rode: "unknown", chain: [], rope: [], reachM: cm(reachM) };
}

/** Mean wind alone: the current is not kept. Where no wind was measured, the load that was reckoned with. */
function meanLoadN({ meanMps, meanFromDeg, headingDeg, depthM, loadN }: TrackPoint, { boat }: WatchSettings) {
  if (meanMps === undefined) return loadN === undefined ? undefined : loadN / GUST_FACTOR ** 2;
  const wind = { speedMps: meanMps, fromDeg: meanFromDeg };
  return combinedLoad(boat, wind, undefined, { headingDeg, depthM })?.loadN;
}

function rollerRangeM(anchor: Position, point: TrackPoint, abaftM: number | undefined): number {
  const roller = rollerOf(point, abaftM);
  if (roller !== undefined) return distanceM(anchor, roller);
  return Math.max(0, (point.rangeM ?? 0) - (abaftM ?? 0));
}

function rollerOf({ position, headingDeg }: TrackPoint, abaftM: number | undefined): Position | undefined {
  if (position === undefined || headingDeg === undefined || abaftM === undefined) return undefined;
  return moved(position, vectorOf(abaftM, headingDeg));
}

function planOf({ anchor, point, settings }: Place): DrawnPlan | null {
  const origin = anchor ?? point.position;
  if (origin === undefined) return null;
  const from = (to: Position | undefined): PlanPoint | null => {
    if (to === undefined) return null;
    const { north, east } = offsetM(origin, to);
    return { northM: cm(north) ?? 0, eastM: cm(east) ?? 0 };
  };
  const { meanMps, meanFromDeg } = point;
  const hasWind = meanMps !== undefined && meanFromDeg !== undefined;
  return {
    lat: origin.latDeg,
    lon: origin.lonDeg,
    anchor: anchor === undefined ? null : { uncertaintyM: 0 },
    roller: from(rollerOf(point, settings?.boat.rollerToAntennaM)),
    antenna: from(point.position),
    headingDeg: point.headingDeg ?? null,
    circleM: point.circleM ?? null,
    wind: hasWind ? { fromDeg: meanFromDeg, meanKn: toKn(meanMps) } : null,
    current: null,
    towardDeg: null,
    letGo: null,
    liesAt: null,
    keepOffs: [],
    lie: null,
    moved: null,
  };
}
