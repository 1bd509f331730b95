/** A position that is there and may be wrong: it jumped, it hangs, or two sources disagree. In: picture; out: the finding. */
import type { Disagreement } from "../instruments/disagreement.ts";
import type { Picture } from "../instruments/picture.ts";
import { SECOND_MS } from "../units/time.ts";
import type { Finding } from "./finding.ts";
import { isHeld } from "./latch.ts";
import { isDown, type WatchState } from "./state.ts";

const JUMP = { onMs: 5 * SECOND_MS, offMs: 30 * SECOND_MS };
const HANGS = { onMs: 0, offMs: 30 * SECOND_MS };
/** A second source that stands still, or is wrong, soon differs; one that is only slow comes along. */
const DISAGREE = { onMs: 30 * SECOND_MS, offMs: 60 * SECOND_MS };

/** `state.latches` is brought up to date in place. */
export function doubtful(state: WatchState, picture: Picture): Finding | undefined {
  const { atMs, heldBack, hung, disagreement, position } = picture;
  const jumped = isHeld(state.latches, "position-doubtful", heldBack !== undefined, JUMP, atMs);
  // Without a position in use there is nothing to compare.
  const differs = position === undefined ? undefined : disagreement !== undefined;
  const disagrees = isHeld(state.latches, "sources-disagree", differs, DISAGREE, atMs);
  const hangs = isHeld(state.latches, "fix-hangs", hung !== undefined, HANGS, atMs);
  if (!jumped && !disagrees && !hangs) return undefined;
  const found = hangs ? "Fix stands still, yet says it moves" : "Fix jumped: not believed yet";
  const text = disagrees ? disagreeText(disagreement) : found;
  return {
    key: "position-doubtful",
    priority: isDown(state.stay.phase) ? "warning" : "caution",
    text,
    amount: undefined,
  };
}

/** At most 43 characters: port names have up to 15, and only their ports are named. */
function disagreeText(disagreement: Disagreement | undefined): string {
  if (disagreement === undefined) return "Positions disagreed: check by eye";
  const [a, b] = disagreement.sources.map((source) => source.split("/")[0] ?? "");
  const metres = Math.round(disagreement.distanceM);
  const told = a === b ? disagreement.sources.join(", ") : `${a}, ${b}`;
  return `${metres > 9999 ? "Over 9999" : metres} m apart: ${told}`;
}
