/** Under way at speed with the bow leading, and nobody said so: the alarm sounds as it must; "weighing?" is offered. */
import type { Picture } from "../instruments/picture.ts";
import { turnDeg } from "../units/angle.ts";
import { fromKn } from "../units/speed.ts";
import { SECOND_MS } from "../units/time.ts";
import type { Circle } from "./circle.ts";
import type { Memory } from "./memory.ts";
import type { Stay } from "./state.ts";

const LEAVES_MPS = fromKn(3);
const BOW_LEADS_DEG = 30;
const LEAVES_MS = 10 * SECOND_MS;

/** `memory.leavingSinceMs` is kept. A boat adrift goes slower, and not bow first. */
export function isLeaving(
  stay: Stay,
  memory: Memory,
  { motion, headingDeg, atMs }: Picture,
  circle: Circle | undefined,
): boolean {
  const { sogMps, cogDeg } = motion?.value ?? { sogMps: 0, cogDeg: undefined };
  const bowLeads =
    headingDeg !== undefined &&
    cogDeg !== undefined &&
    Math.abs(turnDeg(headingDeg.value, cogDeg)) <= BOW_LEADS_DEG;
  const lying = stay.phase === "riding" || stay.phase === "let-go";
  const out = circle?.rangeM !== undefined && circle.rangeM > circle.radiusM - circle.marginM;
  if (!lying || !out || !bowLeads || sogMps < LEAVES_MPS) {
    memory.leavingSinceMs = undefined;
    return false;
  }
  memory.leavingSinceMs ??= atMs;
  return atMs - memory.leavingSinceMs >= LEAVES_MS;
}
