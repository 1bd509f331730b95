/** Sentences out to the ports, each in its port's talker, alarms as urgent. */
import { everything } from "../alerts/sentences.ts";
import type { Core, Out } from "../core.ts";
import { encode, type Sentence } from "../nmea/table.ts";
import type { OpenPort, PortSettings } from "../ports/port.ts";
import { takes } from "../ports/port.ts";

export interface Outlet {
  settings: PortSettings;
  port: OpenPort;
}

/** What must overtake all else on a slow line. The cyclic list and the heartbeat can wait their turn. */
const URGENT: ReadonlySet<Sentence["id"]> = new Set(["ALR", "ALF", "ARC"]);

export function sendAll(out: readonly Out[], outlets: readonly Outlet[]): void {
  for (const one of out) {
    for (const outlet of outlets) {
      if (takes(outlet.settings, one.class)) sendTo(outlet, one.sentence);
    }
  }
}

function sendTo({ settings, port }: Outlet, sentence: Sentence): void {
  const own = sentence.id === "PRDW" ? sentence : { ...sentence, talker: settings.talker };
  port.send(encode(own), URGENT.has(sentence.id));
}

/** A port that has come up hears at once what is active: nothing is queued while it is down. */
export function sendPresent(core: Core, outlet: Outlet): void {
  if (!takes(outlet.settings, "alerts")) return;
  for (const sentence of everything(core.alerts, core.last.picture.utcOffsetMs).out) sendTo(outlet, sentence);
}
