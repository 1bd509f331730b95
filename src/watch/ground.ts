/**
 * Height of the roller above the seabed, at the anchor and under the boat. In: state and picture; out: the two
 * heights. Scope takes the larger, the circle the smaller; a slope is never taken for tide.
 */
import type { Picture } from "../instruments/picture.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay } from "./state.ts";

export interface Heights {
  /** For scope: the larger of anchor and boat. Undefined without depth or roller height. */
  forScopeM: number | undefined;
  /** For the circle: the smaller, which gives the longer reach; 0 when nothing is known. */
  forCircleM: number;
  /** Rise still to come. */
  riseM: number;
}

export function heightsNow(stay: Stay, picture: Picture, settings: WatchSettings): Heights {
  const rollerM = settings.boat.rollerHeightM;
  const boatM = picture.depth?.value.surfaceM;
  const anchorM = stay.anchor?.depthM;
  const known = [boatM, anchorM].filter((depthM) => depthM !== undefined);
  return {
    forScopeM: known.length === 0 || rollerM === undefined ? undefined : Math.max(...known) + rollerM,
    forCircleM: known.length === 0 ? 0 : Math.min(...known) + (rollerM ?? 0),
    riseM: riseToCome(stay, boatM, settings.tideRiseM),
  };
}

/** max(0, told − (depth now − depth when told)). */
function riseToCome(stay: Stay, depthM: number | undefined, configuredM: number | undefined): number {
  const told =
    stay.rise ??
    (configuredM === undefined ? undefined : { riseM: configuredM, depthM: stay.anchor?.depthM });
  if (told === undefined) return 0;
  const risenM = depthM === undefined || told.depthM === undefined ? 0 : depthM - told.depthM;
  return Math.max(0, told.riseM - risenM);
}
