/** What of this daemon the network can reach. In: the configuration; out: words, one for each open door. */
import type { Config, PortConfig } from "../config/schema.ts";
import { isLoopback } from "../config/settings.ts";

/** Doors that listen to more than this machine, such as `page 0.0.0.0:8010`, and what is believed there. */
export function openDoors(config: Config): string[] {
  const { listen } = config.page;
  const page = isLoopback(listen.host)
    ? []
    : [`page ${listen.host}:${listen.port}: to look, and to act with the PIN`];
  return [...page, ...config.port.flatMap(doorOf)];
}

function doorOf(port: PortConfig): string[] {
  const where = placeOf(port);
  if (where === undefined) return [];
  const orders = port.operator ? ["orders"] : [];
  const answers = port.acknowledge ? ["acknowledgements"] : [];
  const taken = ["readings", ...answers, ...orders].join(", ");
  return [`port ${port.name} ${where}: ${taken} taken from whoever sends them`];
}

function placeOf(port: PortConfig): string | undefined {
  if (port.kind === "udp-61162-450") return "multicast";
  if (!("listen" in port) || isLoopback(port.listen.host)) return undefined;
  return `${port.listen.host}:${port.listen.port}`;
}
