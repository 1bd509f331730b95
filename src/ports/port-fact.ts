/** Ports that are down, as the one fact line that the watch understands (`$PRDW,FACT,port-down,…`). */
import { seal } from "../nmea/seal.ts";

/** 82 less the line end, the checksum, and the head. */
const HEAD = "PRDW,FACT,port-down";
const LONGEST_BODY = 82 - "$*hh\r\n".length;

/**
 * The fact for all ports together: 1 with what is wrong (one port), or their names (several); 0 when none is
 * down. Characters that a sentence reserves are replaced, and the text is cut to what 82 characters leave.
 */
export function portDownFact(down: ReadonlyMap<string, string>): string {
  const [first] = down;
  if (first === undefined) return seal(`${HEAD},0`);
  const text = down.size === 1 ? `${first[0]}: ${first[1]}` : `${[...down.keys()].join("; ")} down`;
  return seal(`${HEAD},1,${plain(text)}`.slice(0, LONGEST_BODY).trimEnd());
}

/** IEC 61162-1 reserves `! $ * , \ ^ ~` and the control characters. */
function plain(text: string): string {
  return text
    .replaceAll(",", ";")
    .replace(/[^\x20-\x7e]/g, "?")
    .replace(/[!$*\\^~]/g, " ");
}

/**
 * Keeps account of which ports are down, and hands over the fact on each change. Feed it every `state` event;
 * the line goes in on the internal port.
 */
export function trackDownPorts(
  hand: (text: string) => void,
): (name: string, up: boolean, why: string) => void {
  const down = new Map<string, string>();
  return (name, up, why) => {
    const before = down.size > 0 ? portDownFact(down) : undefined;
    if (up) down.delete(name);
    else down.set(name, why);
    const after = down.size > 0 ? portDownFact(down) : undefined;
    if (after !== before) hand(portDownFact(down));
  };
}
