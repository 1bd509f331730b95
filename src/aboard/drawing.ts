/**
 * What the page draws from, out of the core's last second: plain metres, no pixels. Asked for only when somebody
 * looks; the rode's shape is then solved once a second.
 */
import { isActive } from "../alerts/life-cycle.ts";
import type { Core } from "../core.ts";
import type { Drawing, DrawnPlan, DrawnSide, PlanPoint, SidePoint } from "../page/boat-state.ts";
import { solveCatenary } from "../tackle/catenary.ts";
import { catenaryShape } from "../tackle/catenary-shape.ts";
import { combinedLoad } from "../tackle/current-load.ts";
import { lineAboard, veered } from "../tackle/rode.ts";
import { GUST_FACTOR } from "../tackle/wind-load.ts";
import { type Vector, vectorOf, wrap360 } from "../units/angle.ts";
import { distanceM, moved, offsetM, type Position } from "../units/position.ts";
import { toKn } from "../units/speed.ts";
import type { WatchSettings } from "../watch/settings.ts";
import { isDown } from "../watch/state.ts";

/** Draws the core's last second; the same second is not drawn twice. */
export function createDrawer(settings: WatchSettings): (core: Core) => Drawing {
  let last: { second: Core["last"]; drawing: Drawing } | undefined;
  return (core) => {
    if (last?.second !== core.last) last = { second: core.last, drawing: drawingOf(core, settings) };
    return last.drawing;
  };
}

export function drawingOf(core: Core, settings: WatchSettings): Drawing {
  const side = sideOf(core, settings);
  const { lengthM, beamM, rollerToAntennaM } = settings.boat;
  return {
    side,
    plan: planOf(core, settings, side),
    boat: { lengthM: lengthM ?? null, beamM: beamM ?? null, rollerToAntennaM: rollerToAntennaM ?? null },
  };
}

/** Points along each hanging part: smooth at a phone's width. */
const POINTS = 14;

function sideOf({ last }: Core, settings: WatchSettings): DrawnSide {
  const { figures, picture, stay } = last;
  const rollerM = settings.boat.rollerHeightM;
  const { forScopeM, riseM } = figures.heights;
  const surfaceM =
    forScopeM === undefined || rollerM === undefined ? picture.depth?.value.surfaceM : forScopeM - rollerM;
  // While weighing it grows shorter by geometry, whatever was told last.
  const outM = figures.guidance.weigh?.rodeOutM ?? stay.rode?.lengthM;
  const { requiredM, aboardM } = figures.scope;
  const told = {
    surfaceM: cm(surfaceM),
    riseM: cm(riseM) ?? 0,
    rollerM: cm(rollerM),
    outM: cm(outM),
    requiredM: cm(requiredM),
    aboardM: cm(aboardM),
    meanLoadN: cm(meanLoadN(last, settings)),
  };
  const isOut = isDown(stay.phase);
  const lengthM = isOut ? outM : plannedM(requiredM, aboardM);
  const reachM = isOut ? rollerRangeM(last, settings) : undefined;
  const shape = shapeOf(lengthM, forScopeM, told.meanLoadN ?? 0, reachM, settings);
  if (shape === undefined) return { ...told, rode: "unknown", chain: [], rope: [], reachM: cm(reachM) };
  return { ...told, ...shape, rode: isOut ? "out" : "planned" };
}

function plannedM(requiredM: number | undefined, aboardM: number | undefined): number | undefined {
  return requiredM === undefined ? undefined : Math.min(requiredM, aboardM ?? requiredM);
}

/** The rode drawn under this load, its top `reachM` off the anchor; undefined when it cannot be solved. */
export function shapeOf(
  lengthM: number | undefined,
  heightM: number | undefined,
  loadN: number,
  reachM: number | undefined,
  settings: WatchSettings,
): Pick<DrawnSide, "chain" | "rope" | "reachM"> | undefined {
  const aboard = settings.rode === undefined ? undefined : lineAboard(settings.rode);
  if (aboard === undefined || lengthM === undefined || heightM === undefined) return undefined;
  const out = veered(aboard, lengthM);
  const solved = solveCatenary(heightM, out, loadN);
  if (!solved.ok) return undefined;
  const { chain, rope } = catenaryShape(solved, out, { points: POINTS, reachM });
  const point = ({ xM, zM }: { xM: number; zM: number }): SidePoint => [cm(xM) ?? 0, cm(zM) ?? 0];
  const top = rope.at(-1) ?? chain.at(-1);
  return { chain: chain.map(point), rope: rope.map(point), reachM: cm(top?.xM) };
}

