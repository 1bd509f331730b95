/** When she drags: the steps, with this boat's figures. In: room, veering; out: one line each, in order. */
import { toVeer } from "../tackle/veer-length.ts";
import { isCramped, type Leeward, type Room } from "./room.ts";
import type { ScopeNow } from "./scope.ts";
import type { WatchSettings } from "./settings.ts";
import { lengthText } from "./wording.ts";

/** What begins every text that sends someone forward. */
export const FORWARD = "Lifejacket, clip on";
const CLEAR = "engine in neutral, hands clear of the bight";

export function dragSteps(
  room: Room | undefined,
  scope: ScopeNow,
  rodeM: number | undefined,
  settings: WatchSettings,
): string[] {
  return [
    "Engine on, kill cord on, at the helm",
    `Look to leeward: ${leewardText(room?.leeward, settings)}`,
    veerStep(room, scope, rodeM, settings),
    `${FORWARD}: still going, ahead dead slow to ease the load, bow to the anchor, weigh`,
    `${FORWARD}: no time, slip; hands clear of the bight`,
  ];
}

export function leewardText(leeward: Leeward | undefined, { units }: WatchSettings): string {
  if (leeward === undefined) return "no mark told: look and judge";
  const { name, distanceM, uncertaintyM, minutes } = leeward;
  const far = `${lengthText(distanceM, units)} ± ${lengthText(uncertaintyM, units)} to ${name}`;
  if (minutes === undefined) return far;
  const latest = minutes.latest === undefined ? "more" : Math.ceil(minutes.latest).toFixed(0);
  return `${far}, ${minutes.likely.toFixed(0)} min (${Math.floor(minutes.soonest)} to ${latest})`;
}

/** Half as much again as is out, or what is left: enough to tell within two minutes whether it helps. */
const MORE_SHARE = 0.5;
const LEAST_WORTH_M = 3;

function veerStep(
  room: Room | undefined,
  { aboardM }: ScopeNow,
  rodeM: number | undefined,
  { units }: WatchSettings,
): string {
  if (rodeM === undefined || aboardM === undefined)
    return `${FORWARD}, ${CLEAR}: veer what there is room for, watch 2 min`;
  const leftM = aboardM - rodeM;
  if (leftM < LEAST_WORTH_M) return "No rode left to veer";
  const moreM = Math.min(leftM, MORE_SHARE * rodeM);
  const roomM = (room?.mostRodeM ?? Number.POSITIVE_INFINITY) - rodeM;
  if (isCramped(room, rodeM + Math.min(moreM, LEAST_WORTH_M))) return "No room to veer: re-anchor";
  return `${FORWARD}, ${CLEAR}: veer ${toVeer(Math.min(moreM, roomM), units).text}, watch 2 min`;
}
