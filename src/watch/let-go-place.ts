/** Where to let go so that the stern ends on a wished place. In: the place, how she will lie; out: a position. */
import type { Picture } from "../instruments/picture.ts";
import { solveCatenary } from "../tackle/catenary.ts";
import { lineAboard, veered } from "../tackle/rode.ts";
import { reachBoundM, sternRadiusM } from "../tackle/swing.ts";
import { toRad, vectorOf } from "../units/angle.ts";
import { bearingDeg, distanceM, moved, type Position } from "../units/position.ts";
import type { Heights } from "./ground.ts";
import type { Lie } from "./lie.ts";
import type { ScopeNow } from "./scope.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay } from "./state.ts";
import { rollerOf } from "./track.ts";

export interface LetGoPlace {
  position: Position;
  /** From the roller; undefined without a fix. */
  distanceM: number | undefined;
  bearingDeg: number | undefined;
  uncertaintyM: number;
  /** The plotter's active waypoint is the place wished for; undefined: it was told (LIE). */
  waypoint: string | undefined;
}

/** A waypoint farther off than this is where a passage goes, not where she is to lie (a judgement). */
const NEAR_M = 500;

/** Where the stern is to lie: by the operator's word, else a plotter's active waypoint close by. */
export function wishedPlace(
  { lie }: Stay,
  { waypoint, lastFix }: Picture,
): { position: Position; waypoint: string | undefined } | undefined {
  if (lie !== undefined) return { position: lie, waypoint: undefined };
  if (waypoint === undefined || lastFix === undefined) return undefined;
  const { position, name } = waypoint.value;
  return distanceM(lastFix.position, position) > NEAR_M
    ? undefined
    : { position, waypoint: name ?? "waypoint" };
}

/** The anchor goes a boat's length and a rode's reach up from where the stern is to lie, along her heading. */
export function letGoPlace(
  stay: Stay,
  picture: Picture,
  heights: Heights,
  scope: ScopeNow,
  lie: Lie,
  settings: WatchSettings,
): LetGoPlace | undefined {
  const { boat } = settings;
  const wished = wishedPlace(stay, picture);
  if (wished === undefined || boat.lengthM === undefined || scope.requiredM === undefined) return undefined;
  const rodeM = Math.min(scope.requiredM, scope.aboardM ?? scope.requiredM);
  const outM = sternRadiusM(reachUnder(rodeM, lie, heights, settings), boat.lengthM);
  const position = moved(wished.position, vectorOf(outM, lie.headingDeg));
  const roller = picture.position && rollerOf(picture.position.value, picture.headingDeg?.value, boat);
  return {
    position,
    distanceM: roller && distanceM(roller, position),
    bearingDeg: roller && bearingDeg(roller, position),
    uncertaintyM: Math.hypot(3, outM * Math.sin(toRad(Math.min(90, lie.uncertaintyDeg)))),
    waypoint: wished.waypoint,
  };
}

function reachUnder(rodeM: number, lie: Lie, heights: Heights, { rode }: WatchSettings): number {
  const aboard = rode && lineAboard(rode);
  const heightM = heights.forScopeM;
  if (heightM === undefined) return rodeM;
  const loadN = Math.max(lie.windN, lie.currentN * HEAD_ON_SHARE);
  const shape = aboard && solveCatenary(heightM, veered(aboard, rodeM), loadN);
  return shape?.ok === true ? shape.reachM : reachBoundM(rodeM, 0, heightM);
}

/** She lies along the stream, not across it: about this of the broadside force (tackle: 0.15 B against 0.9 L). */
const HEAD_ON_SHARE = 0.06;
