/** Configuration → the settings of the ports. */
import type { PortConfig } from "../config/schema.ts";
import type { PortSettings } from "../ports/port.ts";

export function portSettings(port: PortConfig): PortSettings {
  const { name, talker, send } = port;
  const common = { name, talker, send };
  switch (port.kind) {
    case "serial":
      return { ...common, kind: "serial", device: port.device, baud: port.baud };
    case "tcp-client":
      return { ...common, kind: "tcp-client", host: port.address.host, port: port.address.port };
    case "tcp-server":
      return { ...common, kind: "tcp-server", host: port.listen.host, port: port.listen.port };
    case "udp":
      return {
        ...common,
        kind: "udp",
        bindHost: port.listen.host,
        bindPort: port.listen.port,
        sendHost: port.address?.host,
        sendPort: port.address?.port,
      };
    case "stdin":
      return { ...common, kind: "stdin" };
  }
}
