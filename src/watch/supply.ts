/** The supply voltage, where an instrument tells it (XDR U). In: picture; out: the finding. */
import type { Picture } from "../instruments/picture.ts";
import { MINUTE_MS } from "../units/time.ts";
import type { Finding } from "./finding.ts";
import { isHeld } from "./latch.ts";
import type { WatchSettings } from "./settings.ts";
import type { WatchState } from "./state.ts";

/** A windlass or a starter pulls it down for less. */
const LOW = { onMs: MINUTE_MS, offMs: MINUTE_MS };
const HYSTERESIS_V = 0.4;

/** `state.latches` is brought up to date in place. */
export function supplyLow(
  state: WatchState,
  picture: Picture,
  { supplyLimitV }: WatchSettings,
): Finding | undefined {
  const volts = picture.supplyV?.value;
  let truth: boolean | undefined;
  if (volts !== undefined) {
    if (volts < supplyLimitV) truth = true;
    else if (volts >= supplyLimitV + HYSTERESIS_V) truth = false;
  }
  if (!isHeld(state.latches, "supply-low", truth, LOW, picture.atMs)) return undefined;
  const text =
    volts === undefined ? "Was low; no voltage heard now" : `${volts.toFixed(1)} V: charge, or save power`;
  return { key: "supply-low", priority: "warning", text, amount: undefined };
}
