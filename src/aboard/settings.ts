/** Configuration → the settings of the ports. */
import type { PortConfig } from "../config/schema.ts";
import type { PortSettings } from "../ports/port.ts";

export function portSettings(port: PortConfig): PortSettings {
  const { name, talker } = port;
  const sends =
    port.kind === "stdin"
      ? { send: [], leaveOut: [], backup: false }
      : { send: port.send, leaveOut: port.leave_out, backup: port.backup };
  const common = { name, talker, ...sends };
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
        interfaceHost: port.interface,
        ttl: port.ttl,
      };
    case "udp-61162-450":
      return {
        ...common,
        kind: "udp-61162-450",
        groups: port.groups,
        source: port.source,
        sendHost: port.address?.host,
        sendPort: port.address?.port,
        interfaceHost: port.interface,
        ttl: port.ttl,
      };
    case "unix":
      return { ...common, kind: "unix", path: port.path };
    case "file":
      return { ...common, kind: "file", path: port.path };
    case "stdin":
      return { ...common, kind: "stdin" };
  }
}
