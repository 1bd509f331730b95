/** A configured port as the daemon holds it: open, or still to be opened. */
import { openPort } from "../ports/kinds.ts";
import {
  type OpenPort,
  type PortDeps,
  PortError,
  type PortEvents,
  type PortSettings,
  type PortStats,
} from "../ports/port.ts";
import { retried } from "./retried.ts";

export interface Outlet {
  settings: PortSettings;
  port: OpenPort;
}

/** A port that cannot start is down and tried again; `events.state` tells so, as of any other port. */
export async function openOutlet(
  settings: PortSettings,
  events: PortEvents,
  deps: PortDeps,
): Promise<Outlet> {
  let lastError: string | undefined;
  let dropped = 0;
  const held = await retried({
    open: () => openPort(settings, events, deps),
    mayPass: (error): error is PortError => error instanceof PortError,
    failed(why) {
      lastError = why;
      deps.log.warn({ port: settings.name, why }, "port down");
      events.state(false, why.replace(`port "${settings.name}": `, ""));
    },
    opened: () => {},
  });
  const absent = (): PortStats => ({
    state: "down",
    lines: 0,
    overrunBytes: 0,
    sent: 0,
    dropped,
    replaced: 0,
    gaps: 0,
    clients: 0,
    joined: 0,
    reconnects: 0,
    listenerErrors: 0,
    lastError,
    address: undefined,
  });
  const port: OpenPort = {
    name: settings.name,
    kind: settings.kind,
    send(text, urgent, passedOn) {
      const open = held.now();
      if (open === undefined) dropped += 1;
      else open.send(text, urgent, passedOn);
    },
    stats: () => held.now()?.stats() ?? absent(),
    close: held.close,
  };
  return { settings, port };
}
