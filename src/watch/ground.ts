/**
 * Height of the roller above the seabed, at the anchor and under the boat. In: state and picture; out: the two
 * heights. Scope takes the larger, the circle the smaller; a slope is never taken for tide.
 */
import type { Picture } from "../instruments/picture.ts";
import type { WatchSettings } from "./settings.ts";
import type { Stay } from "./state.ts";
import { type Rise, riseOf } from "./tide-now.ts";

export interface Heights {
  /** For scope: the larger of anchor and boat. Undefined without depth or roller height. */
  forScopeM: number | undefined;
  /** For the circle: the smaller, which gives the longer reach; 0 when nothing is known. */
  forCircleM: number;
  /** Rise still to come; 0 where nobody has told. */
  riseM: number;
  riseFrom: Rise["from"] | undefined;
}

export function heightsNow(stay: Stay, picture: Picture, settings: WatchSettings): Heights {
  const rollerM = settings.boat.rollerHeightM;
  const boatM = picture.depth?.value.surfaceM;
  const anchorM = stay.anchor?.depthM;
  const known = [boatM, anchorM].filter((depthM) => depthM !== undefined);
  const rise = riseOf(stay, picture, settings);
  return {
    forScopeM: known.length === 0 || rollerM === undefined ? undefined : Math.max(...known) + rollerM,
    forCircleM: known.length === 0 ? 0 : Math.min(...known) + (rollerM ?? 0),
    riseM: rise?.riseM ?? 0,
    riseFrom: rise?.from,
  };
}
