/** The acts as they are written in the shell, each with an example that is one, for the help and for who errs. */
import { columns } from "./columns.ts";

/** By verb: how it is written, and what it says. `[…]` may be left out. */
export const ACT_FORMS: Readonly<Record<string, readonly [form: string, says: string]>> = {
  LETGO: ["LETGO", "the anchor goes now, here"],
  RODE: ["RODE 35m", "so much rode is out"],
  SPLICE: ["SPLICE", "all the chain is out, no rope"],
  BOTTOM: ["BOTTOM", "on the bottom: the line goes slack"],
  BROUGHTUP: ["BROUGHTUP", "she holds, here"],
  RISE: ["RISE 1.2m", "rise above now by high water"],
  EXPECT: ["EXPECT 25kn", "most wind before morning"],
  WIND: ["WIND 18kn [240]", "wind now, as you judge it, and where from"],
  NEUTRAL: ["NEUTRAL", "out of gear, before letting go: read wind against tide"],
  KEEPOFF: ["KEEPOFF 140 T 60 M [rock]", "a boat, rock or shoal: bearing and metres from here"],
  LIE: ["LIE 5030.000 N 00012.000 W", "where the stern is to lie"],
  PLACE: ["PLACE 065 T 12 M", "the anchor is not where it was taken to be, but that way from there"],
  WEIGH: ["WEIGH [BALL]", "weighing begins; BALL: overrunning the anchor on purpose"],
  AWEIGH: ["AWEIGH", "the anchor is off the bottom"],
  SLIP: ["SLIP", "the rode is buoyed and let go"],
  UNDO: ["UNDO", "takes the last act back, within a minute"],
  SET: ["SET watch.margin 25m", "a setting, before the file's, until it is set again"],
};

/** For `act --help`. */
export function actHelp(): string {
  return columns(
    ["Acts:", ""],
    Object.values(ACT_FORMS).map((row) => [...row]),
  ).join("\n");
}

/** What would have been right. */
export function rightForm(verb: string): string {
  const form = ACT_FORMS[verb.toUpperCase()]?.[0];
  return form === undefined ? `there are ${Object.keys(ACT_FORMS).join(", ")}` : `write it like: act ${form}`;
}
