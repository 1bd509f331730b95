/** Sentences out to the ports, each in its port's talker, alarms as urgent. */
import { alrOf, everything, inOrder } from "../alerts/sentences.ts";
import type { Core, Out } from "../core.ts";
import { encode, type Sentence } from "../nmea/table.ts";
import { takes } from "../ports/port.ts";
import type { Outlet } from "./outlet.ts";

/** What must overtake all else on a slow line. The cyclic list and the heartbeat can wait their turn. */
const URGENT: ReadonlySet<Sentence["id"]> = new Set(["ALR", "ALF", "ARC"]);

/**
 * @param failed told of a sentence that cannot be written: a mistake of ours that must not keep back the rest
 * @param isHeldBack is this output kept in reserve, for now?
 */
export function sendAll(
  out: readonly Out[],
  outlets: readonly Outlet[],
  failed: (error: unknown) => void,
  isHeldBack: (outlet: Outlet) => boolean = () => false,
): void {
  for (const one of out) {
    for (const outlet of outlets) {
      if (!takes(outlet.settings, one.class, one.sentence.id)) continue;
      if (SOUNDING.has(one.sentence.id) && isHeldBack(outlet)) continue;
      try {
        sendTo(outlet, one.sentence);
      } catch (error) {
        failed(error);
      }
    }
  }
}

/** What makes a display sound; lists and heartbeats do not. */
const SOUNDING: ReadonlySet<Sentence["id"]> = new Set(["ALR", "ALF", "TXT"]);

function sendTo({ settings, port }: Outlet, sentence: Sentence): void {
  const own = sentence.id === "PRDW" ? sentence : { ...sentence, talker: settings.talker };
  port.send(encode(own), URGENT.has(sentence.id));
}

/** A port that has come up, or is called on, hears at once what is active: nothing is queued for it before. */
export function sendPresent(core: Core, outlet: Outlet): void {
  if (!takes(outlet.settings, "alerts")) return;
  const { utcOffsetMs } = core.last.picture;
  for (const alert of inOrder(core.alerts))
    if (alert.priority !== "caution") sendTo(outlet, alrOf(alert, utcOffsetMs));
  for (const sentence of everything(core.alerts, utcOffsetMs).out) sendTo(outlet, sentence);
}
