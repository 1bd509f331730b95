/** Could anybody hear an alarm? In: the ports; out: yes or no. */
import type { OpenPort, PortSettings } from "../ports/port.ts";
import { takes } from "../ports/port.ts";

/**
 * True when something is connected that alarms are sent to: a serial line or UDP destination that is up, or a
 * TCP peer. A serial line may have nobody at its end; no port can tell.
 */
export function canBeHeard(ports: readonly { settings: PortSettings; port: OpenPort }[]): boolean {
  return ports.some(({ settings, port }) => {
    if (!takes(settings, "alerts")) return false;
    const stats = port.stats();
    if (stats.state !== "up") return false;
    if (settings.kind === "tcp-server") return stats.clients > 0;
    return settings.kind !== "udp" || settings.sendHost !== undefined;
  });
}