/** Mean wind and current together; where no wind is measured, the one that the target is laid for. */
function meanLoadN({ picture, figures }: Core["last"], settings: WatchSettings): number | undefined {
  const { wind, windMean, current, headingDeg, depth } = picture;
  if (wind === undefined || windMean === undefined) {
    const gustLoadN = figures.tackle.loadN;
    return gustLoadN === undefined ? undefined : gustLoadN / GUST_FACTOR ** 2;
  }
  const stream = current && { speedMps: current.value.driftMps, towardDeg: current.value.setDeg };
  const lie = { headingDeg: headingDeg?.value, depthM: depth?.value.surfaceM };
  return combinedLoad(settings.boat, windMean, stream, lie)?.loadN;
}

function rollerOf({ picture }: Core["last"], settings: WatchSettings): Position | undefined {
  const fix = picture.position?.value;
  const heading = picture.headingDeg?.value;
  const abaftM = settings.boat.rollerToAntennaM;
  if (fix === undefined || heading === undefined || abaftM === undefined) return undefined;
  return moved(fix, vectorOf(abaftM, heading));
}

/** Without a heading the roller is taken to point at the anchor. */
function rollerRangeM(last: Core["last"], settings: WatchSettings): number | undefined {
  const anchor = last.stay.anchor?.position;
  const roller = rollerOf(last, settings);
  if (anchor !== undefined && roller !== undefined) return distanceM(anchor, roller);
  const rangeM = last.figures.circle?.rangeM;
  return rangeM === undefined ? undefined : Math.max(0, rangeM - (settings.boat.rollerToAntennaM ?? 0));
}

function planOf(core: Core, settings: WatchSettings, side: DrawnSide): DrawnPlan | null {
  const { last } = core;
  const { picture, figures, stay } = last;
  const fix = picture.position?.value;
  const roller = rollerOf(last, settings);
  const anchor = stay.anchor;
  const origin = anchor?.position ?? roller ?? fix ?? picture.lastFix?.position;
  if (origin === undefined) return null;
  const from = (to: Position | undefined) => (to === undefined ? null : planPoint(offsetM(origin, to)));
  const { approach } = figures.guidance;
  const wind = picture.wind === undefined ? undefined : picture.windMean;
  const lie = approach?.lie;
  const towardDeg = lie === undefined ? figures.tackle.towardDeg : wrap360(lie.headingDeg + 180);
  const letGo = from(approach?.letGo?.position);
  const lies = anchor === undefined && towardDeg !== undefined && side.reachM !== null;
  return {
    lat: origin.latDeg,
    lon: origin.lonDeg,
    anchor: anchor === undefined ? null : { uncertaintyM: cm(anchor.uncertaintyM) ?? 0 },
    roller: from(roller),
    antenna: from(fix),
    headingDeg: picture.headingDeg?.value ?? null,
    circleM: cm(figures.circle?.radiusM),
    wind: wind?.fromDeg === undefined ? null : { fromDeg: wind.fromDeg, meanKn: toKn(wind.speedMps) },
    current: streamOf(core),
    towardDeg: towardDeg ?? null,
    letGo,
    liesAt: lies ? plus(letGo, vectorOf(side.reachM ?? 0, towardDeg)) : null,
    keepOffs: stay.keepOffs.map(({ name, position, uncertaintyM }) => ({
      name,
      uncertaintyM: cm(uncertaintyM) ?? 0,
      ...planPoint(offsetM(origin, position)),
    })),
    lie: from(stay.lie),
    moved: movedBy(core),
  };
}

/** As the sensors tell it; coming in, as the drift has told it, once that is enough to go by. */
function streamOf({ last }: Core): DrawnPlan["current"] {
  const { approach } = last.figures.guidance;
  const read = approach?.current;
  if (approach?.lie !== undefined && read?.setDeg !== undefined)
    return { setDeg: read.setDeg, driftKn: toKn(read.driftMps) };
  const told = last.picture.current?.value;
  return told === undefined ? null : { setDeg: told.setDeg, driftKn: toKn(told.driftMps) };
}

function plus(from: PlanPoint | null, by: Vector): PlanPoint {
  return planPoint({ north: (from?.northM ?? 0) + by.north, east: (from?.eastM ?? 0) + by.east });
}

function planPoint(vector: Vector): PlanPoint {
  return { northM: cm(vector.north) ?? 0, eastM: cm(vector.east) ?? 0 };
}

/** How far a drag has taken the anchor from where it lay; only while dragging is said. */
function movedBy({ alerts, last }: Core): DrawnPlan["moved"] {
  const { dragging } = alerts.active;
  const { movedM, movedSdM, movedTowardDeg } = last.figures.drag;
  if (dragging === undefined || !isActive(dragging) || movedM === undefined || movedTowardDeg === undefined)
    return null;
  return { ...planPoint(vectorOf(movedM, movedTowardDeg)), metresM: cm(movedM) ?? 0, sdM: cm(movedSdM) };
}

/** To a centimetre: finer than any drawing. */
export function cm(valueM: number | undefined): number | null {
  return valueM === undefined ? null : Math.round(valueM * 100) / 100;
}
