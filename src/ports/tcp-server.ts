/** A TCP server that displays connect to. */
import { hostPort } from "./net-problem.ts";
import type { OpenPort, PortDeps, PortEvents, PortSettings } from "./port.ts";
import { StreamServerPort } from "./stream-server.ts";

/** Rejects with a PortError when it cannot listen: nobody would hear an alarm, and waiting does not help. */
export async function openTcpServer(
  settings: PortSettings<"tcp-server">,
  events: PortEvents,
  deps: PortDeps,
): Promise<OpenPort> {
  const { host, port } = settings;
  const server = new StreamServerPort(
    settings,
    { at: { host, port }, where: hostPort(host, port) },
    events,
    deps,
  );
  await server.listen();
  return server;
}
