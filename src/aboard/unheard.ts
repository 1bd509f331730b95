/** Could anybody hear an alarm? In: the ports, and whether a hook or an armed page could sound one; out: yes or no. */
import type { OpenPort, PortSettings } from "../ports/port.ts";
import { hasDestination, isServer, takes } from "../ports/port.ts";

/**
 * True when something is connected that alarms are sent to: a serial line or UDP destination that is up, or a
 * TCP peer. A serial line may have nobody at its end; no port can tell.
 */
export function canBeHeard(
  ports: readonly { settings: PortSettings; port: OpenPort }[],
  somethingSounds = false,
): boolean {
  if (somethingSounds) return true;
  return ports.some(({ settings, port }) => {
    if (!takes(settings, "alerts")) return false;
    const stats = port.stats();
    if (stats.state !== "up") return false;
    return isServer(settings) ? stats.clients > 0 : isHeardThere(settings);
  });
}

/** A file keeps alarms, and sounds none. */
function isHeardThere(settings: PortSettings): boolean {
  return settings.kind !== "file" && hasDestination(settings);
}
